// A member in three dimensions as its sections turn and distort along it: under its loads, or in a
// mode. Its length is drawn shorter where it is slender; the movement is drawn larger by a factor.

import { css, theme } from "./colours.js";
import { decoded } from "./decode.js";
import { Facets, paintLit } from "./facets.js";
import { METRES } from "./lengths.js";
import { TurnedView } from "./turned_view.js";

const MOST_PIXELS = 1.1e6;
// So many facets are drawn at rest, and while it moves.
const FINE = 9000;
const QUICK = 4500;
// The length is at most this many times the section's size.
const SLENDER = 6;
const MARK = 0xa3204a;

export class MemberSolid extends TurnedView {
  constructor(canvas) {
    super(canvas, { turn: -0.95, tilt: 0.32, most: MOST_PIXELS });
    Object.assign(this, { share: 1, column: 0, station: 0 });
  }

  clear() {
    this.shape = null;
    this.request();
  }

  // `shape`: borders, and the functions that move them; `place(share)` [ahead, aside, heading] of
  // the axis in plan, whose unit and length are given.
  show(shape, { place, unit, length }) {
    this.shape = shape;
    this.length = length;
    this.functions = decoded(shape.functions);
    this.parts = shape.parts.map((part) => thinned(part));
    const own = METRES[shape.unit] / METRES[unit];
    const size = own * Math.max(...this.parts.map((part) => part.size));
    const reach = Math.max(...[0, 0.5, 1].map((s) => Math.hypot(place(s)[0] - place(0)[0], place(s)[1] - place(0)[1])));
    this.shorter = Math.min(1, (SLENDER * size) / Math.max(reach, 1e-9));
    Object.assign(this, { place, own, size });
    this.rings = new Map();
    this.request();
  }

  // -- geometry -------------------------------------------------------------------------------------
  // The border at one of the shape's stations, moved by a share of its movement: [x, y] pairs.
  moved(k, share) {
    const { stations, count } = this.shape;
    const part = this.parts.find((p) => (k / (stations - 1)) * this.length <= p.end) ?? this.parts.at(-1);
    const from = (this.column * stations + k) * count;
    const { edges, rows } = part;
    const found = new Float32Array(edges.length);
    for (let i = 0; i < edges.length; i += 1) {
      let sum = 0;
      for (let n = 0; n < count; n += 1) sum += rows[i * count + n] * this.functions[from + n];
      found[i] = edges[i] + share * sum;
    }
    return { part, points: found };
  }

  // A border in space at a station.
  ring(k, share) {
    const { part, points } = this.moved(k, share);
    const at = k / (this.shape.stations - 1);
    const [ahead, aside, heading] = this.place(at);
    const [c, s] = [Math.cos(heading), Math.sin(heading)];
    const { own, shorter } = this;
    const found = [];
    for (let i = 0; i < points.length; i += 2) {
      const [x, y] = [points[i] * own, points[i + 1] * own];
      found.push([aside * shorter + x * c, y, ahead * shorter - x * s]);
    }
    return { part, found };
  }

  chosen() {
    const { stations } = this.shape;
    const ring = Math.max(...this.parts.map((p) => p.count * (p.places - 1)));
    const most = (this.quick ? QUICK : FINE) / Math.max(ring, 1);
    const n = Math.min(Math.max(Math.round(most), 12), 48);
    const ks = Array.from({ length: n + 1 }, (_, k) => Math.round((k / n) * (stations - 1)));
    return [...new Set(ks)];
  }

  // Screen and depth; the frame holds the member at rest with room for its movement.
  camera() {
    const turned = this.turned();
    const project = (...place) => {
      const [across, up, away] = turned(...place);
      return [across, up, -away];
    };
    const { stations } = this.shape;
    const ks = [0, 0.25, 0.5, 0.75, 1].map((s) => Math.round(s * (stations - 1)));
    const places = ks.flatMap((k) => this.ring(k, 0).found);
    return this.framed(project, places, 0.22 * this.size);
  }

  // -- drawing --------------------------------------------------------------------------------------
  draw() {
    const { target, context } = this;
    if (!target) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, target.width, target.height);
    if (!this.shape) return;
    const at = this.camera();
    const colours = theme(this.canvas);
    const share = this.factor * this.share;
    const ks = this.chosen();
    target.clear();
    const walls = new Facets(at);
    let before = null;
    for (const k of ks) {
      const now = this.ring(k, share);
      if (before) this.between(before, now, walls);
      before = now;
    }
    walls.fill(target);
    paintLit(this.picture, target);
    context.drawImage(this.picture, 0, 0);
    const ends = [ks[0], ks.at(-1)];
    for (const k of ends) this.outline(this.ring(k, share), at, colours.ink, 1);
    const marked = Math.round((this.station / this.length) * (this.shape.stations - 1));
    const mark = Math.min(Math.max(marked, 0), this.shape.stations - 1);
    this.outline(this.ring(mark, 0), at, colours.ink, 1, [4, 3]);
    this.outline(this.ring(mark, share), at, css(MARK), 2);
  }

  // The walls between two stations; where the section steps, that of the second.
  between(before, now, walls) {
    if (before.part !== now.part && before.found.length !== now.found.length) return;
    const { count, places } = now.part;
    for (let e = 0; e < count; e += 1) {
      for (let p = 0; p + 1 < places; p += 1) {
        const i = e * places + p;
        walls.add([before.found[i], before.found[i + 1], now.found[i + 1], now.found[i]]);
      }
    }
  }

  outline({ part, found }, at, colour, width, dash = []) {
    const { context, ratio } = this;
    context.save();
    context.strokeStyle = colour;
    context.lineWidth = width * ratio;
    context.setLineDash(dash.map((d) => d * ratio));
    context.beginPath();
    found.forEach((place, i) => {
      const [px, py] = at(...place);
      if (i % part.places === 0) context.moveTo(px, py);
      else context.lineTo(px, py);
    });
    context.stroke();
    context.restore();
  }
}

// Edges with their ends alone where there are many of them, and with their middle elsewhere.
function thinned({ end, places, edges, rows }) {
  const [all, every] = [decoded(edges), decoded(rows)];
  const count = all.length / (2 * places);
  const functions = every.length / Math.max(all.length, 1);
  const step = places > 2 ? (count > 60 ? places - 1 : (places - 1) / 2) : 1;
  const kept = [];
  for (let e = 0; e < count; e += 1) {
    for (let p = 0; p < places; p += step) kept.push(e * places + p);
  }
  const own = new Float32Array(2 * kept.length);
  const moves = new Float32Array(2 * kept.length * functions);
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  kept.forEach((from, k) => {
    for (let c = 0; c < 2; c += 1) {
      own[2 * k + c] = all[2 * from + c];
      box[c] = Math.min(box[c], own[2 * k + c]);
      box[2 + c] = Math.max(box[2 + c], own[2 * k + c]);
      for (let n = 0; n < functions; n += 1) {
        moves[(2 * k + c) * functions + n] = every[(2 * from + c) * functions + n];
      }
    }
  });
  const size = Math.max(box[2] - box[0], box[3] - box[1]);
  return { end, count, places: kept.length / count, edges: own, rows: moves, size };
}
