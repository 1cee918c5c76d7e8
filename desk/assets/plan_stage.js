// The member in plan: its axis, supports and loads, and a marker at the station that is read.

import { theme } from "./colours.js";
import { coordinates } from "./decode.js";
import { giveSize, onceAFrame } from "./frames.js";
import { drawScaleBar } from "./overlay.js";
import { drawers } from "./pencil.js";
import { Viewport } from "./viewport.js";

export class PlanStage {
  request = onceAFrame(() => this.draw());

  constructor(canvas, moved) {
    // Handles that stand at one place are drawn apart.
    Object.assign(this, { canvas, moved, lifts: true });
    this.context = canvas.getContext("2d");
    drawers.set(canvas, this);
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
      width: plan.width ?? 0,
    };
    if (!this.held) this.frame();
    this.request();
  }

  // The axis with room beside it for loads and supports.
  frame() {
    const { x, y } = this.axis;
    const [x0, x1] = [Math.min(...x), Math.max(...x)];
    const [y0, y1] = [Math.min(...y), Math.max(...y)];
    const room = Math.max(0.04 * Math.max(x1 - x0, y1 - y0), this.plan.width, 1e-9);
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

  // Place and heading at a share of the axis' length.
  placed(share) {
    const step = 1e-3;
    const [a, b] = [this.at(Math.max(share - step, 0)), this.at(Math.min(share + step, 1))];
    return [...this.at(share), Math.atan2(b[1] - a[1], b[0] - a[0])];
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
    this.drawAxis(colours);
    this.drawDiaphragms(colours);
    this.drawLoads(colours);
    this.drawSupports(colours);
    if (this.share !== null) this.across(this.at(this.share), 18, colours.accent, 2);
    drawScaleBar(context, view, this.unit ?? "", colours);
  }

  // The member as wide as it is, and its axis.
  drawAxis(colours) {
    const { context, view } = this;
    const { x, y } = this.axis;
    context.beginPath();
    x.forEach((v, k) => context.lineTo(...view.toScreen(v, y[k])));
    context.lineCap = "butt";
    context.lineJoin = "round";
    const wide = this.plan.width * view.scale;
    if (wide > 5) {
      context.lineWidth = wide + 1.5;
      context.strokeStyle = colours.faint;
      context.stroke();
      context.lineWidth = wide;
      context.strokeStyle = "#dfe4e6";
      context.stroke();
    }
    context.lineWidth = wide > 5 ? 1 : 3;
    context.strokeStyle = colours.ink;
    context.stroke();
  }

  // A stroke across the axis where a place is.
  across(at, half, colour, width) {
    const { context, view } = this;
    const { x, y } = this.axis;
    let near = 0;
    for (let k = 1; k < x.length; k += 1) {
      if (Math.hypot(x[k] - at[0], y[k] - at[1]) < Math.hypot(x[near] - at[0], y[near] - at[1])) near = k;
    }
    const [a, b] = near + 1 < x.length ? [near, near + 1] : [near - 1, near];
    const [dx, dy] = [x[b] - x[a], y[b] - y[a]];
    const size = Math.hypot(dx, dy) || 1;
    const [px, py] = view.toScreen(...at);
    const [ux, uy] = [(-dy / size) * half, (-dx / size) * half];
    context.strokeStyle = colour;
    context.lineWidth = width;
    context.beginPath();
    context.moveTo(px - ux, py - uy);
    context.lineTo(px + ux, py + uy);
    context.stroke();
  }

  // Plates across the member: strokes a little wider than it.
  drawDiaphragms(colours) {
    const half = Math.max(9, (this.plan.width * this.view.scale) / 2 + 3);
    for (const at of this.plan.diaphragms) this.across(at, half, colours.ink, 3);
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
