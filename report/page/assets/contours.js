// Values at the samples as coloured contours, painted into a picture behind everything else.

import { dotTriangles, fillTriangles } from "./raster.js";

// `ratio`: pixels of the picture to one of the view; `thin`: walls about as thin as a pixel.
export function paintContours(picture, target, { fields, values, span, table, view, ratio, thin }) {
  const { scale } = view;
  const px = Float64Array.from(fields.x, (x) => (view.width / 2 + (x - view.cx) * scale) * ratio);
  const py = Float64Array.from(fields.y, (y) => (view.height / 2 - (y - view.cy) * scale) * ratio);
  target.clear();
  fillTriangles(target, fields.triangles, px, py, values);
  if (thin) dotTriangles(target, fields.triangles, px, py, values, 1);
  const pencil = picture.getContext("2d");
  const image = pencil.createImageData(target.width, target.height);
  const pixels = new Uint32Array(image.data.buffer);
  const [low, high] = span;
  const stretch = high > low ? 256 / (high - low) : 0;
  for (let k = 0; k < pixels.length; k += 1) {
    if (target.triangle[k] < 0) continue;
    const entry = Math.floor((target.value[k] - low) * stretch);
    pixels[k] = table[entry < 0 ? 0 : entry > 255 ? 255 : entry];
  }
  pencil.putImageData(image, 0, 0);
}
