// Side by side: two to four sections under ONE scale of membranes, colours and twists.
//
// The membrane of a unit torque has the height h over its section. Under a torque T it is T h, and its
// volume T / 2; at a twist per length that is the same for all, with one shear modulus, it is J h, and
// its volume J / 2 (Prandtl, 1903). Sections of one shape scaled by s have J as s to the fourth.

import { el, find } from "./elements.js";
import { Fields } from "./fields.js";
import { FilmView } from "./film_view.js";
import { METRES } from "./lengths.js";
import { number } from "./numbers.js";
import { timesText } from "./readings.js";
import { twistDial } from "./twist_dial.js";
import { unitText } from "./unit_text.js";

const MOST = 4;
// Areas this many times apart are better compared at equal area.
const FAR = 6;
// The largest twist is drawn as this angle (degrees).
const WIDEST = 40;
const TORQUE = 5;

export class BesideView {
  constructor(root, sheet, link) {
    Object.assign(this, { root, sheet, link, count: 0, panes: [] });
    root.append(...parts());
    this.row = find(".panes", root);
    this.equal = find("#beside-equal", root);
    this.area = find("#beside-area", root);
    this.choice = find("#beside-choice", root);
    this.equal.addEventListener("change", () => this.arrange());
    this.area.addEventListener("change", () => this.arrange());
    this.choice.addEventListener("change", () => {
      const [kind, name] = this.choice.value.split(/:(.*)/s);
      this.choice.value = "";
      this.add(kind, name);
    });
    find("[data-press=beside-scale]", root).addEventListener("click", () => {
      this.area.checked = true;
      this.arrange();
    });
    find("[data-press=beside-shape]", root).addEventListener("click", () => this.addShape());
    find("#beside-designation", root).addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.addShape();
    });
    sheet.on("message files", (message) => this.offer(message));
    sheet.on("message beside", (message) => this.take(message));
    sheet.on("message refused", (message) => this.refused(message));
  }

  offer({ files = [], examples = [], shapes = [] }) {
    const option = (value, text) => el("option", { value }, text);
    const paths = files
      .map((f) => (typeof f === "string" ? { path: f, what: "section" } : f))
      .filter((f) => !f.what || f.what === "section");
    this.choice.replaceChildren(
      option("", "choose …"),
      option("open:", "the section on the desk"),
      ...paths.map((f) => option(`path:${f.path}`, f.path)),
      ...examples.filter((e) => !e.kind || e.kind === "section").map((e) => option(`example:${e.name}`, e.name)),
    );
    find("#beside-shapes", this.root).replaceChildren(...shapes.map((s) => option(s, "")));
  }

  enter() {
    if (this.panes.length === 0 && this.sheet.open && this.sheet.what === "section") this.add("open", "");
    for (const pane of this.panes) pane.view?.resize();
  }

  addShape() {
    const field = find("#beside-designation", this.root);
    if (field.value.trim()) this.add("designation", field.value.trim());
    field.value = "";
  }

  // How they are compared: at equal torque as they are, at equal twist, or scaled to equal area.
  under(equal = "torque") {
    this.area.checked = equal === "area";
    this.equal.value = equal === "torque" ? "torque" : "twist";
    this.arrange();
  }

  clear() {
    this.panes = [];
    this.row.replaceChildren();
    this.arrange();
  }

  // Ask for a section: `kind` is text, path, example, designation, or open (what lies on the desk).
  add(kind, name, words = "") {
    if (this.panes.length >= MOST) {
      this.note(`Four sections are the most that can be told apart: remove one first.`);
      return;
    }
    if (kind === "open" && !this.sheet.open) {
      this.note("No section lies on the desk yet.");
      return;
    }
    this.note("");
    this.count += 1;
    const taken = this.panes.map((p) => p.k);
    const pane = { k: [0, 1, 2, 3].find((k) => !taken.includes(k)), count: this.count, words };
    this.panes.push(pane);
    pane.node = this.paneNode(pane, words || name || this.sheet.name);
    this.row.append(pane.node);
    const from = kind === "open" ? { text: this.sheet.text } : { [kind]: name };
    const { k, count } = pane;
    this.link.send({ do: "beside", turn: this.sheet.turn, k, count, ...from }, { keep: true });
    this.root.dataset.count = this.panes.length;
  }

  remove(pane) {
    this.panes = this.panes.filter((p) => p !== pane);
    pane.node.remove();
    this.note("");
    this.arrange();
  }

  paneNode(pane, name) {
    return el(
      "article",
      { class: "pane", "aria-label": name },
      el(
        "header",
        {},
        el("h3", {}, name),
        el("button", { type: "button", "aria-label": `Remove ${name}`, click: () => this.remove(pane) }, "×"),
      ),
      el("div", { class: "pane-film" }, el("p", { class: "hint" }, "solving …")),
      el("div", { class: "pane-numbers" }),
    );
  }

  // The pane that an answer is for; a place is taken again when a section is removed.
  paneOf({ k, count }) {
    return this.panes.find((p) => p.k === k && p.count === count);
  }

  refused(message) {
    const pane = message.k === undefined ? null : this.paneOf(message);
    if (!pane) return;
    this.remove(pane);
    this.note(message.words);
  }

  note(words) {
    const note = find(".beside-note", this.root);
    note.textContent = words;
    note.hidden = !words;
  }

  take(message) {
    const pane = this.paneOf(message);
    if (!pane) return;
    const { field } = message;
    pane.data = field;
    pane.values = message.values;
    pane.name = pane.words || message.name || find("h3", pane.node).textContent;
    find("h3", pane.node).textContent = pane.name;
    pane.node.setAttribute("aria-label", pane.name);
    pane.fields = new Fields({ known: [], peaks: null, corners: [], ...field });
    const label = `The membrane over ${pane.name}. Drag it, or use the arrow keys, to turn all of them.`;
    const canvas = el("canvas", { tabindex: "0", role: "img", "aria-label": label });
    find(".pane-film", pane.node).replaceChildren(canvas);
    const room = () => Math.max(canvas.parentElement.clientHeight, 200);
    pane.view = new FilmView(canvas, field, pane.fields, room);
    pane.view.onTurn = (turn, tilt) => {
      for (const other of this.panes) if (other !== pane) other.view?.set(turn, tilt, other.view.rise);
    };
    const first = this.panes.find((p) => p.view && p !== pane);
    if (first) pane.view.set(first.view.turn, first.view.tilt, 1);
    this.arrange();
  }

  value(pane, symbol) {
    return pane.values.find((v) => v.symbol === symbol)?.value;
  }

  // One scale for all: lengths in metres, each section scaled to the first one's area if that is asked.
  arrange() {
    this.root.dataset.count = this.panes.length;
    const ready = this.panes.filter((p) => p.view);
    if (!ready.length) return;
    const twist = this.equal.value === "twist";
    for (const pane of ready) {
      const metre = METRES[pane.data.unit] ?? 1;
      const area = this.value(pane, "A") * metre ** 2;
      pane.areaAsIs = area;
      const first = ready[0].areaAsIs;
      pane.scaled = this.area.checked ? Math.sqrt(first / area) : 1;
      pane.size = metre * pane.scaled;
      pane.j = this.value(pane, "J") * pane.size ** 4;
      // Heights are per unit torque, 1 / length²; at equal twist the torque is as J.
      pane.rise = (twist ? pane.j : 1) / pane.size ** 2;
      pane.volume = twist ? pane.j : 1;
      pane.twist = twist ? 1 : 1 / pane.j;
    }
    const most = (of) => Math.max(...ready.map(of));
    const least = Math.min(...ready.map((p) => p.areaAsIs));
    find(".beside-advice", this.root).hidden = this.area.checked || most((p) => p.areaAsIs) < FAR * least;
    const frame = {
      width: most((p) => (p.data.bounds[2] - p.data.bounds[0]) * p.size),
      depth: most((p) => (p.data.bounds[3] - p.data.bounds[1]) * p.size),
      top: most((p) => p.view.highest * p.rise),
      slope: most((p) => (p.view.steepest * p.data.film.slope * p.rise) / p.size),
    };
    for (const pane of ready) pane.view.share({ size: pane.size, rise: pane.rise, ...frame });
    for (const pane of ready) this.tell(pane, ready, twist);
  }

  tell(pane, ready, twist) {
    const [first] = ready;
    const widest = Math.max(...ready.map((p) => p.twist));
    const times = (a, b, of = first) => (pane === of ? "1, the measure" : `${timesText(a / b)} “${of.name}”`);
    const slope = (p) => (p.view.steepest * p.data.film.slope * p.rise) / p.size;
    const measure = ready.find((p) => !p.data.corners?.length);
    const unit = unitText(`${pane.data.unit}^4`);
    const j = pane.j / (METRES[pane.data.unit] ?? 1) ** 4;
    const scaled = Math.abs(pane.scaled - 1) < 5e-4 ? "" : `, drawn ${number(pane.scaled, 4)} times as large`;
    const arm = this.value(pane, "a");
    const line = (words, value, key, amount) =>
      el("div", { "data-key": key, "data-value": amount }, el("dt", {}, words), el("dd", {}, value));
    find(".pane-numbers", pane.node).replaceChildren(
      twistDial(pane, (WIDEST * pane.twist) / widest),
      el(
        "dl",
        {},
        line("Torsion constant J", `${number(j)} ${unit}${scaled}`, "J", j),
        arm === undefined ? null : line("Mean lever arm", `${number(arm * pane.scaled)} ${pane.data.unit}`, "arm", arm * pane.scaled),
        line("Volume under the membrane", twist ? times(pane.volume, first.volume) : "the same for all", "volume", pane.volume / first.volume),
        line(twist ? "Torque" : "Twist", twist ? times(pane.j, first.j) : times(pane.twist, first.twist), "answer",
          twist ? pane.j / first.j : pane.twist / first.twist),
        // At a sharp corner the slope has no bound: what a mesh shows there is no number.
        pane.data.corners?.length
          ? line("Steepest slope: shear stress", "no number: a sharp inner corner leaves it unbounded", "stress", "")
          : line("Steepest slope: shear stress", times(slope(pane), slope(measure), measure), "stress", slope(pane) / slope(measure)),
      ),
    );
  }
}

function parts() {
  return [
    el(
      "div",
      { class: "beside-bar" },
      el("h2", {}, "Side by side"),
      el(
        "label",
        {},
        "Under equal ",
        el(
          "select",
          { id: "beside-equal" },
          el("option", { value: "torque" }, "torque"),
          el("option", { value: "twist" }, "twist per length"),
        ),
      ),
      el("label", {}, el("input", { id: "beside-area", type: "checkbox" }), " scaled to equal area"),
      el("label", { class: "tool" }, "Add ", el("select", { id: "beside-choice" }, el("option", { value: "" }, "choose …"))),
      el(
        "label",
        { class: "tool" },
        "or a rolled shape ",
        el("input", { id: "beside-designation", list: "beside-shapes", autocomplete: "off", spellcheck: "false" }),
        el("datalist", { id: "beside-shapes" }),
      ),
      el("button", { type: "button", class: "plain", "data-press": "beside-shape" }, "Add"),
    ),
    el("p", { class: "wrong beside-note", role: "status", hidden: true }),
    el("p", { class: "beside-advice tool", role: "status", hidden: true },
      "These sections differ much in size, so that one scale shows little of the smaller ones. ",
      el("button", { type: "button", class: "plain", "data-press": "beside-scale" }, "Scale them to equal area"),
    ),
    el("p", { class: "beside-none tool" }, "Choose two to four sections: their membranes stand here, one beside the other, at one scale."),
    el("div", { class: "panes" }),
    el(
      "p",
      { class: "hint beside-words" },
      "One scale for all heights, colours and twists. Twice the volume under a membrane is the torque it carries; its slope is the shear stress: the darker, the steeper.",
    ),
  ];
}
