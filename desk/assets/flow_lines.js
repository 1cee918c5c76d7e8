// Lines along which the shear of a torque flows: lines of equal height of the stress function. The
// same shear flow passes between any two neighbours.

import { Trace } from "./trace.js";

export function flowLines(fields, heights, levels, place) {
  const path = new Trace();
  const { triangles, x, y } = fields;
  const highest = heights.reduce((top, h) => Math.max(top, h), 0);
  if (!(highest > 0)) return path;
  const step = highest / levels;
  const screenX = new Float64Array(x.length);
  const screenY = new Float64Array(x.length);
  for (let k = 0; k < x.length; k += 1) [screenX[k], screenY[k]] = place(x[k], y[k]);
  for (let t = 0; t < triangles.length; t += 3) {
    let [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    // From the lowest corner to the highest.
    if (heights[a] > heights[b]) [a, b] = [b, a];
    if (heights[b] > heights[c]) [b, c] = [c, b];
    if (heights[a] > heights[b]) [a, b] = [b, a];
    const [low, middle, high] = [heights[a], heights[b], heights[c]];
    // Half a step from zero, so that the border itself is no line.
    const first = Math.ceil(low / step - 0.5);
    const last = Math.floor(high / step - 0.5);
    for (let n = Math.max(first, 0); n <= last; n += 1) {
      const h = (n + 0.5) * step;
      if (h <= low || h > high) continue;
      const long = (h - low) / (high - low);
      const lower = h <= middle;
      const short = lower ? (h - low) / (middle - low) : (h - middle) / (high - middle);
      const [p, q] = lower ? [a, b] : [b, c];
      path.moveTo(
        screenX[a] + long * (screenX[c] - screenX[a]),
        screenY[a] + long * (screenY[c] - screenY[a]),
      );
      path.lineTo(
        screenX[p] + short * (screenX[q] - screenX[p]),
        screenY[p] + short * (screenY[q] - screenY[p]),
      );
    }
  }
  return path;
}
