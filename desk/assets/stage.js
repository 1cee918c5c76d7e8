// The drawing under the hand: outline at once, stress and flow lines as soon as they are found.

import { banded, pixelTable, theme } from "./colours.js";
import { paintContours } from "./contours.js";
import { coordinates, decoded } from "./decode.js";
import { Fields } from "./fields.js";
import { flowLines } from "./flow_lines.js";
import { giveSize, onceAFrame } from "./frames.js";
import { arrow } from "./gesture.js";
import { roundAbove } from "./numbers.js";
import {
  drawCentres,
  drawExtreme,
  drawProbe,
  drawRefusals,
  drawScaleBar,
  drawSlits,
  outlinePath,
} from "./overlay.js";
import { drawers } from "./pencil.js";
import { Target } from "./raster.js";
import { Viewport } from "./viewport.js";

// While the hand moves one sample a screen pixel has to do.
const FINE_PIXELS = 2.4e6;
const QUICK_PIXELS = 0.32e6;
const LEVELS = 9;
const TORQUE = 5;

export class Stage {
  // `moved()` is called when the view has changed, `shown(turn)` when a result stands on the screen.
  request = onceAFrame(() => this.draw());

  constructor(canvas, moved, shown) {
    Object.assign(this, { canvas, moved, shown });
    this.context = canvas.getContext("2d");
    drawers.set(canvas, this);
    this.picture = document.createElement("canvas");
    this.view = new Viewport([0, 0, 1, 1], 64);
    this.still = true;
    this.clear();
    this.listen();
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
  }

  clear() {
    Object.assign(this, { drawing: null, fields: null, data: null, torque: null, top: 0, aim: null });
    this.held = false;
    this.fitted = false;
    this.request();
  }

  // -- what is shown ------------------------------------------------------------------------------
  setDrawing(drawing) {
    this.drawing = drawing;
    this.runs = drawing.outline.map(coordinates);
    this.slits = (drawing.slits ?? []).map(coordinates);
    if (!this.held) this.frame(drawing.bounds);
    this.request();
  }

  setResult(data, turn) {
    this.data = data;
    this.turn = turn;
    this.fields = new Fields({ known: [], peaks: null, corners: [], ...data });
    this.heights = data.film ? decoded(data.film.height) : null;
    this.highest = this.heights?.reduce((top, h) => Math.max(top, h), 0) ?? 0;
    this.table = pixelTable(banded(data.colours.magnitude));
    this.torque ??= data.opening?.[TORQUE] || 1;
    this.combine();
    this.request();
  }

  // The stress of the chosen torque. Colours keep their scale while the hand moves, so that a wall
  // that thickens is seen to be relieved.
  combine() {
    const actions = new Float64Array(8);
    actions[TORQUE] = this.torque;
    this.fields.combine(actions);
    const shear = { key: "shear", sheared: true };
    this.values = this.fields.values(shear);
    if (this.held && this.top) return;
    this.peak = this.fields.extreme(shear, 1, this.values);
    this.top = roundAbove(this.peak.value);
    this.onScale?.();
  }

  setTorque(torque) {
    this.torque = torque;
    if (!this.fields) return;
    this.combine();
    this.request();
  }

  // The hand takes hold or lets go: the frame and the colours' scale stand still between.
  hold(on) {
    this.held = on;
    if (on) return;
    if (this.drawing) this.frame(this.drawing.bounds);
    if (this.fields) this.combine();
    this.request();
  }

  frame([x0, y0, x1, y1]) {
    const { view } = this;
    const same = [view.x0, view.y0, view.x1, view.y1].every((v, k) => v === [x0, y0, x1, y1][k]);
    if (same && this.fitted) return;
    Object.assign(view, { x0, y0, x1, y1 });
    if (view.zoom === 1 || !this.fitted) view.fit();
    this.fitted = true;
    this.moved();
  }

  // -- drawing ------------------------------------------------------------------------------------
  resize() {
    const { clientWidth: width, clientHeight: height } = this.canvas.parentElement;
    if (!width || !height) return;
    this.view.margin = Math.min(64, width / 9, height / 8);
    this.view.resize(width, height);
    if (this.view.zoom === 1) this.view.fit();
    this.moved();
    this.draw();
  }

  get quick() {
    return this.held;
  }

  fitPixels() {
    const { width, height } = this.view;
    const most = this.quick ? QUICK_PIXELS : FINE_PIXELS;
    const wanted = this.quick ? 1 : Math.max(devicePixelRatio, 2);
    const ratio = Math.min(wanted, Math.sqrt(most / (width * height)));
    const same = this.ratio === ratio && this.size === `${width} ${height} ${this.canvas.currentCSSZoom}`;
    if (same && this.target && Boolean(this.target.depth) === this.quick) return;
    Object.assign(this, { ratio, size: `${width} ${height} ${this.canvas.currentCSSZoom}` });
    giveSize([this.picture], width, height, ratio);
    this.target = new Target(this.picture.width, this.picture.height, this.quick);
    const sharp = Math.max(devicePixelRatio, 1) * (this.canvas.currentCSSZoom ?? 1);
    const [w, h] = [Math.round(width * sharp), Math.round(height * sharp)];
    if (this.canvas.width !== w || this.canvas.height !== h) {
      this.canvas.width = w;
      this.canvas.height = h;
    }
    this.sharp = sharp;
  }

  draw() {
    const { context, view } = this;
    if (view.width < 2) return;
    this.fitPixels();
    const colours = theme(this.canvas);
    context.setTransform(this.sharp, 0, 0, this.sharp, 0, 0);
    context.clearRect(0, 0, view.width, view.height);
    if (!this.drawing) return;
    const outline = outlinePath(this.runs, view);
    if (this.fields) this.drawField(colours);
    else {
      context.fillStyle = colours.paper;
      context.fill(outline, "evenodd");
    }
    context.strokeStyle = colours.ink;
    context.lineWidth = 1.25;
    context.lineJoin = "round";
    context.stroke(outline);
    drawSlits(context, this.slits, view, colours);
    if (this.fields) this.drawMarks(colours);
    if (this.aim) drawProbe(context, this.aim, view, colours);
    drawScaleBar(context, view, this.drawing.unit, colours);
    if (this.fields && this.turn !== this.announced) {
      this.announced = this.turn;
      this.shown(this.turn);
    }
  }

  drawField(colours) {
    const { context, view, fields, values, ratio, picture, target } = this;
    const thin = (this.data.wall ?? Infinity) * view.scale * ratio < 2.5;
    const span = [0, this.top];
    const drawn = this.heights && this.lines !== false;
    // Under a moving hand the lines are pixels, at rest strokes.
    const lines = drawn && this.quick ? { heights: this.heights, step: this.highest / LEVELS } : null;
    const { table } = this;
    // An outline that is ahead of its field does not paint that anew.
    const seen = [target, values, this.top, Boolean(lines), thin, ratio, view.cx, view.cy, view.scale];
    if (seen.some((v, k) => v !== this.painted?.[k])) {
      paintContours(picture, target, { fields, values, span, table, view, ratio, thin, lines });
    }
    this.painted = seen;
    // What belongs to an earlier outline stands back behind the new one.
    context.globalAlpha = this.turn < this.drawing.turn ? 0.4 : 1;
    context.drawImage(picture, 0, 0, view.width, view.height);
    if (drawn && !this.quick) {
      const strokes = flowLines(fields, this.heights, LEVELS, (x, y) => view.toScreen(x, y));
      context.strokeStyle = colours.ink;
      context.globalAlpha *= 0.45;
      context.lineWidth = 0.8;
      context.stroke(strokes);
    }
    context.globalAlpha = 1;
  }

  drawMarks(colours) {
    const { context, view, fields, data } = this;
    if (fields.refuses({ sheared: true })) drawRefusals(context, fields.corners, view, colours);
    drawCentres(context, data.centroid, data.shearCentre, view, colours);
    if (this.held || !(this.peak.value > 0)) return;
    const taken = [data.centroid, data.shearCentre].filter(Boolean).map((at) => {
      const [px, py] = view.toScreen(...at);
      return { x: px - 7, y: py - 7, w: 14, h: 14 };
    });
    taken.push(...(this.taken ?? []));
    drawExtreme(context, this.peak, data.stressUnit, view, colours, taken);
  }

  // Where buttons stand over the drawing.
  blocked() {
    const { left, top } = this.canvas.getBoundingClientRect();
    const zoom = this.canvas.currentCSSZoom ?? 1;
    return [...this.canvas.parentElement.querySelectorAll(".paper-tools")].map((node) => {
      const b = node.getBoundingClientRect();
      return { x: (b.x - left) / zoom, y: (b.y - top) / zoom, w: b.width / zoom, h: b.height / zoom };
    });
  }

  // -- moving about -------------------------------------------------------------------------------
  listen() {
    const { canvas } = this;
    const pointers = new Map();
    canvas.addEventListener("pointerdown", (event) => {
      pointers.set(event.pointerId, [event.offsetX, event.offsetY]);
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = pointers.get(event.pointerId);
      if (!before) return;
      const now = [event.offsetX, event.offsetY];
      if (pointers.size === 2) this.pinch(pointers, event.pointerId, now);
      else if (this.view.zoom > 1) {
        this.view.panBy(now[0] - before[0], now[1] - before[1]);
        this.changed();
      }
      pointers.set(event.pointerId, now);
    });
    for (const name of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(name, (event) => pointers.delete(event.pointerId));
    }
    // Over a handle too, which lies before the canvas.
    canvas.parentElement.addEventListener(
      "wheel",
      (event) => {
        event.preventDefault();
        const { left, top } = canvas.getBoundingClientRect();
        const size = canvas.currentCSSZoom ?? 1;
        const at = [(event.clientX - left) / size, (event.clientY - top) / size];
        this.zoom(Math.exp(-event.deltaY / 400), ...at);
      },
      { passive: false },
    );
    canvas.addEventListener("keydown", (event) => this.key(event));
  }

  pinch(pointers, id, now) {
    const [other] = [...pointers].filter(([key]) => key !== id).map(([, place]) => place);
    const before = pointers.get(id);
    const spread = (p) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 1);
    this.zoom(spread(now) / spread(before), (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
  }

  key(event) {
    const acts = {
      "+": () => this.zoom(1.5),
      "=": () => this.zoom(1.5),
      "-": () => this.zoom(1 / 1.5),
      0: () => this.fit(),
    };
    const way = arrow(event);
    if (way && this.cutting) this.moveAim(way);
    else if (event.key === "Enter" && this.cutting && this.aim) this.onCut(this.aim);
    else if (way) {
      this.view.panBy(-24 * way[0], 24 * way[1]);
      this.changed();
    } else if (acts[event.key] && !event.ctrlKey && !event.metaKey) acts[event.key]();
    else return;
    event.preventDefault();
  }

  // Where a wall is cut without a pointer: a cross hair that the arrow keys move.
  moveAim([x, y]) {
    const { view } = this;
    const [px, py] = this.aim ? view.toScreen(...this.aim) : [view.width / 2, view.height / 2];
    const into = (v, most) => Math.min(Math.max(v, 0), most);
    this.aim = view.toSection(into(px + 4 * x, view.width), into(py - 4 * y, view.height));
    this.request();
  }

  cut(on) {
    this.cutting = on;
    this.aim = null;
    if (on) this.moveAim([0, 0]);
    this.request();
  }

  zoom(factor, px, py) {
    this.view.zoomBy(factor, px, py);
    this.changed();
  }

  fit() {
    this.view.fit();
    this.changed();
  }

  changed() {
    this.moved();
    this.request();
  }
}
