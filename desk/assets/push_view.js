// Push it: a force dragged across and around the section; a length of the member beyond it twists and
// bends, and only bends where the force passes through the shear centre.

import { banded } from "./colours.js";
import { coordinates } from "./decode.js";
import { el, find } from "./elements.js";
import { Fields } from "./fields.js";
import { ForceView } from "./force_view.js";
import { drawLegend } from "./legend.js";
import { number, roundAbove } from "./numbers.js";
import { raised } from "./readings.js";
import { SolidView } from "./solid_view.js";
import { unitText } from "./unit_text.js";

// At first the largest movement is drawn as this share of the section's size.
const SHOWN = 0.22;
const MOST_FACTOR = 1e4;
const TORQUE = 5;

export class PushView {
  constructor(root, sheet, link) {
    Object.assign(this, { root, sheet, link, count: 0, factor: null });
    root.append(...parts());
    this.force = new ForceView(find(".force-paper", root), (given) => this.push(given));
    this.solid = new SolidView(find(".solid-paper canvas", root));
    this.list = find(".push-values", root);
    this.rows = find(".push-rows", root);
    this.length = find("#push-length", root);
    this.length.addEventListener("change", () => this.push());
    this.joint = find("#push-joint", root);
    this.joint.addEventListener("change", () => this.push());
    sheet.on("message files", (message) => this.offer(message));
    this.slider = find("#push-factor", root);
    this.slider.addEventListener("input", () => this.exaggerate(10 ** Number(this.slider.value)));
    for (const [name, act] of Object.entries({
      centre: () => this.force.moveTo(this.data?.shearCentre ?? [0, 0]),
      true: () => this.exaggerate(1),
      auto: () => this.pushed && this.exaggerate(this.fitting()),
    })) {
      find(`[data-press=push-${name}]`, root).addEventListener("click", act);
    }
    sheet.on("opened", () => this.clear());
    sheet.on("result", () => this.take());
    sheet.on("message pushed", (message) => this.took(message));
  }

  clear() {
    Object.assign(this, { data: null, fields: null, pushed: null, factor: null });
    this.force.clear();
    this.length.value = "";
    this.list.replaceChildren();
  }

  // End connections that joint files describe.
  offer({ files = [], examples = [] }) {
    const chosen = this.joint.value;
    const groups = [
      ...files.map((f) => ({ label: f.path, from: { path: f.path }, joints: f.joints ?? [] })),
      ...examples.map((e) => ({ label: `example ${e.name}`, from: { example: e.name }, joints: e.joints ?? [] })),
    ].filter((g) => g.joints.length);
    this.joint.replaceChildren(
      el("option", { value: "" }, "end plate, four rows of two bolts (assumed)"),
      ...groups.map(({ label, from, joints }) =>
        el("optgroup", { label }, ...joints.map((name) => el("option", { value: JSON.stringify({ ...from, name }) }, name))),
      ),
    );
    this.joint.value = chosen;
    if (this.joint.selectedIndex < 0) this.joint.value = "";
  }

  get shown() {
    return !this.root.hidden;
  }

  enter() {
    this.force.resize();
    this.solid.resize();
    if (this.data) this.push();
  }

  // A new solution of the section: pushed again as it was.
  take() {
    const { field } = this.sheet.result;
    if (!field) return;
    this.data = field;
    this.fields = fieldsOf(field);
    this.runs = field.outline.map(coordinates);
    this.force.show(field, this.runs);
    if (!this.length.value) this.length.value = niceLength(field);
    const { wanted } = this;
    this.wanted = null;
    if (wanted) this.push(wanted);
    else if (this.shown) this.push();
  }

  push(given = {}) {
    if (given.length) this.length.value = given.length;
    if (given.force) this.force.set(given);
    if (!this.data || this.asking) return;
    this.asking = true;
    requestAnimationFrame(() => {
      this.asking = false;
      this.count += 1;
      this.root.dataset.waiting = "yes";
      this.link.send({
        do: "push",
        turn: this.sheet.turn,
        count: this.count,
        force: this.force.force,
        at: this.force.at,
        length: this.length.value,
        joint: this.joint.value ? JSON.parse(this.joint.value) : null,
      });
    });
  }

  refused(message) {
    this.root.dataset.waiting = "no";
    find(".push-words", this.root).textContent = message.words;
  }

  took(message) {
    if (message.count !== undefined && message.count < this.count && this.force.held !== true) return;
    if (!this.data) return;
    if (message.count === undefined || message.count === this.count) this.root.dataset.waiting = "no";
    this.pushed = {
      force: this.force.force,
      place: this.force.at,
      ...message,
    };
    if (this.factor === null) this.exaggerate(this.fitting());
    if (message.field) this.fields = fieldsOf(message.field);
    this.stress();
    this.solid.factor = this.factor;
    this.solid.show(this.runs, this.data.bounds, this.pushed, this.face);
    this.tell();
  }

  // The stress that the force brings; the front face is coloured with it. At the held end torque is
  // carried by restrained warping: without its field, the torque is shown where warping is free.
  stress() {
    const { actions, torque } = this.pushed;
    if (!actions) {
      this.face = null;
      return;
    }
    const { fields, data } = this;
    const whole = [3, 4, 6].every((k) => !actions[k] || fields.unitTau.some((u) => u.action === k));
    const [x0, y0, x1, y1] = data.bounds;
    // Through the shear centre there is no torque: what is left of it is rounding.
    const straight = Math.abs(this.force.offset()) < 1e-6 * Math.max(x1 - x0, y1 - y0);
    const alone = actions.map((_, k) => (k === TORQUE ? (torque ?? actions[k] + actions[6]) : 0));
    const acting = whole ? actions : alone;
    fields.combine(acting.map((v, k) => (straight && (k === TORQUE || k === 6) ? 0 : v)));
    const shear = { key: "shear", sheared: true };
    const values = fields.values(shear);
    const { value } = fields.extreme(shear, 1, values);
    const top = roundAbove(value);
    const table = data.colours.magnitude;
    this.face = { fields, values, top, table: banded(table) };
    this.force.colour(this.face, this.pushed.rows);
    const where = whole ? "at the held end" : "of its torque, where the section warps freely";
    const title = `shear stress ${where} (${data.stressUnit})`;
    drawLegend(find(".legend", this.root), table, [0, top], title, fields.corners.length > 0);
  }

  // A factor that makes the movement seen.
  fitting() {
    const { u, v, twist } = this.pushed;
    const [x0, y0, x1, y1] = this.data.bounds;
    const size = Math.max(x1 - x0, y1 - y0);
    let most = 0;
    for (let k = 0; k < u.length; k += 1) {
      most = Math.max(most, Math.hypot(u[k], v[k]), Math.abs(twist[k]) * (size / 2));
    }
    if (!(most > 0)) return 1;
    return Math.min(Math.max(Number(((SHOWN * size) / most).toPrecision(1)), 1), MOST_FACTOR);
  }

  exaggerate(factor) {
    this.factor = factor >= 10 ? Math.round(factor) : Number(factor.toPrecision(2));
    this.slider.value = Math.log10(this.factor);
    const words = this.factor === 1 ? "true to scale" : `movement × ${number(this.factor, 3)}`;
    this.slider.setAttribute("aria-valuetext", words);
    find("#push-factor-words", this.root).textContent = words;
    this.solid.factor = this.factor;
    this.solid.request();
  }

  // In words and numbers: what the force does, and what has to hold it.
  tell() {
    const { values = [], rows = [], words = "" } = this.pushed;
    find(".push-basis", this.root).textContent = Array.isArray(words) ? words.join(" ") : words;
    this.list.replaceChildren(
      ...values.map((v) =>
        el(
          "div",
          { class: "reading", "data-symbol": v.symbol ?? "", "data-value": v.value ?? "" },
          el("dt", {}, v.words),
          el(
            "dd",
            {},
            el("span", { class: "amount" }, v.text ? raised(v.text) : number(v.value)),
            " ",
            el("span", { class: "unit" }, unitText(v.unit)),
          ),
        ),
      ),
    );
    this.rows.replaceChildren(
      ...rows.map((row) => el("li", {}, `${row.words}: ${row.text ? raised(row.text) : number(row.force)}`)),
    );
    const cannot = find(".push-cannot", this.root);
    cannot.textContent = this.pushed.joint_refusal ?? "";
    cannot.hidden = !this.pushed.joint_refusal;
    const off = this.force.offset();
    find(".push-words", this.root).textContent = this.words(off);
  }

  // The distance of the force's line from the shear centre decides.
  words(off) {
    const [x0, y0, x1, y1] = this.data.bounds;
    const size = Math.max(x1 - x0, y1 - y0);
    if (Math.abs(off) < 2e-3 * size) {
      return "The force passes through the shear centre: the member bends and does not twist.";
    }
    const way = off > 0 ? "anticlockwise" : "clockwise";
    return (
      `The force passes ${number(Math.abs(off), 3)} ${this.data.unit} from the shear centre: ` +
      `it twists the member ${way} besides bending it.`
    );
  }
}

function fieldsOf(field) {
  return new Fields({ known: [], peaks: null, corners: [], ...field });
}

// About twelve times the section's size, rounded.
function niceLength(field) {
  const [x0, y0, x1, y1] = field.bounds;
  const size = Math.max(x1 - x0, y1 - y0);
  return `${Number((12 * size).toPrecision(1))} ${field.unit}`;
}

function parts() {
  const button = (name, text) => el("button", { type: "button", class: "plain", "data-press": `push-${name}` }, text);
  return [
    el("div", { class: "push-stages" },
      el("div", { class: "force-paper paper" }),
      el("div", { class: "solid-paper paper" },
        el("canvas", {
          tabindex: "0",
          role: "img",
          "aria-label": "The member in three dimensions, held at the back and pushed in front. Drag it, or use the arrow keys, to turn it.",
        }),
        el("div", { class: "paper-tools factor-tools" },
          el("label", { class: "tool" }, "Exaggerate ", el("input", { id: "push-factor", type: "range", min: "0", max: "4", step: "0.01" })),
          el("output", { id: "push-factor-words" }),
          button("true", "True"),
          button("auto", "Fit"),
        ),
      ),
    ),
    el("div", { class: "push-side" },
      el("p", { class: "push-words", "aria-live": "polite" }),
      el("p", {},
        el("label", {}, "Length of the member ", el("input", { id: "push-length", type: "text", autocomplete: "off" })),
        " ",
        button("centre", "Force to the shear centre"),
      ),
      el("dl", { class: "push-values" }),
      el("div", { class: "push-joint" },
        el("h2", {}, el("label", { for: "push-joint" }, "What the end connection holds")),
        el("select", { id: "push-joint" }, el("option", { value: "" }, "end plate, four rows of two bolts (assumed)")),
        el("p", { class: "wrong push-cannot", role: "status", hidden: true }),
        el("ul", { class: "push-rows" }),
      ),
      el("p", { class: "hint push-basis" }),
      el("div", { class: "legend" },
        el("canvas", { width: "512", height: "10", "aria-hidden": "true" }),
        el("div", { class: "legend-ticks" }),
        el("p", { class: "legend-title" }),
      ),
    ),
  ];
}
