// The live member: diagrams along it with a marker, and the actions that its station puts on the
// section.

import { decoded } from "./decode.js";
import { LiveShape } from "./live_shape.js";
import { noNumber, number, numberField, typed } from "./numbers.js";

const SVG = "http://www.w3.org/2000/svg";
const HEIGHT = 84;
const SIDE = 6;
// Stations are 32-bit numbers: a marker nearer to one than this share of the length is at it.
const NEAR = 1e-6;
// Steps of the marker by keys, as shares of the length; with Shift ten times as far.
const STEPS = { ArrowLeft: -0.005, ArrowRight: 0.005, ArrowDown: -0.005, ArrowUp: 0.005, PageDown: -0.1, PageUp: 0.1 };

export class LiveMember {
  // `follow(section, actions)` is called with the section at the marker (-1: none to show).
  constructor(root, data, follow) {
    Object.assign(this, { root, data, follow });
    this.z = decoded(data.z);
    this.actions = decoded(data.actions);
    this.curves = data.diagrams.map((d) => ({ ...d, values: decoded(d.values) }));
    this.choice = root.querySelector("[name=combination]");
    this.field = root.querySelector("[name=station]");
    this.slider = root.querySelector("[name=marker]");
    this.row = null;
    this.station = data.opening.station;
    this.choice.value = String(data.opening.combination);
    this.charts = this.curves.map((curve) => this.chart(curve));
    this.slider.addEventListener("input", () => this.go(Number(this.slider.value), this.slider));
    this.clear = numberField(
      this.field,
      root.querySelector("#wrong-station"),
      (text) => this.readStation(text),
      (value) => this.go(value, this.field),
      () => this.shownStation(),
    );
    this.choice.addEventListener("change", () => this.draw());
    for (const button of root.querySelectorAll("[data-press]")) {
      const key = button.dataset.press === "twist" ? "phi" : "von Mises";
      button.addEventListener("click", () => this.goToPeak(key));
    }
    const shape = root.querySelector(".deformed");
    this.shape = data.shape ? new LiveShape(shape, data.shape, data.length) : null;
    this.observer = new ResizeObserver(() => this.draw());
    this.observer.observe(root);
    this.go(this.station);
  }

  // New numbers of the same diagrams under the same combinations; false where they are others. A
  // diagram without new numbers waits for them.
  take(data) {
    const old = this.data;
    const known = new Map(data.diagrams.map((d) => [d.key, d]));
    const same = (d) => known.get(d.key)?.unit === d.unit && known.get(d.key)?.words === d.words;
    const extra = data.diagrams.some((d) => !this.curves.some((c) => c.key === d.key));
    const missing = this.curves.filter((c) => !known.has(c.key));
    if (extra || !this.curves.filter((c) => known.has(c.key)).every(same)) return false;
    if (String(old.names) !== String(data.names) || old.unit !== data.unit) return false;
    if (!old.shape !== !data.shape) return false;
    Object.assign(this, { data, z: decoded(data.z), actions: decoded(data.actions), row: null });
    this.curves = this.curves.map((curve) => {
      const now = known.get(curve.key);
      return now ? { ...now, values: decoded(now.values) } : curve;
    });
    this.charts.forEach((chart, k) => {
      chart.curve = this.curves[k];
      chart.waits = missing.some((c) => c.key === chart.curve.key);
    });
    this.slider.max = data.length;
    if (data.shape) {
      const shape = this.root.querySelector(".deformed");
      shape.querySelector("svg").replaceChildren();
      this.shape = new LiveShape(shape, data.shape, data.length);
    }
    this.go(this.station);
    return true;
  }

  // Other nodes take the place of these.
  leave() {
    this.observer.disconnect();
  }

  readStation(text) {
    const value = typed(text);
    if (value === null) return noNumber(text);
    const { length, unit } = this.data;
    if (value >= 0 && value <= length) return value;
    return `${number(value)} ${unit} is off the member, which runs from 0 to ${number(length)} ${unit}.`;
  }

  shownStation() {
    return String(Number(this.station.toPrecision(5)));
  }

  get combination() {
    return Number(this.choice.value);
  }

  // One combination's values of a curve.
  values(curve, combination = this.combination) {
    const n = this.z.length;
    return curve.values.subarray(combination * n, (combination + 1) * n);
  }

  // The last station not behind the marker, and the share of the way to the next: at a jump the
  // value after it.
  locate(station) {
    const { z } = this;
    if (this.row !== null && station === this.station) {
      return this.row + 1 < z.length ? [this.row, 0] : [this.row - 1, 1];
    }
    let low = 0;
    let high = z.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (z[middle] <= station) low = middle;
      else high = middle;
    }
    const step = z[high] - z[low];
    if (!(step > 0)) return [low, 1];
    const share = (station - z[low]) / step;
    const slack = (NEAR * this.data.length) / step;
    return [low, share < slack ? 0 : share > 1 - slack ? 1 : share];
  }

  at(values, station = this.station) {
    const [k, share] = this.locate(station);
    return (1 - share) * values[k] + share * values[k + 1];
  }

  // `row` tells which of two rows at a jump is meant; left out, the one after it.
  go(station, source = null, row = null) {
    this.row = row;
    this.station = Math.min(Math.max(station, 0), this.data.length);
    if (source !== this.slider) this.slider.value = this.station;
    if (source !== this.field) {
      this.field.value = this.shownStation();
      this.clear?.();
    }
    this.slider.setAttribute("aria-valuetext", `${number(this.station)} ${this.data.unit}`);
    this.draw();
  }

  // The combination and the station where a curve peaks, on the side of a jump where it does.
  goToPeak(key) {
    const curve = this.curves.find((c) => c.key === key);
    let best = 0;
    curve.values.forEach((v, k) => {
      if (Math.abs(v) > Math.abs(curve.values[best])) best = k;
    });
    this.choice.value = String(Math.floor(best / this.z.length));
    this.go(this.z[best % this.z.length], null, best % this.z.length);
  }

  draw() {
    for (const chart of this.charts) this.plot(chart);
    const [k, share] = this.locate(this.station);
    const n = this.z.length;
    const actions = Array.from({ length: 8 }, (_, a) => {
      const row = (this.combination * 8 + a) * n;
      return (1 - share) * this.actions[row + k] + share * this.actions[row + k + 1];
    });
    const { segments } = this.data;
    const segment = segments.find((s) => this.station <= s.end) ?? segments.at(-1);
    const where = `“${this.data.names[this.combination]}”, ${number(this.station)} ${this.data.unit}`;
    this.root.querySelector(".marker-words output").textContent = where;
    this.follow(segment.section, actions, where);
    this.shape?.draw(this.station, this.combination);
  }

  // -- one diagram --------------------------------------------------------------------------------
  chart(curve) {
    const figure = this.root.querySelector(`[data-key="${curve.key}"]`);
    const svg = figure.querySelector("svg");
    const parts = {};
    for (const [name, tag] of [
      ["range", "path"],
      ["area", "path"],
      ["zero", "line"],
      ["curve", "path"],
      ["supports", "g"],
      ["marker", "line"],
      ["dot", "circle"],
    ]) {
      parts[name] = document.createElementNS(SVG, tag);
      parts[name].setAttribute("class", name);
      svg.append(parts[name]);
    }
    let held = false;
    const follow = (event) => {
      const { left, width } = svg.getBoundingClientRect();
      const share = (event.clientX - left - SIDE) / (width - 2 * SIDE);
      this.go(share * this.data.length);
    };
    svg.addEventListener("pointerdown", (event) => {
      held = true;
      svg.setPointerCapture(event.pointerId);
      follow(event);
    });
    svg.addEventListener("pointermove", (event) => held && follow(event));
    for (const name of ["pointerup", "pointercancel"]) {
      svg.addEventListener(name, () => {
        held = false;
      });
    }
    // The diagram is a slider of the station for who works without a pointer.
    const given = { role: "slider", tabindex: 0, "aria-valuemin": 0, "aria-label": `${curve.words} along the member` };
    for (const [name, value] of Object.entries(given)) svg.setAttribute(name, value);
    svg.addEventListener("keydown", (event) => this.key(event));
    return { curve, svg, parts, out: figure.querySelector("output") };
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { length } = this.data;
    const step = STEPS[event.key] * length * (event.shiftKey ? 10 : 1);
    if (step) this.go(this.station + step);
    else if (event.key === "Home") this.go(0);
    else if (event.key === "End") this.go(length);
    else return;
    event.preventDefault();
  }

  plot({ curve, svg, parts, out, waits }) {
    const width = svg.clientWidth;
    svg.classList.toggle("waits", Boolean(waits));
    if (waits) {
      out.textContent = "…";
      return;
    }
    if (!width) return;
    svg.setAttribute("viewBox", `0 0 ${width} ${HEIGHT}`);
    const values = this.values(curve);
    const [low, high] = extent(curve.values);
    const x = (z) => SIDE + (z / this.data.length) * (width - 2 * SIDE);
    const y = (v) => HEIGHT - 8 - ((v - low) / (high - low || 1)) * (HEIGHT - 16);
    const line = Array.from(values, (v, k) => `${x(this.z[k]).toFixed(1)} ${y(v).toFixed(1)}`);
    const set = (part, attributes) => {
      for (const [name, value] of Object.entries(attributes)) part.setAttribute(name, value);
    };
    const base = y(0).toFixed(1);
    const [from, to] = [x(0).toFixed(1), x(this.data.length).toFixed(1)];
    set(parts.curve, { d: `M${line.join("L")}` });
    set(parts.area, { d: `M${from} ${base}L${line.join("L")}L${to} ${base}Z` });
    set(parts.range, { d: this.envelope(curve, x, y) });
    set(parts.zero, { x1: from, x2: to, y1: base, y2: base });
    const now = this.at(values);
    const px = x(this.station).toFixed(1);
    set(parts.marker, { x1: px, x2: px, y1: 0, y2: HEIGHT });
    set(parts.dot, { cx: px, cy: y(now).toFixed(1), r: 4 });
    parts.supports.replaceChildren(
      ...this.data.supports.map((z) => {
        const mark = document.createElementNS(SVG, "path");
        mark.setAttribute("d", `M${x(z)} ${base}l-4.5 7h9z`);
        return mark;
      }),
    );
    out.textContent = number(now);
    out.dataset.value = now;
    svg.setAttribute("aria-valuemax", this.data.length);
    svg.setAttribute("aria-valuenow", this.shownStation());
    svg.setAttribute("aria-valuetext", `${number(now)} ${curve.unit} at ${number(this.station)} ${this.data.unit}`);
  }

  // What all combinations together cover.
  envelope(curve, x, y) {
    if (this.data.names.length === 1) return "";
    const n = this.z.length;
    const upper = [];
    const lower = [];
    for (let k = 0; k < n; k += 1) {
      let [least, most] = [Infinity, -Infinity];
      for (let c = 0; c < this.data.names.length; c += 1) {
        const v = curve.values[c * n + k];
        if (v < least) least = v;
        if (v > most) most = v;
      }
      upper.push(`${x(this.z[k]).toFixed(1)} ${y(most).toFixed(1)}`);
      lower.unshift(`${x(this.z[k]).toFixed(1)} ${y(least).toFixed(1)}`);
    }
    return `M${upper.join("L")}L${lower.join("L")}Z`;
  }
}

// Minimum and maximum, zero among them.
function extent(values) {
  let [low, high] = [0, 0];
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return [low, high];
}
