// Colour tables, and what the page's theme says of ink and paper.

const BANDS = 20;

// 256 entries as the bytes of a picture (red, green, blue, opaque) in one 32-bit number.
export function pixelTable(table) {
  return Uint32Array.from(table, (c) => {
    const [r, g, b] = channels(c);
    return ((255 << 24) | (b << 16) | (g << 8) | r) >>> 0;
  });
}

export function channels(colour) {
  return [(colour >> 16) & 255, (colour >> 8) & 255, colour & 255];
}

export function css(colour) {
  return `rgb(${channels(colour).join(" ")})`;
}

// Colours in steps: contours are read off their edges.
export function banded(table) {
  return table.map((_, k) => {
    const band = Math.min(BANDS - 1, Math.floor((k / 256) * BANDS));
    return table[Math.round(((band + 0.5) / BANDS) * 255)];
  });
}

// Colours of drawings, whose ground is light in either theme: custom properties of the style sheet.
export function theme(element) {
  const style = getComputedStyle(element);
  const of = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: of("plot-ink"),
    paper: of("plot"),
    faint: of("plot-faint"),
    accent: of("plot-accent"),
  };
}
