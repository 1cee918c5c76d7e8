// The section with its contours: zoom, pan, and a probe that reads the stress under the pointer.

import { banded, pixelTable, theme } from "./colours.js";
import { paintContours } from "./contours.js";
import { coordinates } from "./decode.js";
import { giveSize, onceAFrame } from "./frames.js";
import {
  drawArrows,
  drawCentres,
  drawExtreme,
  drawProbe,
  drawRefusals,
  drawScaleBar,
  drawSlits,
  outlinePath,
} from "./overlay.js";
import { Target } from "./raster.js";
import { Viewport } from "./viewport.js";

// Drawn with two samples a screen pixel at least, and no more than so many in all.
const MOST_PIXELS = 2.4e6;
const STEP = 8;
// How far from the pointer, in screen pixels, material is still meant.
const REACH = 9;

export class SectionView {
  request = onceAFrame(() => this.draw());

  constructor(canvas, data, fields, onProbe) {
    Object.assign(this, { canvas, data, fields, onProbe });
    this.context = canvas.getContext("2d");
    this.picture = document.createElement("canvas");
    this.runs = data.outline.map(coordinates);
    this.slits = data.slits.map(coordinates);
    this.view = new Viewport(data.bounds, 26);
    this.tables = Object.fromEntries(
      Object.entries(data.colours).map(([name, table]) => [name, pixelTable(banded(table))]),
    );
    this.probe = null;
    this.triangle = -1;
    this.listen();
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
    this.resize();
  }

  // What is shown: a component, its values at the samples, its span and its extremes.
  show(component, values, span, extremes) {
    Object.assign(this, { component, values, span, extremes });
    this.request();
  }

  resize() {
    const width = this.canvas.parentElement.clientWidth;
    if (!width) return;
    const [x0, y0, x1, y1] = this.data.bounds;
    const shape = (y1 - y0) / (x1 - x0);
    const height = Math.round(Math.min(Math.max(width * shape + 30, 190), Math.min(620, 1.15 * width)));
    const ratio = Math.min(Math.max(devicePixelRatio, 2), Math.sqrt(MOST_PIXELS / (width * height)));
    this.canvas.style.height = `${height}px`;
    if (this.view.width === width && this.view.height === height && this.ratio === ratio) return;
    this.ratio = ratio;
    this.view.resize(width, height);
    giveSize([this.canvas, this.picture], width, height, ratio);
    this.target = new Target(this.canvas.width, this.canvas.height, false);
    this.draw();
  }

  draw() {
    if (!this.component || !this.target) return;
    const { context, view, fields } = this;
    const colours = theme(this.canvas);
    this.paint();
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    context.clearRect(0, 0, view.width, view.height);
    const outline = outlinePath(this.runs, view);
    context.drawImage(this.picture, 0, 0, view.width, view.height);
    context.strokeStyle = colours.ink;
    context.lineWidth = 1;
    context.lineJoin = "round";
    context.stroke(outline);
    drawSlits(context, this.slits, view, colours);
    if (this.component.key.startsWith("shear") && fields.sheared) {
      drawArrows(context, fields, view, colours);
    }
    if (fields.refuses(this.component)) drawRefusals(context, fields.corners, view, colours);
    drawCentres(context, this.data.centroid, this.data.shearCentre, view, colours);
    const taken = [this.data.centroid, this.data.shearCentre].map((at) => {
      const [px, py] = view.toScreen(...at);
      return { x: px - 7, y: py - 7, w: 14, h: 14 };
    });
    for (const extreme of this.extremes) {
      drawExtreme(context, extreme, this.data.stressUnit, view, colours, taken);
    }
    drawScaleBar(context, view, this.data.unit, colours);
    if (this.probe) drawProbe(context, this.probe, view, colours);
    this.report();
  }

  // Contours into the picture behind everything else.
  paint() {
    const { fields, values, span, view, ratio } = this;
    const table = this.tables[this.component.signed ? "signed" : "magnitude"];
    const thin = this.thin(view.scale * ratio);
    paintContours(this.picture, this.target, { fields, values, span, table, view, ratio, thin });
  }

  // True when walls are about as thin as a pixel.
  thin(pixelsPerLength) {
    return this.data.wall * pixelsPerLength < 2.5;
  }

  // -- probe ------------------------------------------------------------------------------------
  moveProbe(px, py) {
    this.probe = this.view.toSection(px, py);
    this.request();
  }

  clearProbe() {
    this.probe = null;
    this.request();
  }

  report() {
    const reading = this.probe ? this.reading() : null;
    this.onProbe(reading?.at ?? this.probe, reading);
  }

  // The stress at the probe, or at the material next to it: walls are thin and fingers are not.
  reading() {
    const { fields, view, ratio, target } = this;
    const [px, py] = view.toScreen(...this.probe);
    const pixel = nearestFilled(target, Math.floor(px * ratio), Math.floor(py * ratio), Math.round(REACH * ratio));
    if (pixel < 0) return null;
    const triangle = target.triangle[pixel];
    const weights = fields.weights(triangle, ...this.probe).map((w) => Math.max(w, 0));
    const total = weights[0] + weights[1] + weights[2];
    const found = fields.inside(triangle, weights.map((w) => w / total));
    return { ...found, corner: fields.sheared ? fields.cornerAt(...found.at) : undefined };
  }

  // -- what the reader does -----------------------------------------------------------------------
  listen() {
    const { canvas } = this;
    const pointers = new Map();
    let moved = false;
    canvas.addEventListener("pointerdown", (event) => {
      pointers.set(event.pointerId, [event.offsetX, event.offsetY]);
      moved = false;
      if (this.view.zoom > 1) canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      const now = [event.offsetX, event.offsetY];
      const before = pointers.get(event.pointerId);
      if (before && pointers.size === 2) this.pinch(pointers, event.pointerId, now);
      else if (before && this.view.zoom > 1) this.view.panBy(now[0] - before[0], now[1] - before[1]);
      if (before) {
        moved ||= Math.hypot(now[0] - before[0], now[1] - before[1]) > 2;
        pointers.set(event.pointerId, now);
      }
      this.moveProbe(...now);
    });
    const end = (event) => {
      pointers.delete(event.pointerId);
      if (event.type === "pointerup" && !moved) this.moveProbe(event.offsetX, event.offsetY);
    };
    canvas.addEventListener("pointerup", end);
    canvas.addEventListener("pointercancel", end);
    canvas.addEventListener("pointerleave", (event) => {
      if (event.pointerType === "mouse" && document.activeElement !== canvas) this.clearProbe();
    });
    // The plain wheel scrolls the page; with Ctrl, or two fingers on a pad, it zooms.
    canvas.addEventListener(
      "wheel",
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        this.zoom(Math.exp(-event.deltaY / 200), event.offsetX, event.offsetY);
      },
      { passive: false },
    );
    canvas.addEventListener("keydown", (event) => this.key(event));
  }

  pinch(pointers, id, now) {
    const [other] = [...pointers].filter(([key]) => key !== id).map(([, place]) => place);
    const before = pointers.get(id);
    const spread = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]);
    this.zoom(spread(now) / Math.max(spread(before), 1), (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
  }

  zoom(factor, px, py) {
    this.view.zoomBy(factor, px, py);
    this.canvas.classList.toggle("zoomed", this.view.zoom > 1);
    this.request();
  }

  fit() {
    this.view.fit();
    this.canvas.classList.remove("zoomed");
    this.request();
  }

  // Close to the extreme of greatest size: a few walls around it, and never less than three times.
  goToExtreme() {
    const sized = this.extremes.filter((e) => e.at);
    if (!sized.length) return;
    const top = sized.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a));
    const shown = Math.min(this.view.width, this.view.height) / (this.view.scale / this.view.zoom);
    this.view.lookAt(...top.at, Math.max(3, shown / (6 * this.data.wall)));
    this.canvas.classList.toggle("zoomed", this.view.zoom > 1);
    this.probe = [...top.at];
    this.request();
  }

  key(event) {
    const step = event.shiftKey ? 1 : STEP;
    const moves = {
      ArrowLeft: [-step, 0],
      ArrowRight: [step, 0],
      ArrowUp: [0, -step],
      ArrowDown: [0, step],
    };
    const acts = {
      "+": () => this.zoom(1.5, ...this.focus()),
      "=": () => this.zoom(1.5, ...this.focus()),
      "-": () => this.zoom(1 / 1.5, ...this.focus()),
      0: () => this.fit(),
      Enter: () => this.goToExtreme(),
      Escape: () => this.clearProbe(),
    };
    if (moves[event.key]) {
      const [px, py] = this.focus();
      this.moveProbe(px + moves[event.key][0], py + moves[event.key][1]);
    } else if (acts[event.key] && !event.ctrlKey && !event.metaKey) acts[event.key]();
    else return;
    event.preventDefault();
  }

  // The probe's place on the screen, the middle while there is none.
  focus() {
    return this.probe
      ? this.view.toScreen(...this.probe)
      : [this.view.width / 2, this.view.height / 2];
  }
}

// The pixel with material that is nearest to (column, row), -1 when none is within reach.
function nearestFilled(target, column, row, reach) {
  let best = -1;
  let least = (reach + 1) ** 2;
  for (let j = Math.max(0, row - reach); j <= Math.min(target.height - 1, row + reach); j += 1) {
    for (let i = Math.max(0, column - reach); i <= Math.min(target.width - 1, column + reach); i += 1) {
      const off = (i - column) ** 2 + (j - row) ** 2;
      if (off >= least || target.triangle[j * target.width + i] < 0) continue;
      [best, least] = [j * target.width + i, off];
    }
  }
  return best;
}
