// Forces in newtons: how they are written, and one that suits a section.

import { METRES } from "./lengths.js";
import { number } from "./numbers.js";

// A component of a force of some size, rounding taken off.
export function tidy(value, size) {
  return Math.abs(value) < 1e-9 * size ? 0 : Number(value.toPrecision(6));
}

export function forceText(newtons) {
  return newtons >= 1000 ? `${number(newtons / 1000, 3)} kN` : `${number(newtons, 3)} N`;
}

// A force whose torque about the section's size is about half of what the desk opens with.
export function niceForce(data) {
  const [x0, y0, x1, y1] = data.bounds;
  const metres = METRES[data.unit] ?? 1;
  const size = Math.max(x1 - x0, y1 - y0) * metres;
  const moment = { "kN·m": 1e3, "kN*m": 1e3, "N·m": 1, "kip·in": 112.98, "kip·ft": 1355.8 };
  const torque = (data.opening?.[5] ?? 1) * (moment[data.actions?.[5]?.unit] ?? 1e3);
  return Number((0.1 * torque / size).toPrecision(1));
}
