// The section with a force on it: its foot is dragged across the section, its tail turns it.

import { pixelTable, theme } from "./colours.js";
import { paintContours } from "./contours.js";
import { el } from "./elements.js";
import { forceText, niceForce, tidy } from "./forces.js";
import { giveSize, onceAFrame } from "./frames.js";
import { arrow, draggable } from "./gesture.js";
import { number } from "./numbers.js";
import { drawArrows, drawCentres, drawScaleBar, outlinePath } from "./overlay.js";
import { drawers } from "./pencil.js";
import { Target } from "./raster.js";
import { rounded, stepOf, written } from "./rounding.js";
import { arrowTo } from "./solid_view.js";
import { Viewport } from "./viewport.js";

// The arrow's length in pixels for the force that it began with, the room above it for its words, and the
// snap of foot and angle.
const LONG = 84;
const ABOVE = 14;
const SNAP = 9;
const SQUARE = 4;
const PIXELS = 7e5;
// The arrow of the bolt row that carries most.
const BOLT = 42;

export class ForceView {
  request = onceAFrame(() => this.draw());

  constructor(root, changed) {
    Object.assign(this, { root, changed, held: false, long: LONG });
    this.canvas = el("canvas", { role: "img", "aria-label": "The section and the force on it" });
    this.foot = grip("foot", "Place of the force");
    this.tail = grip("tail", "Size and direction of the force");
    root.append(this.canvas, this.foot, this.tail);
    this.context = this.canvas.getContext("2d");
    drawers.set(this.canvas, this);
    this.picture = document.createElement("canvas");
    this.view = new Viewport([0, 0, 1, 1], 96);
    this.clear();
    this.listen();
    new ResizeObserver(() => this.resize()).observe(root);
  }

  clear() {
    Object.assign(this, { data: null, at: null, force: null, face: null, rows: [] });
  }

  // The section; the force, if there is none yet, goes beside its shear centre.
  show(data, runs) {
    Object.assign(this, { data, runs });
    const [x0, y0, x1, y1] = data.bounds;
    Object.assign(this.view, { x0, y0, x1, y1 });
    this.view.fit();
    if (!this.at) {
      this.at = [x1, y1].map((v) => Number(v.toPrecision(4)));
      this.unit = niceForce(data);
      this.force = [0, -this.unit];
    }
    this.request();
  }

  colour(face, rows = []) {
    this.face = face;
    this.rows = rows;
    this.pixels ??= pixelTable(face.table);
    this.request();
  }

  set({ force, at }) {
    this.force = [...force];
    this.at = [...at];
    this.unit = Math.hypot(...force) || this.unit;
    this.request();
  }

  moveTo(at) {
    this.at = [...at];
    this.told();
  }

  // How far the force's line passes from the shear centre; positive turns anticlockwise.
  offset() {
    const [cx, cy] = this.data.shearCentre ?? [NaN, NaN];
    const size = Math.hypot(...this.force);
    if (!(size > 0)) return 0;
    return ((this.at[0] - cx) * this.force[1] - (this.at[1] - cy) * this.force[0]) / size;
  }

  // -- drawing ----------------------------------------------------------------------------------------
  resize() {
    const { clientWidth: width, clientHeight: height } = this.root;
    if (!width || !height) return;
    const ratio = Math.min(Math.max(devicePixelRatio, 1), Math.sqrt(PIXELS / (width * height)));
    this.view.margin = Math.min(96, width / 5, height / 5);
    this.long = Math.min(LONG, this.view.margin - ABOVE);
    this.view.resize(width, height);
    this.ratio = ratio;
    giveSize([this.canvas, this.picture], width, height, ratio);
    this.target = new Target(this.canvas.width, this.canvas.height, false);
    this.request();
  }

  draw() {
    const { data, context, view, ratio, face } = this;
    for (const node of [this.foot, this.tail]) node.hidden = !data;
    if (!data || !this.target) return;
    const colours = theme(this.canvas);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.clearRect(0, 0, view.width, view.height);
    const outline = outlinePath(this.runs, view);
    if (face) {
      const thin = (data.wall ?? Infinity) * view.scale * ratio < 2.5;
      const { fields, values, top } = face;
      const table = this.pixels;
      paintContours(this.picture, this.target, { fields, values, span: [0, top], table, view, ratio, thin });
      context.drawImage(this.picture, 0, 0, view.width, view.height);
    }
    context.strokeStyle = colours.ink;
    context.lineWidth = 1.2;
    context.stroke(outline);
    if (face?.fields.sheared) drawArrows(context, face.fields, view, colours);
    drawCentres(context, data.centroid, data.shearCentre, view, colours);
    this.drawBolts();
    this.drawLine(colours);
    drawScaleBar(context, view, data.unit, colours);
    const [fx, fy] = view.toScreen(...this.at);
    const [tx, ty] = this.tailAt();
    arrowTo(context, [tx, ty], [fx, fy], 3, "#b34700");
    this.foot.style.transform = `translate(${fx}px, ${fy}px)`;
    this.tail.style.transform = `translate(${tx}px, ${ty}px)`;
    const size = forceText(Math.hypot(...this.force));
    this.tail.querySelector(".chip").textContent = size;
    this.tail.setAttribute("aria-valuetext", `${size}, along ${number(this.force[0], 3)} and ${number(this.force[1], 3)} N`);
    this.tail.setAttribute("aria-valuenow", written(Math.hypot(...this.force)));
    this.foot.setAttribute("aria-label", `Place of the force: ${this.at.map(written).join(", ")} ${data.unit}`);
  }

  // Bolts of the end that is held, and the shear of each row to one scale.
  drawBolts() {
    const { context, view } = this;
    const most = this.rows.reduce((top, row) => Math.max(top, row.force ?? 0), 0);
    context.save();
    context.strokeStyle = "#22272d";
    context.fillStyle = "#fff";
    context.lineWidth = 1.5;
    for (const { bolts = [], at, direction, force } of this.rows) {
      for (const bolt of bolts) {
        const [px, py] = view.toScreen(...bolt);
        context.beginPath();
        context.arc(px, py, 4, 0, 2 * Math.PI);
        context.fill();
        context.stroke();
      }
      if (!at || !direction || !(most > 0)) continue;
      const [px, py] = view.toScreen(...at);
      const long = (BOLT * force) / most;
      arrowTo(context, [px, py], [px + long * direction[0], py - long * direction[1]], 2, "#1e6b52");
    }
    context.restore();
  }

  // The line of the force and its distance from the shear centre.
  drawLine(colours) {
    const { context, view } = this;
    const size = Math.hypot(...this.force);
    if (!(size > 0)) return;
    const [ux, uy] = this.force.map((c) => c / size);
    const reach = (view.width + view.height) / view.scale;
    const [x, y] = this.at;
    context.save();
    context.strokeStyle = "#b34700";
    context.globalAlpha = 0.55;
    context.setLineDash([7, 4]);
    context.beginPath();
    context.moveTo(...view.toScreen(x - ux * reach, y - uy * reach));
    context.lineTo(...view.toScreen(x + ux * reach, y + uy * reach));
    context.stroke();
    // Parts in contact only have no common one.
    const [cx, cy] = this.data.shearCentre ?? this.at;
    const along = (cx - x) * ux + (cy - y) * uy;
    const near = [x + along * ux, y + along * uy];
    context.globalAlpha = 1;
    context.setLineDash([]);
    context.strokeStyle = colours.accent;
    context.beginPath();
    context.moveTo(...view.toScreen(cx, cy));
    context.lineTo(...view.toScreen(...near));
    context.stroke();
    context.restore();
  }

  tailAt() {
    const [fx, fy] = this.view.toScreen(...this.at);
    const long = this.long / this.unit;
    return [fx - this.force[0] * long, fy + this.force[1] * long];
  }

  // -- the hand ---------------------------------------------------------------------------------------
  told() {
    this.request();
    this.changed();
  }

  listen() {
    let start = null;
    const begin = () => {
      start = { at: [...this.at], tail: this.tailAt() };
      this.held = true;
    };
    const end = () => {
      this.held = false;
      this.told();
    };
    draggable(this.foot, {
      begin,
      move: (dx, dy) => {
        const { scale } = this.view;
        this.place(start.at[0] + dx / scale, start.at[1] - dy / scale);
      },
      end,
    });
    draggable(this.tail, {
      begin,
      move: (dx, dy) => {
        const [fx, fy] = this.view.toScreen(...this.at);
        this.aim(fx - start.tail[0] - dx, -(fy - start.tail[1] - dy));
      },
      end,
    });
    this.foot.addEventListener("keydown", (event) => {
      const way = arrow(event);
      if (!way) return;
      event.preventDefault();
      const step = this.step();
      this.at = this.at.map((c, k) => rounded(c + way[k] * step, step / 10));
      this.told();
    });
    this.tail.addEventListener("keydown", (event) => {
      const way = arrow(event);
      if (!way) return;
      event.preventDefault();
      // Left and right turn by five degrees, up and down change the size by a tenth.
      const [turn, grow] = [(-way[0] * Math.PI) / 36, 1.1 ** way[1]];
      const [x, y] = this.force;
      const [c, s] = [Math.cos(turn) * grow, Math.sin(turn) * grow];
      this.force = [tidy(c * x - s * y, this.unit), tidy(s * x + c * y, this.unit)];
      this.told();
    });
  }

  step() {
    const { view } = this;
    return stepOf(0.5 / view.scale, 1, Math.max(view.x1 - view.x0, view.y1 - view.y0));
  }

  // The foot finds the shear centre, and the height or side of it.
  place(x, y) {
    const { scale } = this.view;
    const near = (a, b) => Math.abs(a - b) * scale < SNAP;
    const step = this.step();
    const [cx, cy] = this.data.shearCentre ?? [NaN, NaN];
    this.at = [near(x, cx) ? cx : rounded(x, step), near(y, cy) ? cy : rounded(y, step)];
    this.told();
  }

  // From the arrow in pixels: close to upright or level it is exactly that.
  aim(dx, dy) {
    const long = Math.hypot(dx, dy);
    if (long < 12) return;
    let angle = Math.atan2(dy, dx);
    const quarter = Math.round(angle / (Math.PI / 2)) * (Math.PI / 2);
    if (Math.abs(angle - quarter) < (SQUARE * Math.PI) / 180) angle = quarter;
    const size = rounded((long / this.long) * this.unit, this.unit / 20);
    this.force = [tidy(size * Math.cos(angle), size), tidy(size * Math.sin(angle), size)];
    this.told();
  }
}

function grip(kind, name) {
  const roles = { foot: "button", tail: "slider" };
  return el(
    "div",
    {
      class: `handle force ${kind}`,
      role: roles[kind],
      tabindex: "0",
      "aria-label": name,
      "aria-valuemin": kind === "tail" ? "0" : null,
    },
    el("span", { class: "grip", "aria-hidden": "true" }),
    el("span", { class: "chip", "aria-hidden": "true" }),
  );
}
