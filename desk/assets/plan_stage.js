// The member in plan: its axis, supports and loads, and a marker at the station that is read.

import { theme } from "./colours.js";
import { coordinates } from "./decode.js";
import { giveSize, onceAFrame } from "./frames.js";
import { drawScaleBar } from "./overlay.js";
import { Viewport } from "./viewport.js";

export class PlanStage {
  request = onceAFrame(() => this.draw());

  constructor(canvas, moved) {
    Object.assign(this, { canvas, moved });
    this.context = canvas.getContext("2d");
    this.view = new Viewport([0, 0, 1, 1], 60);
    this.clear();
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
  }

  clear() {
    Object.assign(this, { plan: null, share: null, held: false });
    this.request();
  }

  hold(on) {
    this.held = on;
    if (!on && this.plan) this.frame();
  }

  // A plan without an axis of its own is drawn straightened: stations along a line.
  show(plan) {
    const { length, unit } = plan;
    const place = (at) => (Array.isArray(at) ? at : [at, 0]);
    this.axis = plan.axis ? coordinates(plan.axis) : { x: [0, length], y: [0, 0] };
    this.unit = unit;
    this.plan = {
      supports: (plan.supports ?? []).map((s) => ({ ...s, at: place(s.at) })),
      diaphragms: (plan.diaphragms ?? []).map(place),
      loads: plan.loads ?? [],
    };
    if (!this.held) this.frame();
    this.request();
  }

  // The axis with room beside it for loads and supports.
  frame() {
    const { x, y } = this.axis;
    const [x0, x1] = [Math.min(...x), Math.max(...x)];
    const [y0, y1] = [Math.min(...y), Math.max(...y)];
    const room = Math.max(0.06 * Math.max(x1 - x0, y1 - y0), 1e-9);
    Object.assign(this.view, { x0, x1, y0: y0 - room, y1: y1 + room });
    this.view.fit();
    this.moved();
    this.request();
  }

  // `station` of the length is marked.
  marker(station, length) {
    this.share = station / length;
    this.request();
  }

  resize() {
    const { clientWidth: width, clientHeight: height } = this.canvas.parentElement;
    if (!width || !height) return;
    this.ratio = Math.max(devicePixelRatio, 1);
    giveSize([this.canvas], width, height, this.ratio);
    this.view.margin = Math.min(60, width / 8, height / 5);
    this.view.resize(width, height);
    this.moved();
    this.request();
  }

  // The place at a share of the axis' length.
  at(share) {
    const { x, y } = this.axis;
    let whole = 0;
    const steps = [];
    for (let k = 1; k < x.length; k += 1) {
      steps.push(Math.hypot(x[k] - x[k - 1], y[k] - y[k - 1]));
      whole += steps.at(-1);
    }
    let left = share * whole;
    for (let k = 0; k < steps.length; k += 1) {
      if (left <= steps[k] || k === steps.length - 1) {
        const t = steps[k] ? Math.min(left / steps[k], 1) : 0;
        return [x[k] + t * (x[k + 1] - x[k]), y[k] + t * (y[k + 1] - y[k])];
      }
      left -= steps[k];
    }
    return [x[0], y[0]];
  }

  draw() {
    const { context, view, plan } = this;
    if (view.width < 2) return;
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    context.clearRect(0, 0, view.width, view.height);
    if (!plan) return;
    const colours = theme(this.canvas);
    context.strokeStyle = colours.ink;
    context.lineWidth = 4;
    context.lineCap = "round";
    context.beginPath();
    this.axis.x.forEach((x, k) => context.lineTo(...view.toScreen(x, this.axis.y[k])));
    context.stroke();
    this.drawDiaphragms(colours);
    this.drawLoads(colours);
    this.drawSupports(colours);
    if (this.share !== null) {
      const [px, py] = view.toScreen(...this.at(this.share));
      context.strokeStyle = colours.accent;
      context.lineWidth = 2;
      context.beginPath();
      context.moveTo(px, py - 16);
      context.lineTo(px, py + 16);
      context.stroke();
    }
    drawScaleBar(context, view, this.unit ?? "", colours);
  }

  // Plates across the member: short strokes.
  drawDiaphragms(colours) {
    const { context, view } = this;
    context.strokeStyle = colours.faint;
    context.lineWidth = 2;
    for (const at of this.plan.diaphragms) {
      const [px, py] = view.toScreen(...at);
      context.beginPath();
      context.moveTo(px, py - 11);
      context.lineTo(px, py + 11);
      context.stroke();
    }
  }

  // Triangles below the axis, with their names where there is room.
  drawSupports(colours) {
    const { context, view } = this;
    context.fillStyle = colours.ink;
    context.font = `12px ${getComputedStyle(this.canvas).fontFamily}`;
    context.textAlign = "center";
    let end = -Infinity;
    for (const { at, name } of this.plan.supports) {
      const [px, py] = view.toScreen(...at);
      context.beginPath();
      context.moveTo(px, py + 3);
      context.lineTo(px - 8, py + 16);
      context.lineTo(px + 8, py + 16);
      context.closePath();
      context.fill();
      const width = context.measureText(name ?? "").width;
      if (!name || px - width / 2 < end + 6) continue;
      end = px + width / 2;
      context.fillText(name, px, py + 31);
    }
    context.textAlign = "start";
  }

  // Line loads as bands along their way, point loads as dots.
  drawLoads() {
    const { context, view } = this;
    context.save();
    context.strokeStyle = context.fillStyle = "#b34700";
    for (const { at, line } of this.plan.loads) {
      if (line) {
        const { x, y } = coordinates(line);
        context.lineWidth = 2.5;
        context.setLineDash([2, 5]);
        context.beginPath();
        x.forEach((v, k) => context.lineTo(...view.toScreen(v, y[k])));
        context.stroke();
        context.setLineDash([]);
      } else if (at) {
        const [px, py] = view.toScreen(...at);
        context.beginPath();
        context.arc(px, py, 5, 0, 2 * Math.PI);
        context.fill();
      }
    }
    context.restore();
  }
}
