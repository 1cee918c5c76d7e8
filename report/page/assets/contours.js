// Values at the samples as coloured contours, painted into a picture behind everything else.

import { dotTriangles, fillTriangles } from "./raster.js";

const LINE = 0.62;

// `ratio`: pixels of the picture to one of the view; `thin`: walls about as thin as a pixel; `lines`,
// for a deep target: heights at the samples and the step between lines of equal height.
export function paintContours(picture, target, given) {
  const { fields, values, span, table, view, ratio, thin, lines } = given;
  const { scale } = view;
  const count = fields.x.length;
  const [px, py] = [new Float64Array(count), new Float64Array(count)];
  for (let k = 0; k < count; k += 1) {
    px[k] = (view.width / 2 + (fields.x[k] - view.cx) * scale) * ratio;
    py[k] = (view.height / 2 - (fields.y[k] - view.cy) * scale) * ratio;
  }
  const [left, top, right, bottom] = bounds(px, py, target);
  const pencil = picture.getContext("2d");
  pencil.clearRect(0, 0, target.width, target.height);
  if (right <= left || bottom <= top) return;
  target.clear();
  const deep = lines ? { light: lines.heights, depth: new Float64Array(count) } : null;
  fillTriangles(target, fields.triangles, px, py, values, deep);
  if (thin) dotTriangles(target, fields.triangles, px, py, values, 1);
  // Nothing outside the section's own frame is touched, and of a row what the section covers; the
  // pixels are kept from picture to picture.
  target.image ??= pencil.createImageData(target.width, target.height);
  const pixels = new Uint32Array(target.image.data.buffer);
  const [low, high] = span;
  const stretch = high > low ? 256 / (high - low) : 0;
  for (let row = top; row < bottom; row += 1) {
    const start = row * target.width;
    pixels.fill(0, start + left, start + right);
    const end = start + target.to[row];
    for (let pixel = start + target.from[row]; pixel < end; pixel += 1) {
      if (target.triangle[pixel] < 0) continue;
      const entry = Math.floor((target.value[pixel] - low) * stretch);
      pixels[pixel] = table[entry < 0 ? 0 : entry > 255 ? 255 : entry];
    }
  }
  if (lines) drawLines(target, lines.step, top, bottom);
  pencil.putImageData(target.image, 0, 0, left, top, right - left, bottom - top);
}

// Frame of the triangles in whole pixels, within the target.
function bounds(px, py, { width, height }) {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < px.length; k += 1) {
    if (px[k] < x0) x0 = px[k];
    if (px[k] > x1) x1 = px[k];
    if (py[k] < y0) y0 = py[k];
    if (py[k] > y1) y1 = py[k];
  }
  return [
    Math.max(0, Math.floor(x0) - 2),
    Math.max(0, Math.floor(y0) - 2),
    Math.min(width, Math.ceil(x1) + 2),
    Math.min(height, Math.ceil(y1) + 2),
  ];
}

// Pixels where the height passes a line darken: much faster than as many strokes.
function drawLines(target, step, top, bottom) {
  const { width, light, triangle } = target;
  const pixels = target.image.data;
  const level = (k) => Math.floor(light[k] / step + 0.5);
  for (let row = top; row < bottom - 1; row += 1) {
    const end = row * width + Math.min(target.to[row], width - 1);
    for (let pixel = row * width + target.from[row]; pixel < end; pixel += 1) {
      if (triangle[pixel] < 0) continue;
      const here = level(pixel);
      const next = triangle[pixel + 1] < 0 ? here : level(pixel + 1);
      const below = triangle[pixel + width] < 0 ? here : level(pixel + width);
      if (next === here && below === here) continue;
      for (let c = 4 * pixel; c < 4 * pixel + 3; c += 1) pixels[c] *= LINE;
    }
  }
}
