// The soap film: the stress function as a lit surface that can be turned.

import { channels } from "./colours.js";
import { coordinates, decoded } from "./decode.js";
import { giveSize, onceAFrame } from "./frames.js";
import { Target, fillTriangles } from "./raster.js";

const MOST_PIXELS = 1.6e6;
const LEVELS = 12;
const LID = [150, 160, 172];
// From over the reader's left shoulder, in the screen's axes (right, up, toward the reader).
const LAMP = unit([-0.45, 0.65, 0.62]);
const HALF = unit([LAMP[0], LAMP[1], LAMP[2] + 1]);

function unit(v) {
  const size = Math.hypot(...v);
  return v.map((c) => c / size);
}

export class FilmView {
  // `most()`: the height in pixels that there is room for.
  request = onceAFrame(() => this.draw());

  constructor(canvas, data, fields, most = () => 560) {
    Object.assign(this, { canvas, data, most });
    this.context = canvas.getContext("2d");
    this.picture = document.createElement("canvas");
    this.colours = data.colours.magnitude.map(channels);
    this.turn = -0.45;
    this.tilt = 0.62;
    this.rise = 1;
    this.gather(fields);
    this.listen();
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
    this.resize();
  }

  // Film and lids as one set of triangles. The film's slope is the shear of a unit torque, so its
  // normals are exact: (-dh/dx, -dh/dy, 1) with dh/dx = -tau_y and dh/dy = tau_x.
  gather(fields) {
    const { film } = this.data;
    const heights = decoded(film.height);
    const torque = fields.unitTau.find((u) => u.action === 5);
    const lids = film.lids.map((lid) => ({ ...coordinates(lid.points), lid }));
    const total = fields.count + lids.reduce((n, l) => n + l.x.length, 0);
    const [x0, y0, x1, y1] = this.data.bounds;
    this.x = new Float64Array(total);
    this.y = new Float64Array(total);
    this.h = new Float64Array(total);
    this.slopeX = new Float64Array(total);
    this.slopeY = new Float64Array(total);
    this.value = new Float64Array(total).fill(-1);
    const slopes = [];
    for (let k = 0; k < fields.count; k += 1) {
      this.x[k] = fields.x[k] - (x0 + x1) / 2;
      this.y[k] = fields.y[k] - (y0 + y1) / 2;
      this.h[k] = heights[k];
      this.slopeX[k] = -torque.y[k];
      this.slopeY[k] = torque.x[k];
      this.value[k] = Math.hypot(torque.x[k], torque.y[k]);
      if (!fields.refused[k]) slopes.push(this.value[k]);
    }
    this.steepest = slopes.reduce((a, b) => Math.max(a, b), 0);
    const triangles = [fields.triangles];
    let at = fields.count;
    for (const { x, y, lid } of lids) {
      for (let k = 0; k < x.length; k += 1) {
        this.x[at + k] = x[k] - (x0 + x1) / 2;
        this.y[at + k] = y[k] - (y0 + y1) / 2;
        this.h[at + k] = lid.height;
      }
      const start = at;
      triangles.push(decoded(lid.triangles).map((v) => v + start));
      at += x.length;
    }
    this.triangles = Uint32Array.from(triangles.flatMap((list) => [...list]));
    this.highest = this.h.reduce((a, b) => Math.max(a, b), 0);
    // Slopes are those of the shown units; heights have their own: bring both to lengths.
    this.natural = (0.4 * Math.sqrt((x1 - x0) * (y1 - y0))) / this.highest;
    this.slopeScale = film.slope;
    this.frame = { width: x1 - x0, depth: y1 - y0, top: this.highest };
    this.steepestShown = this.steepest;
  }

  // One scale for several films: `size` brings this one's lengths to those of all, `rise` its heights.
  // `width`, `depth`, `top` and `slope` are the largest of all, after that.
  share({ size, rise, width, depth, top, slope }) {
    const lift = (0.4 * Math.sqrt(width * depth)) / top;
    this.natural = (lift * rise) / size;
    this.frame = { width: width / size, depth: depth / size, top: top / rise };
    this.steepestShown = (slope * size) / (rise * this.slopeScale);
    this.resize();
    this.request();
  }

  resize() {
    const width = this.canvas.parentElement.clientWidth;
    if (!width) return;
    const shape = this.frame.depth / this.frame.width;
    const room = Math.min(this.most(), width);
    const height = Math.round(Math.min(Math.max(width * (0.75 * shape + 0.18), 240), room));
    const ratio = Math.min(2, Math.sqrt(MOST_PIXELS / (width * height)));
    this.canvas.style.height = `${height}px`;
    if (this.width === width && this.height === height) return;
    Object.assign(this, { width, height, ratio });
    giveSize([this.canvas, this.picture], width, height, ratio);
    this.target = new Target(this.canvas.width, this.canvas.height, true);
    this.draw();
  }

  // Parallel projection: turned about the vertical, then tilted toward the reader.
  camera() {
    const [ct, st, ce, se] = [
      Math.cos(this.turn),
      Math.sin(this.turn),
      Math.cos(this.tilt),
      Math.sin(this.tilt),
    ];
    const [w, d] = [this.frame.width / 2, this.frame.depth / 2];
    const top = this.frame.top * this.natural * this.rise;
    const halfWidth = Math.abs(w * ct) + Math.abs(d * st);
    const halfDepth = Math.abs(w * st) + Math.abs(d * ct);
    const [low, high] = [-halfDepth * se, halfDepth * se + top * ce];
    const room = 0.92 * this.ratio;
    const scale = Math.min(
      (room * this.width) / (2 * halfWidth),
      (room * this.height) / (high - low),
    );
    return { ct, st, ce, se, scale, middle: (low + high) / 2 };
  }

  draw() {
    const { target } = this;
    if (!target) return;
    const { ct, st, ce, se, scale, middle } = this.camera();
    const n = this.x.length;
    const px = new Float64Array(n);
    const py = new Float64Array(n);
    const depth = new Float64Array(n);
    const light = new Float64Array(n);
    const lift = this.natural * this.rise;
    const slope = lift * this.slopeScale;
    for (let k = 0; k < n; k += 1) {
      const across = this.x[k] * ct - this.y[k] * st;
      const away = this.x[k] * st + this.y[k] * ct;
      const up = this.h[k] * lift;
      px[k] = target.width / 2 + across * scale;
      py[k] = target.height / 2 - (away * se + up * ce - middle) * scale;
      depth[k] = up * se - away * ce;
      light[k] = this.lit(this.slopeX[k] * slope, this.slopeY[k] * slope, ct, st, ce, se);
    }
    target.clear();
    fillTriangles(target, this.triangles, px, py, this.value, { depth, light });
    this.paint({ ce, se, scale, middle, lift });
  }

  // Light on a slope: a share that every side gets, one that turns to the lamp, and a gleam.
  lit(dx, dy, ct, st, ce, se) {
    const size = Math.hypot(dx, dy, 1);
    const across = -(dx * ct - dy * st) / size;
    const away = -(dx * st + dy * ct) / size;
    const up = 1 / size;
    const [sx, sy, sz] = [across, away * se + up * ce, up * se - away * ce];
    const facing = Math.max(0, sx * LAMP[0] + sy * LAMP[1] + sz * LAMP[2]);
    const gleam = Math.max(0, sx * HALF[0] + sy * HALF[1] + sz * HALF[2]) ** 40;
    return 0.42 + 0.58 * facing + 0.5 * gleam;
  }

  // Slope as colour, light as brightness, and lines of equal height: the shear flows along them,
  // the same flow between any two.
  paint({ ce, se, scale, middle, lift }) {
    const { target } = this;
    const { width, height } = target;
    const pencil = this.picture.getContext("2d");
    const image = pencil.createImageData(width, height);
    const pixels = image.data;
    const levels = new Int16Array(width * height).fill(-1);
    for (let k = 0; k < levels.length; k += 1) {
      if (target.triangle[k] < 0) continue;
      const up = (height / 2 - Math.floor(k / width) - 0.5) / scale + middle;
      const h = (up * ce + target.depth[k] * se) / lift;
      levels[k] = Math.floor((h / this.frame.top) * LEVELS + 1e-6);
      const value = target.value[k];
      const share = Math.min(255, Math.floor((value / this.steepestShown) * 256));
      const colour = value < 0 ? LID : this.colours[share];
      const glow = Math.max(0, target.light[k] - 1);
      const shade = Math.min(1, target.light[k]);
      for (let c = 0; c < 3; c += 1) {
        pixels[4 * k + c] = colour[c] * shade + (255 - colour[c] * shade) * glow;
      }
      pixels[4 * k + 3] = 255;
    }
    for (let k = 0; k + width < levels.length; k += 1) {
      const [here, right, below] = [levels[k], levels[k + 1], levels[k + width]];
      // More than a step at once is a wall too steep for lines: they would only blacken it.
      const line = [right, below].some((l) => Math.abs(l - here) === 1 && l >= 0 && here >= 0);
      if (line) for (let c = 0; c < 3; c += 1) pixels[4 * k + c] *= 0.5;
    }
    pencil.putImageData(image, 0, 0);
    this.context.setTransform(1, 0, 0, 1, 0, 0);
    this.context.clearRect(0, 0, width, height);
    this.context.drawImage(this.picture, 0, 0);
  }

  set(turn, tilt, rise) {
    Object.assign(this, { turn, tilt, rise });
    this.request();
  }

  listen() {
    const { canvas } = this;
    let last = null;
    canvas.addEventListener("pointerdown", (event) => {
      last = [event.offsetX, event.offsetY];
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!last) return;
      const now = [event.offsetX, event.offsetY];
      this.turnBy((now[0] - last[0]) * 0.008, (now[1] - last[1]) * 0.008);
      last = now;
    });
    for (const name of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(name, () => {
        last = null;
      });
    }
    canvas.addEventListener("keydown", (event) => {
      const moves = {
        ArrowLeft: [-0.09, 0],
        ArrowRight: [0.09, 0],
        ArrowUp: [0, -0.06],
        ArrowDown: [0, 0.06],
      };
      if (!moves[event.key]) return;
      event.preventDefault();
      this.turnBy(...moves[event.key]);
    });
  }

  turnBy(turn, tilt) {
    const full = 2 * Math.PI;
    const next = this.turn + turn;
    this.turn = next > Math.PI ? next - full : next < -Math.PI ? next + full : next;
    this.tilt = Math.min(Math.max(this.tilt + tilt, 0.05), Math.PI / 2);
    this.onTurn?.(this.turn, this.tilt);
    this.request();
  }
}
