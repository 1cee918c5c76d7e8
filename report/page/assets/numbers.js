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

// A number as it is typed: with a decimal point, or with a comma where that can be nothing else.
// null for what is none.
export function typed(text) {
  let plain = text.trim().replaceAll("−", "-");
  if (/^[-+]?\d*,\d+$/.test(plain) && !/^[-+]?[1-9]\d{0,2},\d{3}$/.test(plain)) {
    plain = plain.replace(",", ".");
  }
  const number = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;
  if (!number.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}

// A field that only takes what `read` makes a number of: anything else is marked and explained, and
// the value in force stays. `read` returns the number, or a text that says what is wrong.
export function numberField(field, note, read, take, shown) {
  const say = (text) => {
    note.textContent = text;
    note.hidden = !text;
    if (text) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  };
  // What stood there before: digits typed on the way to a wrong text are not meant.
  let before = null;
  field.addEventListener("focus", () => {
    before = read(field.value);
  });
  field.addEventListener("input", () => {
    const found = read(field.value);
    say(typeof found === "number" || field.value.trim() === "" ? "" : found);
    if (typeof found === "number") take(found);
  });
  field.addEventListener("change", () => {
    const found = read(field.value);
    if (typeof found === "number") {
      before = found;
      return;
    }
    if (typeof before === "number") take(before);
    field.value = shown();
    field.removeAttribute("aria-invalid");
    if (note.textContent) note.textContent += ` The value in force is ${shown()}.`;
  });
  return () => say("");
}

// What to say of a text that is no number.
export function noNumber(text) {
  return text.includes(",")
    ? `“${text.trim()}” can be read in two ways: write a decimal point and no thousands separator.`
    : `“${text.trim()}” is not a number.`;
}

// The least of 1, 2, 5, 10, ... times a power of ten that is not below the value.
export function niceAbove(value) {
  const power = 10 ** Math.floor(Math.log10(value));
  for (const step of [1, 2, 5]) {
    if (step * power >= value * (1 - 1e-12)) return step * power;
  }
  return 10 * power;
}

// A round number a little above: a tenth finer than 1, 2, 5, so that colours are used.
export function roundAbove(value) {
  if (!(value > 0)) return 1;
  const step = niceAbove(value) / 10;
  return Math.ceil(value / step - 1e-9) * step;
}
