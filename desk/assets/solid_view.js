// A length of the member in three dimensions: at rest as lines, and twisted and bent, to scale times
// a factor that is written beside it. The fixed end is at the back, the pushed one in front.

import { channels, css, theme } from "./colours.js";
import { Facets, paintLit } from "./facets.js";
import { fillTriangles } from "./raster.js";
import { Trace } from "./trace.js";
import { TurnedView } from "./turned_view.js";

const MOST_PIXELS = 1.2e6;
const MOST_POINTS = 150;

export class SolidView extends TurnedView {
  constructor(canvas) {
    super(canvas, { turn: -0.5, tilt: 0.3, most: MOST_PIXELS });
  }

  // `runs`: the outline's closed lines; `pushed`: the axis' movement and the twist at stations z;
  // `face`: fields and values of the stress at the front, and its colours.
  show(runs, bounds, pushed, face) {
    Object.assign(this, { bounds, pushed, face });
    this.runs = runs.map(thinned);
    this.request();
  }

  // -- geometry -------------------------------------------------------------------------------------
  // Where a point of the section goes at a station: turned about the shear centre, then moved.
  moved(x, y, k, factor = this.factor) {
    const { u, v, twist, axis } = this.pushed;
    const a = factor * twist[k];
    const [c, s] = [Math.cos(a), Math.sin(a)];
    const [dx, dy] = [x - axis[0], y - axis[1]];
    return [axis[0] + c * dx - s * dy + factor * u[k], axis[1] + s * dx + c * dy + factor * v[k]];
  }

  // Screen and depth of a place: z runs to the back.
  camera() {
    const [x0, y0, x1, y1] = this.bounds;
    const { length } = this.pushed;
    const room = 0.5 * Math.max(x1 - x0, y1 - y0);
    const places = [];
    for (const x of [x0 - room, x1 + room]) {
      for (const y of [y0 - room, y1 + room]) places.push([x, y, 0], [x, y, length]);
    }
    return this.framed(this.turned(), places);
  }

  draw() {
    const { target, context, pushed } = this;
    if (!target || !pushed) return;
    const at = this.camera();
    const colours = theme(this.canvas);
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, target.width, target.height);
    this.drawWall(at, colours);
    target.clear();
    this.fillSides(at);
    this.fillFace(at);
    this.paint();
    context.drawImage(this.picture, 0, 0);
    this.drawRest(at, colours);
    this.drawForce(at);
  }

  // The walls between stations, each facet lit as it stands.
  fillSides(at) {
    const { z } = this.pushed;
    const sides = new Facets(at);
    for (const run of this.runs) {
      const n = run.x.length;
      let before = null;
      for (let k = 0; k < z.length; k += 1) {
        const now = run.x.map((x, i) => [...this.moved(x, run.y[i], k), z[k]]);
        if (before) {
          for (let i = 0; i < n; i += 1) {
            const j = (i + 1) % n;
            sides.add([before[i], before[j], now[j], now[i]]);
          }
        }
        before = now;
      }
    }
    sides.fill(this.target);
  }

  // The front carries the stress as colours.
  fillFace(at) {
    const { face, pushed } = this;
    if (!face) return;
    const { fields } = face;
    const last = pushed.z.length - 1;
    const n = fields.count;
    const [px, py, depth, light] = Array.from({ length: 4 }, () => new Float64Array(n));
    const nearer = 1e-3 * (this.bounds[2] - this.bounds[0]);
    for (let k = 0; k < n; k += 1) {
      const [x, y] = this.moved(fields.x[k], fields.y[k], last);
      [px[k], py[k], depth[k]] = at(x, y, pushed.z[last]);
      depth[k] += nearer;
      light[k] = 1;
    }
    fillTriangles(this.target, fields.triangles, px, py, face.values, { depth, light });
  }

  paint() {
    const { target, face } = this;
    const table = face?.table.map(channels);
    const share = (value) => Math.min(255, Math.max(0, Math.floor((value / face.top) * 256)));
    paintLit(this.picture, target, (value) => table[share(value)]);
  }

  // -- lines ------------------------------------------------------------------------------------------
  // A hatched plane stands for the end that is held.
  drawWall(at, colours) {
    const { context, ratio } = this;
    const [x0, y0, x1, y1] = this.bounds;
    const room = 0.35 * Math.max(x1 - x0, y1 - y0);
    const corners = [
      [x0 - room, y0 - room],
      [x1 + room, y0 - room],
      [x1 + room, y1 + room],
      [x0 - room, y1 + room],
    ].map(([x, y]) => at(x, y, 0));
    const plane = new Trace();
    for (const [px, py] of corners) plane.lineTo(px, py);
    plane.closePath();
    context.save();
    context.strokeStyle = colours.faint;
    context.lineWidth = ratio;
    context.stroke(plane);
    context.clip(plane);
    context.globalAlpha = 0.35;
    context.beginPath();
    const [left, right] = [Math.min(...corners.map((c) => c[0])), Math.max(...corners.map((c) => c[0]))];
    const [top, low] = [Math.min(...corners.map((c) => c[1])), Math.max(...corners.map((c) => c[1]))];
    for (let s = left - (low - top); s < right; s += 9 * ratio) {
      context.moveTo(s, low);
      context.lineTo(s + (low - top), top);
    }
    context.stroke();
    context.restore();
  }

  // The front as it lies without the force, dashed.
  drawRest(at, colours) {
    const { context, ratio } = this;
    const { length } = this.pushed;
    context.save();
    context.strokeStyle = colours.ink;
    context.lineWidth = ratio;
    context.setLineDash([4 * ratio, 3 * ratio]);
    context.globalAlpha = 0.7;
    for (const run of this.runs) {
      context.beginPath();
      run.x.forEach((x, k) => context.lineTo(...at(x, run.y[k], length).slice(0, 2)));
      context.closePath();
      context.stroke();
    }
    context.restore();
  }

  // The force where it acts now: its foot moves with the section, its direction does not.
  drawForce(at) {
    const { pushed, context, ratio } = this;
    const { force, place } = pushed;
    const size = Math.hypot(...force);
    if (!(size > 0)) return;
    const last = pushed.z.length - 1;
    const [x, y] = this.moved(...place, last);
    const z = pushed.z[last];
    const long = 0.45 * Math.max(this.bounds[2] - this.bounds[0], this.bounds[3] - this.bounds[1]);
    const [hx, hy] = at(x, y, z);
    const [tx, ty] = at(x - (long * force[0]) / size, y - (long * force[1]) / size, z);
    arrowTo(context, [tx, ty], [hx, hy], 3 * ratio, css(0xb34700));
  }
}

// An arrow whose head ends at `to`.
export function arrowTo(context, from, to, width, colour) {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const size = Math.hypot(dx, dy);
  if (!(size > 1)) return;
  const [ux, uy] = [dx / size, dy / size];
  const head = Math.min(4.5 * width, size);
  context.save();
  for (const [stroke, wider] of [["#fff", 3], [colour, 0]]) {
    context.strokeStyle = context.fillStyle = stroke;
    context.lineWidth = width + wider;
    context.lineJoin = "round";
    context.beginPath();
    context.moveTo(...from);
    context.lineTo(to[0] - head * ux, to[1] - head * uy);
    context.stroke();
    context.beginPath();
    context.moveTo(...to);
    context.lineTo(to[0] - head * ux + 0.42 * head * uy, to[1] - head * uy - 0.42 * head * ux);
    context.lineTo(to[0] - head * ux - 0.42 * head * uy, to[1] - head * uy + 0.42 * head * ux);
    context.closePath();
    if (wider) context.stroke();
    context.fill();
  }
  context.restore();
}

// At most so many points of a run: what is drawn small needs no more.
function thinned(run) {
  const every = Math.ceil(run.x.length / MOST_POINTS);
  const keep = (values) => Array.from(values).filter((_, k) => k % every === 0);
  return { x: keep(run.x), y: keep(run.y) };
}
