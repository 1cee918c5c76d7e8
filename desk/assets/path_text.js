// Lines of the page's own SVG as steps of a path, at their places on the screen.

const NUMBER = /-?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi;

// `place(x, y)` brings a place of the drawing to the screen. Paths here have straight lines alone.
export function steps(node, place) {
  const read = (name) => Number(node.getAttribute(name) ?? 0);
  if (node.tagName === "line") return ["M", ...place(read("x1"), read("y1")), "L", ...place(read("x2"), read("y2"))];
  if (node.tagName === "circle") return circle(read("cx"), read("cy"), read("r"), place);
  return straight(node.getAttribute("d") ?? "", place);
}

function circle(x, y, r, place) {
  const reach = 0.5523 * r;
  const corner = (px, py, qx, qy, ex, ey) => ["C", ...place(px, py), ...place(qx, qy), ...place(ex, ey)];
  return [
    "M", ...place(x + r, y),
    ...corner(x + r, y + reach, x + reach, y + r, x, y + r),
    ...corner(x - reach, y + r, x - r, y + reach, x - r, y),
    ...corner(x - r, y - reach, x - reach, y - r, x, y - r),
    ...corner(x + reach, y - r, x + r, y - reach, x + r, y),
    "Z",
  ];
}

function straight(text, place) {
  const found = [];
  let [x, y, fromX, fromY] = [0, 0, 0, 0];
  for (const [, letter, rest] of text.matchAll(/([MLHVZ])([^MLHVZ]*)/gi)) {
    const step = letter.toUpperCase();
    const own = letter !== step;
    if (step === "Z") {
      found.push("Z");
      [x, y] = [fromX, fromY];
      continue;
    }
    const values = (rest.match(NUMBER) ?? []).map(Number);
    const size = step === "H" || step === "V" ? 1 : 2;
    for (let k = 0; k + size <= values.length; k += size) {
      if (step === "H") x = values[k] + (own ? x : 0);
      else if (step === "V") y = values[k] + (own ? y : 0);
      else [x, y] = [values[k] + (own ? x : 0), values[k + 1] + (own ? y : 0)];
      const begins = step === "M" && k === 0;
      if (begins) [fromX, fromY] = [x, y];
      found.push(begins ? "M" : "L", ...place(x, y));
    }
  }
  return found;
}
