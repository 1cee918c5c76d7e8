// Units of length in metres, as files name them (inch and foot of 1959: exact).

export const METRES = { mm: 1e-3, cm: 1e-2, m: 1, in: 0.0254, ft: 0.3048 };

const STATED = /^\s*[-+]?[\d.]+(?:e[-+]?\d+)?\s*(mm|cm|m|in|ft)\s*$/i;

// The unit in which a text states a length, and how many of it are one of `unit`.
export function statedUnit(text, unit) {
  const own = STATED.exec(text ?? "")?.[1];
  if (!METRES[unit] || !METRES[own]) return { unit, factor: 1 };
  return { unit: own, factor: METRES[unit] / METRES[own] };
}
