// Triangles filled into plain arrays. One small rasteriser serves the flat contours and the lit
// film: no graphics card is needed, and every machine draws the same picture.

export class Target {
  constructor(width, height, deep) {
    this.width = width;
    this.height = height;
    this.value = new Float32Array(width * height);
    this.triangle = new Int32Array(width * height).fill(-1);
    this.light = deep ? new Float32Array(width * height) : null;
    this.depth = deep ? new Float32Array(width * height).fill(-Infinity) : null;
    // Of each row the columns that hold anything: from the first to before the last.
    this.from = new Int32Array(height);
    this.to = new Int32Array(height);
    this.clear();
  }

  clear() {
    this.triangle.fill(-1);
    if (this.depth) this.depth.fill(-Infinity);
    this.from.fill(this.width);
    this.to.fill(0);
  }

  // Columns of a row up to before `to` are about to be filled.
  reach(row, from, to) {
    if (from < this.from[row]) this.from[row] = from;
    if (to > this.to[row]) this.to[row] = to;
  }
}

// Fill triangles with linearly varying values; a pixel belongs to the triangle that holds its
// middle. `deep` adds {light, depth} at the points: the greatest depth is nearest and wins.
export function fillTriangles(target, triangles, x, y, value, deep = null) {
  const { width, height } = target;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t];
    const b = triangles[t + 1];
    const c = triangles[t + 2];
    const low = Math.min(y[a], y[b], y[c]);
    const high = Math.max(y[a], y[b], y[c]);
    const first = Math.max(0, Math.ceil(low - 0.5));
    const last = Math.min(height - 1, Math.ceil(high - 0.5) - 1);
    if (first > last) continue;
    const bx = x[b] - x[a];
    const by = y[b] - y[a];
    const cx = x[c] - x[a];
    const cy = y[c] - y[a];
    const det = bx * cy - cx * by;
    if (det === 0) continue;
    for (let row = first; row <= last; row += 1) {
      const middle = row + 0.5;
      const ab = crossing(x, y, a, b, middle);
      const bc = crossing(x, y, b, c, middle);
      const ca = crossing(x, y, c, a, middle);
      // An edge that misses the row gives NaN, which the comparisons leave out.
      let left = Infinity;
      let right = -Infinity;
      if (ab < left) left = ab;
      if (bc < left) left = bc;
      if (ca < left) left = ca;
      if (ab > right) right = ab;
      if (bc > right) right = bc;
      if (ca > right) right = ca;
      const from = Math.max(0, Math.ceil(left - 0.5));
      const to = Math.min(width - 1, Math.ceil(right - 0.5) - 1);
      target.reach(row, from, to + 1);
      for (let column = from; column <= to; column += 1) {
        const px = column + 0.5 - x[a];
        const py = middle - y[a];
        const wb = (px * cy - cx * py) / det;
        const wc = (bx * py - px * by) / det;
        const wa = 1 - wb - wc;
        const pixel = row * width + column;
        if (deep) {
          const depth = wa * deep.depth[a] + wb * deep.depth[b] + wc * deep.depth[c];
          if (depth <= target.depth[pixel]) continue;
          target.depth[pixel] = depth;
          target.light[pixel] = wa * deep.light[a] + wb * deep.light[b] + wc * deep.light[c];
        }
        target.value[pixel] = wa * value[a] + wb * value[b] + wc * value[c];
        target.triangle[pixel] = t / 3;
      }
    }
  }
}

// Where an edge crosses the middle of a row. From the lower end always, so that both triangles of
// an edge get the same number and leave no gap between them.
function crossing(x, y, a, b, row) {
  const rising = y[a] < y[b];
  const p = rising ? a : b;
  const q = rising ? b : a;
  if (y[p] > row || y[q] <= row) return NaN;
  return x[p] + ((row - y[p]) / (y[q] - y[p])) * (x[q] - x[p]);
}

// Walls thinner than a pixel or two would vanish between the pixels' middles: mark every triangle
// with a dot, the greatest magnitude on top.
export function dotTriangles(target, triangles, x, y, value, radius) {
  const { width, height } = target;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const mean = (value[a] + value[b] + value[c]) / 3;
    const column = Math.floor((x[a] + x[b] + x[c]) / 3);
    const row = Math.floor((y[a] + y[b] + y[c]) / 3);
    const [from, to] = [Math.max(0, column - radius), Math.min(width - 1, column + radius)];
    for (let j = Math.max(0, row - radius); j <= Math.min(height - 1, row + radius); j += 1) {
      target.reach(j, from, to + 1);
      for (let i = from; i <= to; i += 1) {
        const pixel = j * width + i;
        if (target.triangle[pixel] >= 0 && Math.abs(target.value[pixel]) >= Math.abs(mean)) continue;
        target.value[pixel] = mean;
        target.triangle[pixel] = t / 3;
      }
    }
  }
}
