// Walls as lit facets in three dimensions, filled into pixels: what is drawn of members as they move.

import { giveSize } from "./frames.js";
import { Target, fillTriangles } from "./raster.js";

const STEEL = [176, 190, 200];
const LAMP = unit([-0.4, 0.7, 0.6]);

function unit(v) {
  const size = Math.hypot(...v);
  return v.map((c) => c / size);
}

export class Facets {
  // `at(x, y, z)` gives screen and depth of a place.
  constructor(at) {
    Object.assign(this, { at, px: [], py: [], depth: [], light: [], value: [], triangles: [] });
  }

  // Four corners in space.
  add(corners) {
    const [a, b, , d] = corners;
    const p = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    const q = [d[0] - a[0], d[1] - a[1], d[2] - a[2]];
    const normal = unit([
      p[1] * q[2] - p[2] * q[1],
      p[2] * q[0] - p[0] * q[2],
      p[0] * q[1] - p[1] * q[0],
    ]);
    const shade = 0.55 + 0.45 * Math.abs(normal[0] * LAMP[0] + normal[1] * LAMP[1] + normal[2] * LAMP[2]);
    const first = this.px.length;
    for (const corner of corners) {
      const [px, py, depth] = this.at(...corner);
      this.px.push(px);
      this.py.push(py);
      this.depth.push(depth);
      this.light.push(shade);
      this.value.push(-1);
    }
    this.triangles.push(first, first + 1, first + 2, first, first + 2, first + 3);
  }

  fill(target) {
    fillTriangles(target, this.triangles, this.px, this.py, this.value, this);
  }
}

// The target's pixels on a canvas: steel where there is no value, else `colour(value)`.
export function paintLit(canvas, target, colour = () => STEEL) {
  const pencil = canvas.getContext("2d");
  const image = pencil.createImageData(target.width, target.height);
  const pixels = image.data;
  for (let k = 0; k < target.triangle.length; k += 1) {
    if (target.triangle[k] < 0) continue;
    const value = target.value[k];
    const shown = value < 0 ? STEEL : colour(value);
    for (let c = 0; c < 3; c += 1) pixels[4 * k + c] = shown[c] * target.light[k];
    pixels[4 * k + 3] = 255;
  }
  pencil.putImageData(image, 0, 0);
}

// A canvas of its parent's size, its second one for lit pixels, and their target.
export function fitted(canvas, picture, most) {
  const { clientWidth: width, clientHeight: height } = canvas.parentElement;
  if (!width || !height) return null;
  const ratio = Math.min(Math.max(devicePixelRatio, 1.5), Math.sqrt(most / (width * height)));
  giveSize([canvas, picture], width, height, ratio);
  return { width, height, ratio, target: new Target(canvas.width, canvas.height, true) };
}
