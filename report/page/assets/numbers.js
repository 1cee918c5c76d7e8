// Numbers as the printed tables write them: few digits, exponents in steps of three.

const RAISED = { "-": "⁻", 0: "⁰", 1: "¹", 2: "²", 3: "³", 4: "⁴", 5: "⁵", 6: "⁶", 7: "⁷", 8: "⁸", 9: "⁹" };

export function number(value, digits = 4) {
  if (!Number.isFinite(value)) return "none";
  if (value === 0) return "0";
  const rounded = Number(value.toExponential(digits - 1));
  const exponent = Math.floor(Math.log10(Math.abs(rounded)) + 1e-12);
  if (exponent >= -3 && exponent < 6) {
    return signed(trimmed(rounded.toFixed(Math.max(digits - 1 - exponent, 0))));
  }
  const step = 3 * Math.floor(exponent / 3);
  const mantissa = (rounded / 10 ** step).toFixed(Math.max(digits - 1 - (exponent - step), 0));
  const power = String(step).replace(/[-\d]/g, (c) => RAISED[c]);
  return `${signed(trimmed(mantissa))} × 10${power}`;
}

// A hyphen is no minus sign: it is too short and breaks lines.
function signed(text) {
  return text.replace("-", "−");
}

function trimmed(text) {
  return text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
}

// The least of 1, 2, 5, 10, ... times a power of ten that is not below the value.
export function niceAbove(value) {
  const power = 10 ** Math.floor(Math.log10(value));
  for (const step of [1, 2, 5]) {
    if (step * power >= value * (1 - 1e-12)) return step * power;
  }
  return 10 * power;
}
