// The section under the marker: unloaded in grey, turned and distorted in colour.

import { decoded } from "./decode.js";
import { number } from "./numbers.js";

const SVG = "http://www.w3.org/2000/svg";
const MARGIN = 0.16;

export class LiveShape {
  constructor(root, data, length) {
    Object.assign(this, { data, length, factor: data.factor });
    this.functions = decoded(data.functions);
    this.parts = data.parts.map((part) => ({
      end: part.end,
      places: part.places,
      edges: decoded(part.edges),
      rows: decoded(part.rows),
    }));
    this.svg = root.querySelector("svg");
    this.words = root.querySelector(".factor");
    this.still = this.path("still");
    this.moved = this.path("moved");
    const [x0, y0, x1, y1] = this.box();
    const room = MARGIN * Math.max(x1 - x0, y1 - y0);
    const frame = [x0 - room, -y1 - room, x1 - x0 + 2 * room, y1 - y0 + 2 * room];
    this.svg.setAttribute("viewBox", frame.map((v) => v.toPrecision(7)).join(" "));
    this.say();
  }

  say() {
    this.words.textContent = this.data.factor
      ? `grey: unloaded; turning and distortion × ${number(this.factor)}, deflection left out`
      : "the sections do not turn or distort";
  }

  path(name) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("class", name);
    this.svg.append(path);
    return path;
  }

  box() {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const { edges } of this.parts) {
      for (let k = 0; k < edges.length; k += 2) {
        box[0] = Math.min(box[0], edges[k]);
        box[1] = Math.min(box[1], edges[k + 1]);
        box[2] = Math.max(box[2], edges[k]);
        box[3] = Math.max(box[3], edges[k + 1]);
      }
    }
    return box;
  }

  // The functions of a combination at a station, between the two nearest.
  at(station, combination) {
    const { stations, count } = this.data;
    const place = Math.min(Math.max((station / this.length) * (stations - 1), 0), stations - 1);
    const k = Math.min(Math.floor(place), stations - 2);
    const share = place - k;
    const row = (combination * stations + k) * count;
    return Float32Array.from(
      { length: count },
      (_, n) =>
        (1 - share) * this.functions[row + n] + share * this.functions[row + count + n],
    );
  }

  // A mode is drawn as the `share` of its largest movement.
  draw(station, combination, share = 1) {
    const part = this.parts.find((p) => station <= p.end) ?? this.parts.at(-1);
    const a = this.at(station, combination);
    const { edges, rows, places } = part;
    const moved = new Float32Array(edges.length);
    for (let k = 0; k < edges.length; k += 1) {
      let sum = 0;
      for (let n = 0; n < a.length; n += 1) sum += rows[k * a.length + n] * a[n];
      moved[k] = edges[k] + share * this.factor * sum;
    }
    this.still.setAttribute("d", lines(edges, places));
    this.moved.setAttribute("d", lines(moved, places));
  }
}

// One polyline an edge; the page's y runs down. Digits are counted from the first: sections are
// drawn in millimetres or in metres.
function lines(points, places) {
  const found = [];
  for (let k = 0; k < points.length; k += 2) {
    const start = (k / 2) % places === 0;
    const [x, y] = [points[k], -points[k + 1]].map((v) => v.toPrecision(6));
    found.push(`${start ? "M" : "L"}${x} ${y}`);
  }
  return found.join("");
}
