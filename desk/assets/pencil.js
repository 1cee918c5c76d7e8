// What is drawn on a canvas taken down as strokes, fills, words and pictures, in pixels of the page. It
// stands in for the canvas' own context while its view draws once more.

import { Trace } from "./trace.js";

// Views by the canvas that they draw on with `context` and `draw()`.
export const drawers = new WeakMap();

const FIRST = {
  strokeStyle: "#000",
  fillStyle: "#000",
  lineWidth: 1,
  lineJoin: "miter",
  lineCap: "butt",
  globalAlpha: 1,
  font: "10px sans-serif",
  textAlign: "start",
  textBaseline: "alphabetic",
};

export class Pencil {
  // `put(mark)` takes what is drawn; `colour(words)` gives numbers for a colour of the style sheet.
  constructor(canvas, put, colour) {
    const { left, top, width } = canvas.getBoundingClientRect();
    Object.assign(this, { canvas, put, colour, left, top, page: width / canvas.width, unit: 1 });
    this.real = canvas.getContext("2d");
    Object.assign(this, FIRST, { dash: [], region: null, path: new Trace() });
    this.kept = [];
  }

  // -- state ----------------------------------------------------------------------------------------
  // Canvases are scaled alike in both directions, and not turned.
  setTransform(scale) {
    this.unit = scale;
  }

  clearRect() {}

  save() {
    const state = Object.fromEntries(Object.keys(FIRST).map((name) => [name, this[name]]));
    this.kept.push({ ...state, dash: this.dash, region: this.region });
  }

  restore() {
    Object.assign(this, this.kept.pop());
  }

  setLineDash(dash) {
    this.dash = dash;
  }

  clip(path) {
    this.region = this.placed(path.steps);
  }

  // -- paths ----------------------------------------------------------------------------------------
  beginPath() {
    this.path = new Trace();
  }

  moveTo(x, y) {
    this.path.moveTo(x, y);
  }

  lineTo(x, y) {
    this.path.lineTo(x, y);
  }

  closePath() {
    this.path.closePath();
  }

  arc(...given) {
    this.path.arc(...given);
  }

  // Corners that are rounded by a few pixels are drawn square.
  roundRect(x, y, w, h) {
    this.moveTo(x, y);
    this.lineTo(x + w, y);
    this.lineTo(x + w, y + h);
    this.lineTo(x, y + h);
    this.closePath();
  }

  fill(path = this.path) {
    this.mark({ path: this.placed(path.steps), fill: this.colour(this.fillStyle) });
  }

  stroke(path = this.path) {
    const scale = this.unit * this.page;
    this.mark({
      path: this.placed(path.steps),
      stroke: this.colour(this.strokeStyle),
      width: this.lineWidth * scale,
      dash: this.dash.map((d) => d * scale),
      join: this.lineJoin,
    });
  }

  // -- pictures and words -----------------------------------------------------------------------------
  drawImage(source, x, y, w = source.width, h = source.height) {
    const [left, top] = this.place(x, y);
    const scale = this.unit * this.page;
    this.mark({ picture: source.toDataURL("image/png"), box: [left, top, w * scale, h * scale] });
  }

  measureText(text) {
    this.real.font = this.font;
    return this.real.measureText(text);
  }

  fillText(text, x, y) {
    const { real, textAlign } = this;
    const measured = this.measureText(text);
    real.save();
    real.textBaseline = this.textBaseline;
    const above = real.measureText(text).actualBoundingBoxAscent;
    real.textBaseline = "alphabetic";
    const down = real.measureText(text).actualBoundingBoxAscent - above;
    real.restore();
    const shift = { center: 0.5, end: 1, right: 1 }[textAlign] ?? 0;
    const scale = this.unit * this.page;
    this.mark({
      words: text,
      at: this.place(x - shift * measured.width, y + down),
      size: sizeOf(this.font) * scale,
      wide: measured.width * scale,
      bold: isBold(this.font),
      fill: this.colour(this.fillStyle),
    });
  }

  // -- in pixels of the page ----------------------------------------------------------------------------
  place(x, y) {
    const scale = this.unit * this.page;
    return [this.left + x * scale, this.top + y * scale];
  }

  placed(steps) {
    const found = [];
    for (let k = 0; k < steps.length; k += 1) {
      if (typeof steps[k] === "string") found.push(steps[k]);
      else {
        found.push(...this.place(steps[k], steps[k + 1]));
        k += 1;
      }
    }
    return found;
  }

  mark(given) {
    const region = this.region ? { region: this.region } : {};
    this.put({ ...given, ...region, alpha: this.globalAlpha });
  }
}

// Of a font as style sheets have it, such as "600 12px sans-serif".
function sizeOf(font) {
  return Number(/([\d.]+)px/.exec(font)?.[1] ?? 12);
}

export function isBold(font) {
  return /\b(bold|[6-9]00)\b/.test(font);
}
