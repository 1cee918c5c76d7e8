// The live section: controls, contours, readout, table of extremes and the soap film together.

import { Controls } from "./controls.js";
import { Fields, scalar } from "./fields.js";
import { FilmView } from "./film_view.js";
import { drawLegend } from "./legend.js";
import { number, roundAbove } from "./numbers.js";
import { SectionView } from "./section_view.js";
import { symbolNodes } from "./symbols.js";

export class LiveSection {
  constructor(root, data) {
    Object.assign(this, { root, data });
    this.fields = new Fields(data);
    this.chosen = root.querySelector("[name=component]");
    this.chosen.value = data.component;
    this.cases = root.querySelector("[name=case]");
    const canvas = root.querySelector(".plot canvas");
    this.view = new SectionView(canvas, data, this.fields, (at, reading) => this.read(at, reading));
    this.controls = new Controls(root, data, (values) => this.change(values));
    this.chosen.addEventListener("change", () => this.redraw());
    this.cases?.addEventListener("change", () => this.takeCase());
    const press = (name, act) =>
      root.querySelector(`[data-press=${name}]`).addEventListener("click", act);
    press("in", () => this.view.zoom(1.6, ...this.view.focus()));
    press("out", () => this.view.zoom(1 / 1.6, ...this.view.focus()));
    press("fit", () => this.view.fit());
    press("peak", () => this.view.goToExtreme());
    press("opening", () => this.controls.setAll(data.opening));
    press("zero", () => this.controls.setAll(data.opening.map(() => 0)));
    this.change(this.controls.values);
  }

  get component() {
    return this.data.components.find((c) => c.key === this.chosen.value);
  }

  takeCase() {
    const found = this.data.cases[Number(this.cases.value)];
    if (found) this.controls.setAll(found.values);
  }

  change(values) {
    this.fields.combine(values);
    if (this.cases) {
      const same = (c) => c.values.every((v, k) => Math.abs(v - values[k]) <= 1e-9 * Math.abs(v));
      this.cases.value = String(this.data.cases.findIndex(same));
    }
    this.redraw();
    this.list();
  }

  redraw() {
    const { fields, component } = this;
    const values = fields.values(component);
    const extremes = component.sides.map((side) => fields.extreme(component, side, values));
    const span = this.span(component, extremes);
    const unit = this.data.stressUnit;
    const title = `${component.words}${unit ? ` (${unit})` : ""}`;
    const table = this.data.colours[component.signed ? "signed" : "magnitude"];
    drawLegend(this.root.querySelector(".legend"), table, span, title, fields.refuses(component));
    this.view.show(component, values, span, extremes.filter((e) => Math.abs(e.value) > 0));
    const at = extremes.find((e) => e.at) ?? { value: 0 };
    this.view.canvas.setAttribute(
      "aria-label",
      `Section with contours of the ${component.words}; its peak value is ` +
        `${number(at.value)} ${unit}. Arrow keys move the reading point, plus and minus zoom, ` +
        "0 shows all, Enter goes to the peak.",
    );
  }

  // Colours run from zero, or to both sides of it; to a round number, so that they do not flicker.
  span(component, extremes) {
    const top = Math.max(...extremes.map((e) => Math.abs(e.value)).filter(Number.isFinite), 0);
    if (!(top > 0)) return [component.signed ? -1 : 0, 1];
    const nice = roundAbove(top);
    return [component.signed ? -nice : 0, nice];
  }

  // Every component's extremes. Values carry all their digits for whoever reads the page by program.
  list() {
    const { fields, data } = this;
    const rows = [];
    for (const component of fields.components) {
      const values = fields.values(component);
      for (const side of component.sides) {
        const found = fields.extreme(component, side, values);
        rows.push(this.row(component, side, found));
      }
    }
    this.root.querySelector(".extremes tbody").replaceChildren(...rows);
    const shown = fields.exact("von Mises", 1) !== null;
    this.root.querySelector(".basis").textContent = shown
      ? "These values are the solver's own: it searched these actions, between the samples too."
      : "These values are combined at the points of this section where stresses peak: at most " +
        `${number(100 * fields.peaks.below, 2)} % below what the solver's own search finds.`;
    const share = fields.utilisation();
    const line = this.root.querySelector(".utilisation");
    line.hidden = share === null;
    if (share !== null) {
      line.querySelector("output").textContent = number(share, 3);
      line.querySelector("output").dataset.value = share;
      line.querySelector("meter").value = share;
      line.classList.toggle("over", share > 1);
    }
    this.root.querySelector(".refused").hidden = !(fields.sheared && data.corners.length);
  }

  row(component, side, { value, at }) {
    const row = document.createElement("tr");
    row.dataset.component = component.key;
    row.dataset.side = side;
    row.dataset.value = value;
    const word = component.sides.length === 1 ? "" : side > 0 ? "maximum " : "minimum ";
    const place = at && value ? this.place(at) : "";
    const cells = [`${word}${component.words}`, component.symbol, number(value), place];
    for (const [k, text] of cells.entries()) {
      const cell = document.createElement(k === 0 ? "th" : "td");
      if (k === 0) cell.scope = "row";
      cell.append(...(k === 1 ? symbolNodes(text) : [text]));
      row.append(cell);
    }
    return row;
  }

  // A point of the section, rounding noise beside its size left out.
  place(at) {
    const [x0, y0, x1, y1] = this.data.bounds;
    const noise = 1e-9 * Math.hypot(x1 - x0, y1 - y0);
    return `(${at.map((c) => number(Math.abs(c) < noise ? 0 : c)).join(", ")})`;
  }

  // What the probe reads.
  read(at, reading) {
    const out = this.root.querySelector(".readout");
    const { unit, stressUnit } = this.data;
    if (!at) {
      out.textContent = out.dataset.hint;
      delete out.dataset.normal;
      return;
    }
    const place = `${this.place(at)} ${unit}`;
    if (!reading) {
      out.textContent = `${place}: outside the material`;
      delete out.dataset.normal;
      return;
    }
    const { s, x, y, corner } = reading;
    const normal = `σ_z ${number(s)}`;
    if (corner) {
      out.textContent = `${place}: ${normal} ${stressUnit}; no shear is given here, a ${corner.kind}`;
      return;
    }
    const all = [
      normal,
      `τ ${number(Math.hypot(x, y))} (${number(x)}, ${number(y)})`,
      `σ_v ${number(scalar("von Mises", s, x, y))} ${stressUnit}`,
    ];
    out.textContent = `${place}: ${all.join(", ")}`;
    Object.assign(out.dataset, { x: at[0], y: at[1], normal: s, shearX: x, shearY: y });
  }
}

export class LiveFilm {
  constructor(root, data, fields) {
    const view = new FilmView(root.querySelector("canvas"), data, fields);
    this.view = view;
    const [turn, tilt, rise] = ["turn", "tilt", "rise"].map((name) =>
      root.querySelector(`[name=${name}]`),
    );
    const degrees = (radians) => Math.round((radians * 180) / Math.PI);
    const show = () => {
      turn.value = degrees(view.turn);
      tilt.value = degrees(view.tilt);
    };
    const read = () =>
      view.set((turn.value * Math.PI) / 180, (tilt.value * Math.PI) / 180, rise.value / 100);
    for (const slider of [turn, tilt, rise]) slider.addEventListener("input", read);
    view.onTurn = show;
    show();
  }
}
