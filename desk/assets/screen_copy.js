// What is on the screen as marks in pixels: strokes, fills, words and pictures, for a file that shows the
// same. Drawings are taken down by a pencil, lines of the page as they stand; buttons are left out.

import { Pencil, drawers, isBold } from "./pencil.js";
import { steps } from "./path_text.js";

// What the hand uses and nobody wants on paper, and what is seen in its whole length there.
const LEFT_OUT = "button, .grip, .unseen, .entry, .tool, textarea, input[type=range], summary, script, datalist";
const LONG = ".member-scroll";
const HEAD = 34;
const MARGIN = 12;
const INK = [34, 39, 45, 1];

// `title` stands above what is seen of `root`. In light colours, whatever the screen has.
export function copied(root, title) {
  const page = document.documentElement;
  page.classList.add("on-paper");
  try {
    return new ScreenCopy(root, title).made();
  } finally {
    page.classList.remove("on-paper");
  }
}

class ScreenCopy {
  constructor(root, title) {
    Object.assign(this, { root, title, marks: [], known: new Map() });
    this.scrap = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
  }

  made() {
    const { left, top, width, height } = this.root.getBoundingClientRect();
    this.bottom = top + height;
    this.walk(this.root, { frame: [left, top, width, height], alpha: 1 });
    this.marks.forEach((mark) => shift(mark, MARGIN - left, HEAD - top));
    const head = { words: this.title, at: [MARGIN, HEAD - 13], size: 15, wide: width, bold: true, fill: INK, alpha: 1 };
    return { width: width + 2 * MARGIN, height: this.bottom - top + HEAD + MARGIN, marks: [head, ...this.marks] };
  }

  // -- elements ---------------------------------------------------------------------------------------
  walk(node, { frame, alpha }) {
    if (node.nodeType === Node.TEXT_NODE) {
      this.text(node, frame, alpha);
      return;
    }
    if (node.nodeType !== Node.ELEMENT_NODE || node.matches(LEFT_OUT) || !node.checkVisibility()) return;
    const style = getComputedStyle(node);
    const box = node.getBoundingClientRect();
    const inside = { frame, alpha: alpha * Number(style.opacity) };
    if (node.matches(LONG)) {
      box.height = node.scrollHeight + 14;
      inside.frame = [frame[0], frame[1], frame[2], Math.max(frame[3], box.bottom - frame[1])];
      this.bottom = Math.max(this.bottom, box.bottom);
    }
    this.box(box, style, inside);
    if (style.overflowX !== "visible") inside.frame = common(frame, [box.x, box.y, box.width, box.height]);
    if (inside.frame[2] <= 0 || inside.frame[3] <= 0) return;
    const tag = node.tagName.toLowerCase();
    if (tag === "canvas") this.canvas(node, box, inside);
    else if (tag === "svg") this.lines(node, inside);
    else if (tag === "input" || tag === "select") this.field(node, style, box, inside);
    else for (const child of node.childNodes) this.walk(child, inside);
  }

  // Ground and borders.
  box({ x, y, width, height }, style, { frame, alpha }) {
    const corners = ["M", x, y, "L", x + width, y, "L", x + width, y + height, "L", x, y + height, "Z"];
    const fill = this.colour(style.backgroundColor);
    if (fill[3] > 0) this.put({ path: corners, fill, alpha }, frame);
    for (const [side, path] of [
      ["Top", ["M", x, y, "L", x + width, y]],
      ["Right", ["M", x + width, y, "L", x + width, y + height]],
      ["Bottom", ["M", x, y + height, "L", x + width, y + height]],
      ["Left", ["M", x, y, "L", x, y + height]],
    ]) {
      const wide = parseFloat(style[`border${side}Width`]);
      if (!(wide > 0) || style[`border${side}Style`] === "none") continue;
      const stroke = this.colour(style[`border${side}Color`]);
      if (stroke[3] > 0) this.put({ path, stroke, width: wide, dash: [], join: "miter", alpha }, frame);
    }
  }

  canvas(node, box, { frame, alpha }) {
    const view = drawers.get(node);
    const whole = common(frame, [box.x, box.y, box.width, box.height]);
    if (!view) {
      const picture = node.toDataURL("image/png");
      this.put({ picture, box: [box.x, box.y, box.width, box.height], alpha }, whole);
      return;
    }
    const own = view.context;
    view.context = new Pencil(
      node,
      (mark) => this.put({ ...mark, alpha: mark.alpha * alpha }, whole),
      (words) => this.colour(words),
    );
    try {
      view.draw();
    } finally {
      view.context = own;
    }
  }

  // Diagrams and other lines of the page.
  lines(root, { frame, alpha }) {
    const { x, y, width, height } = root.getBoundingClientRect();
    const whole = common(frame, [x, y, width, height]);
    for (const node of root.querySelectorAll("path, line, circle")) {
      const style = getComputedStyle(node);
      if (style.display === "none") continue;
      const m = node.getScreenCTM();
      const path = steps(node, (px, py) => [m.a * px + m.c * py + m.e, m.b * px + m.d * py + m.f]);
      const fixed = style.vectorEffect === "non-scaling-stroke";
      const scale = fixed ? 1 : Math.sqrt(Math.abs(m.a * m.d - m.b * m.c));
      const clear = alpha * Number(style.opacity);
      const fill = this.colour(style.fill);
      if (fill[3] > 0) this.put({ path, fill, alpha: clear }, whole);
      const stroke = this.colour(style.stroke);
      if (!(stroke[3] > 0)) continue;
      const dash = style.strokeDasharray === "none" ? [] : style.strokeDasharray.split(",").map((d) => parseFloat(d) * scale);
      this.put({ path, stroke, width: parseFloat(style.strokeWidth) * scale, dash, join: "round", alpha: clear }, whole);
    }
  }

  // -- words ------------------------------------------------------------------------------------------
  // Words on one line are one mark.
  text(node, frame, alpha) {
    const style = getComputedStyle(node.parentElement);
    const range = document.createRange();
    const rows = [];
    for (const found of node.data.matchAll(/\S+/g)) {
      range.setStart(node, found.index);
      range.setEnd(node, found.index + found[0].length);
      const box = range.getBoundingClientRect();
      if (!box.width) continue;
      const row = rows.at(-1);
      if (row && Math.abs(row.y - box.y) < 2) Object.assign(row, { words: `${row.words} ${found[0]}`, right: box.right });
      else rows.push({ words: found[0], x: box.x, y: box.y, height: box.height, right: box.right });
    }
    for (const { words, x, y, height, right } of rows) this.words(words, [x, y, right - x, height], style, frame, alpha);
  }

  // The value that a field has, and whether a box is ticked.
  field(node, style, box, { frame, alpha }) {
    const { type } = node;
    const ticks = { checkbox: node.checked ? "☑" : "☐", radio: node.checked ? "◉" : "○" };
    const words = ticks[type] ?? (node.selectedOptions ? node.selectedOptions[0]?.text : node.value) ?? "";
    if (!words.trim() || type === "file") return;
    const size = parseFloat(style.fontSize);
    this.scrap.font = fontOf(style);
    const wide = ticks[type] ? box.width : this.scrap.measureText(words).width;
    const [before, after] = [parseFloat(style.paddingLeft), parseFloat(style.paddingRight)];
    const x = style.textAlign === "right" ? box.right - after - wide : box.x + (ticks[type] ? 0 : before + 2);
    const height = 1.2 * size;
    this.words(words, [x, box.y + (box.height - height) / 2, wide, height], style, frame, alpha);
  }

  words(words, [x, y, wide, height], style, frame, alpha) {
    this.scrap.font = fontOf(style);
    const { fontBoundingBoxAscent: above, fontBoundingBoxDescent: below } = this.scrap.measureText(words);
    const base = y + (height * above) / (above + below || 1);
    const fill = this.colour(style.color);
    const size = parseFloat(style.fontSize) * (height / (above + below || height));
    const bold = isBold(style.fontWeight);
    this.put({ words, at: [x, base], size, wide, bold, fill, alpha }, frame);
  }

  // -- marks ------------------------------------------------------------------------------------------
  put(mark, frame) {
    this.marks.push({ ...mark, frame });
  }

  // Whatever a style sheet calls a colour, as a pixel has it.
  colour(words) {
    if (!words || words === "none") return [0, 0, 0, 0];
    if (!this.known.has(words)) {
      const { scrap } = this;
      scrap.clearRect(0, 0, 1, 1);
      scrap.fillStyle = words;
      scrap.fillRect(0, 0, 1, 1);
      const [r, g, b, a] = scrap.getImageData(0, 0, 1, 1).data;
      this.known.set(words, [r, g, b, a / 255]);
    }
    return this.known.get(words);
  }
}

// The shorthand is empty where figures are tabular.
function fontOf({ fontStyle, fontWeight, fontSize, fontFamily }) {
  return `${fontStyle} ${fontWeight} ${fontSize} ${fontFamily}`;
}

function common([x, y, w, h], [u, v, s, t]) {
  const [left, top] = [Math.max(x, u), Math.max(y, v)];
  return [left, top, Math.min(x + w, u + s) - left, Math.min(y + h, v + t) - top];
}

function shift(mark, dx, dy) {
  for (const key of ["at", "box", "frame"]) {
    if (mark[key]) mark[key] = [mark[key][0] + dx, mark[key][1] + dy, ...mark[key].slice(2)];
  }
  for (const key of ["path", "region"]) if (mark[key]) mark[key] = moved(mark[key], dx, dy);
}

function moved(path, dx, dy) {
  let across = true;
  return path.map((step) => {
    if (typeof step === "string") {
      across = true;
      return step;
    }
    const now = step + (across ? dx : dy);
    across = !across;
    return Math.round(100 * now) / 100;
  });
}
