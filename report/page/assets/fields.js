// The stress of any combination of actions: a weighted sum of the unit stresses, at every sample.

import { coordinates, decoded } from "./decode.js";

// Scalars of the normal stress s and the shear (x, y), as the solver defines them.
const SCALARS = {
  normal: (s) => s,
  shear: (s, x, y) => Math.hypot(x, y),
  "shear-x": (s, x) => x,
  "shear-y": (s, x, y) => y,
  "principal-max": (s, x, y) => s / 2 + Math.sqrt((s * s) / 4 + x * x + y * y),
  "principal-min": (s, x, y) => s / 2 - Math.sqrt((s * s) / 4 + x * x + y * y),
  "von Mises": (s, x, y) => Math.sqrt(s * s + 3 * (x * x + y * y)),
};
// V_x, V_y, T and T_w bring shear, which has no bound at a sharp corner.
const SHEARING = [3, 4, 5, 6];

export function scalar(key, s, x, y) {
  return SCALARS[key](s, x, y);
}

export class Fields {
  constructor(data) {
    Object.assign(this, coordinates(data.points));
    this.count = this.x.length;
    this.triangles = decoded(data.triangles);
    this.region = decoded(data.region);
    this.regions = data.regions;
    this.factor = data.factor;
    this.corners = data.corners;
    this.components = data.components;
    this.known = data.known;
    this.unitSigma = data.sigma.map((f) => ({ action: f.action, values: decoded(f) }));
    this.unitTau = data.tau.map((f) => ({
      action: f.action,
      x: decoded(f.components[0]),
      y: decoded(f.components[1]),
    }));
    this.actions = new Float64Array(8);
    this.sigma = new Float32Array(this.count);
    this.tauX = new Float32Array(this.count);
    this.tauY = new Float32Array(this.count);
    this.peaks = data.peaks ? new Peaks(data.peaks) : null;
  }

  // 1 for each sample in the surroundings of a corner, found when asked for: under a moving hand
  // nobody does.
  get refused() {
    this.near ??= this.nearCorners();
    return this.near;
  }

  nearCorners() {
    const near = new Uint8Array(this.count);
    for (const { at, radius } of this.corners) {
      for (let k = 0; k < this.count; k += 1) {
        const [dx, dy] = [this.x[k] - at[0], this.y[k] - at[1]];
        if (dx * dx + dy * dy < radius * radius) near[k] = 1;
      }
    }
    return near;
  }

  // The corner whose surroundings hold a place, if any.
  cornerAt(x, y) {
    return this.corners.find((c) => Math.hypot(x - c.at[0], y - c.at[1]) < c.radius);
  }

  combine(actions) {
    this.actions.set(actions);
    this.sigma.fill(0);
    this.tauX.fill(0);
    this.tauY.fill(0);
    for (const unit of this.unitSigma) add(this.sigma, unit.values, actions[unit.action]);
    for (const unit of this.unitTau) {
      add(this.tauX, unit.x, actions[unit.action]);
      add(this.tauY, unit.y, actions[unit.action]);
    }
    this.peaks?.combine(actions);
  }

  get sheared() {
    return SHEARING.some((k) => this.actions[k] !== 0);
  }

  // True where the surroundings of sharp corners say nothing of a component.
  refuses(component) {
    return component.sheared && this.sheared && this.corners.length > 0;
  }

  values(component) {
    const of = SCALARS[component.key];
    const out = new Float32Array(this.count);
    for (let k = 0; k < this.count; k += 1) out[k] = of(this.sigma[k], this.tauX[k], this.tauY[k]);
    return out;
  }

  // Largest (side 1) or smallest (side -1) value of a component: the solver's own where it knows
  // this state, else the best of the samples and of the points that were chosen for their peaks.
  extreme(component, side, values = this.values(component)) {
    const exact = this.exact(component.key, side);
    if (exact) return exact;
    const sample = this.sampled(component, side, values);
    const peak = this.peaks?.extreme(component, side, this.refuses(component));
    const better = peak && !(side * sample.value > side * peak.value) ? peak : sample;
    return { ...better, exact: false };
  }

  sampled(component, side, values) {
    const refused = this.refuses(component) ? this.refused : null;
    let best = -1;
    for (let k = 0; k < this.count; k += 1) {
      if (refused?.[k]) continue;
      if (best < 0 || side * values[k] > side * values[best]) best = k;
    }
    return best < 0
      ? { value: NaN, at: null }
      : { value: values[best], at: [this.x[best], this.y[best]] };
  }

  // A known state may be met with any factor; a negative one swaps maximum and minimum.
  exact(key, side) {
    for (const state of this.known) {
      const factor = ratio(this.actions, state.values);
      if (!factor) continue;
      const sign = Math.sign(factor);
      const even = key === "shear" || key === "von Mises";
      const wanted = even ? key : sign < 0 ? mirrored(key) : key;
      const from = even ? side : side * sign;
      const found = state.extremes.find((e) => e.component === wanted && e.side === from);
      if (found) {
        const value = (even ? Math.abs(factor) : factor) * found.value;
        return { value, at: found.at, exact: true };
      }
    }
    return null;
  }

  // Largest factored von Mises stress over strength; null where a strength is missing.
  utilisation() {
    if (this.regions.some((r) => r.strength === null)) return null;
    const mises = this.components.find((c) => c.key === "von Mises");
    const strengths = this.regions.map((r) => r.strength);
    if (strengths.every((s) => s === strengths[0])) {
      const { value } = this.extreme(mises, 1);
      return (this.factor * value) / strengths[0];
    }
    const values = this.values(mises);
    const share = values.map((v, k) => v / strengths[this.region[k]]);
    const sample = this.sampled(mises, 1, share).value;
    const peak = this.peaks?.extreme(mises, 1, this.refuses(mises), strengths);
    return this.factor * Math.max(sample, peak?.value ?? sample);
  }

  // Place, normal stress and shear inside a triangle, by its corners' weights.
  inside(triangle, weights) {
    let [s, x, y] = [0, 0, 0];
    const at = [0, 0];
    for (let c = 0; c < 3; c += 1) {
      const k = this.triangles[3 * triangle + c];
      at[0] += weights[c] * this.x[k];
      at[1] += weights[c] * this.y[k];
      s += weights[c] * this.sigma[k];
      x += weights[c] * this.tauX[k];
      y += weights[c] * this.tauY[k];
    }
    return { at, s, x, y };
  }

  // Weights of a triangle's corners at a place.
  weights(triangle, px, py) {
    const [a, b, c] = [0, 1, 2].map((k) => this.triangles[3 * triangle + k]);
    const { x, y } = this;
    const det = (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a]);
    const wb = ((px - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (py - y[a])) / det;
    const wc = ((x[b] - x[a]) * (py - y[a]) - (px - x[a]) * (y[b] - y[a])) / det;
    return [1 - wb - wc, wb, wc];
  }
}

// The few points that hold the extremes of combined actions.
class Peaks {
  constructor(data) {
    Object.assign(this, coordinates(data.points));
    this.count = this.x.length;
    this.below = data.below;
    this.region = decoded(data.region);
    this.unitSigma = data.sigma.map((f) => ({ action: f.action, values: decoded(f) }));
    this.unitTau = data.tau.map((f) => ({
      action: f.action,
      x: decoded(f.components[0]),
      y: decoded(f.components[1]),
    }));
    this.sigma = new Float64Array(this.count);
    this.tauX = new Float64Array(this.count);
    this.tauY = new Float64Array(this.count);
    this.refused = decoded(data.refused);
  }

  combine(actions) {
    for (const sum of [this.sigma, this.tauX, this.tauY]) sum.fill(0);
    for (const unit of this.unitSigma) add(this.sigma, unit.values, actions[unit.action]);
    for (const unit of this.unitTau) {
      add(this.tauX, unit.x, actions[unit.action]);
      add(this.tauY, unit.y, actions[unit.action]);
    }
  }

  // Largest or smallest value outside what is refused; over each region's strength where given.
  extreme(component, side, skip, strengths = null) {
    const of = SCALARS[component.key];
    let [best, top] = [-1, 0];
    for (let k = 0; k < this.count; k += 1) {
      if (skip && this.refused[k]) continue;
      let value = of(this.sigma[k], this.tauX[k], this.tauY[k]);
      if (strengths) value /= strengths[this.region[k]];
      if (best < 0 || side * value > side * top) [best, top] = [k, value];
    }
    return best < 0 ? null : { value: top, at: [this.x[best], this.y[best]] };
  }
}

function add(sum, unit, weight) {
  if (!weight) return;
  for (let k = 0; k < sum.length; k += 1) sum[k] += weight * unit[k];
}

function mirrored(key) {
  if (key === "principal-max") return "principal-min";
  return key === "principal-min" ? "principal-max" : key;
}

// The factor between two sets of actions, 0 when they are not multiples of each other.
function ratio(actions, other) {
  let factor = 0;
  for (let k = 0; k < other.length; k += 1) {
    if ((actions[k] === 0) !== (other[k] === 0)) return 0;
    if (other[k] === 0) continue;
    const own = actions[k] / other[k];
    if (factor && Math.abs(own / factor - 1) > 1e-9) return 0;
    factor ||= own;
  }
  return factor;
}
