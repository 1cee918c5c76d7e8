// Which handles may wear their words: those that find room. The others show them when they are
// pointed at or focused. Returns what is taken on the screen then.

const HEIGHT = 20;
const APART = 11;

// `blocked`: boxes of what else stands there.
export function seated(shown, view, blocked = []) {
  const taken = shown.map(({ at }) => box(at[0] - 7, at[1] - 7, 14, 14));
  taken.push(...blocked);
  for (const s of shown) {
    const { node, label, at } = s;
    const width = 7 * label.textContent.length + 14;
    const own = taken[shown.indexOf(s)];
    // A bare number says nothing without its name.
    const telling = s.kind === "value" && s.handle.unit;
    const found = telling ? seats(at, width, s.handle).find((seat) => free(seat, own)) : undefined;
    node.classList.toggle("worded", found !== undefined);
    // Pointed at, it says its name too.
    const whole = width + 7 * (s.handle.name?.length ?? 0);
    const side = found?.side ?? (at[0] + whole + APART > view.width ? "left" : "right");
    node.dataset.side = side;
    if (found) taken.push(found);
  }
  return taken;

  function free(seat, own) {
    if (seat.x < 2 || seat.y < 2 || seat.x + seat.w > view.width - 2) return false;
    if (seat.y + seat.h > view.height - 2) return false;
    return taken.every((t) => t === own || apart(seat, t));
  }
}

function box(x, y, w, h) {
  return { x, y, w, h };
}

function apart(a, b) {
  return a.x + a.w < b.x || b.x + b.w < a.x || a.y + a.h < b.y || b.y + b.h < a.y;
}

// Along the handle's own way first: that leads out of the material.
function seats([x, y], w, { direction }) {
  const right = { side: "right", ...box(x + APART, y - HEIGHT / 2, w, HEIGHT) };
  const left = { side: "left", ...box(x - APART - w, y - HEIGHT / 2, w, HEIGHT) };
  const above = { side: "above", ...box(x - w / 2, y - APART - HEIGHT, w, HEIGHT) };
  const below = { side: "below", ...box(x - w / 2, y + APART, w, HEIGHT) };
  const [dx, dy] = direction;
  const across = dx < 0 ? [left, right] : [right, left];
  const along = dy < 0 ? [below, above] : [above, below];
  return Math.abs(dy) > Math.abs(dx) ? [...along, ...across] : [...across, ...along];
}
