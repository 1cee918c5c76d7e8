// Values as a hand means them: to a step that fits the drawing's scale.

// The largest of 1, 2, 5 times a power of ten that is not above a value.
export function niceBelow(value) {
  const power = 10 ** Math.floor(Math.log10(value) + 1e-12);
  return [5, 2, 1].map((s) => s * power).find((s) => s <= value * (1 + 1e-9));
}

// A step of about two pixels' worth, never finer than a thousandth of what is drawn.
export function stepOf(perPixel, gain, size) {
  return niceBelow(Math.max(2 * perPixel * Math.abs(gain), size / 5000));
}

export function rounded(value, step) {
  const whole = Math.round(value / step) * step;
  return Number(whole.toPrecision(12));
}

export function clamped(value, least, most) {
  return Math.min(Math.max(value, least ?? -Infinity), most ?? Infinity);
}

// A number as it is written in a file.
export function written(value) {
  return String(Number(value.toPrecision(9)));
}
