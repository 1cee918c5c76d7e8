// The member under the hand: its plan with handles, itself in three dimensions and its section at the
// marker as they turn and distort, what runs along it, and its modes in motion.

import { el, find } from "./elements.js";
import { Handles } from "./handles.js";
import { LiveMember } from "./live_member.js";
import { MemberMotion } from "./member_motion.js";
import { PlanStage } from "./plan_stage.js";
import { Readings } from "./readings.js";
import { symbolNodes } from "./symbols.js";

const FIRST_LOOK = "a first look with few functions: being refined";

export class MemberView {
  constructor(root, sheet, link) {
    Object.assign(this, { root, sheet, link, shown: null });
    this.canvas = el("canvas", { tabindex: "0", role: "img", "aria-label": "The member in plan" });
    this.layer = el("div", { class: "handle-layer", role: "group", "aria-label": "Dimensions of the member" });
    this.note = el("p", { class: "wrong member-note", role: "status", hidden: true });
    this.facts = el("dl", { class: "member-facts" });
    this.live = el("div", { class: "member-live" });
    this.pair = el("div", { class: "member-pair" });
    root.append(
      el("div", { class: "plan-paper paper" }, this.canvas, this.layer),
      this.pair,
      this.bar(),
      this.note,
      el("div", { class: "member-scroll", tabindex: "0", role: "group", "aria-label": "Results along the member" }, this.facts, this.live),
    );
    this.readings = new Readings(root, { list: this.facts, mark: find(".member-mark", root) });
    this.stage = new PlanStage(this.canvas, () => this.handles?.place());
    this.handles = new Handles(this.layer, sheet, this.stage);
    this.motion = new MemberMotion(this.pair, (what) => this.askModes(what), (station) => this.shown?.go(station));
    sheet.on("opened", () => this.clear());
    sheet.on("plan", () => this.take());
    sheet.on("handles", () => this.mine && this.handles.refresh());
    sheet.on("result", () => this.solved());
    sheet.on("refused", () => this.say(sheet.refusal.words));
    sheet.on("message modes", (message) => this.motion.swing(message.modes));
  }

  bar() {
    const choice = (value, words) =>
      el("label", {}, el("input", { type: "radio", name: "theory", value, change: () => this.askTheory(value) }), ` ${words}`);
    const add = (what) =>
      el("button", { type: "button", class: "plain", "data-add": what, click: () => this.add(what) }, what);
    return el("div", { class: "member-bar" },
      el("fieldset", { class: "theories" },
        el("legend", { class: "unseen" }, "Theory"),
        choice("deforming", "sections deform"),
        choice("classical", "sections keep their shape"),
      ),
      el("span", { class: "adding tool", role: "group", "aria-label": "Add at the marker" }, "Add at the marker: ", add("diaphragm"), add("support"), add("load")),
      el("p", { class: "reading-state" }, el("span", { class: "dot", "aria-hidden": "true" }), " ", el("span", { class: "member-mark" })),
      el("p", { class: "hint member-alone" }),
    );
  }

  get mine() {
    return this.sheet.what === "member";
  }

  clear() {
    this.shown?.leave();
    this.shown = null;
    this.live.replaceChildren();
    this.readings.show([]);
    find(".member-alone", this.root).textContent = "";
    this.motion.clear();
    this.stage.clear();
    this.say("");
  }

  enter() {
    this.stage.resize();
    this.motion.resize();
    this.shown?.draw();
  }

  say(words) {
    if (!this.mine) return;
    this.note.textContent = words;
    this.note.hidden = !words;
  }

  take() {
    if (!this.mine) return;
    this.say("");
    this.root.classList.toggle("curved", Boolean(this.sheet.plan.axis));
    this.stage.show(this.sheet.plan);
    this.handles.refresh();
  }

  // The full answer of a file is that of deforming sections, where it asks for them; the switch shows
  // the other.
  askTheory(value) {
    this.sheet.edit({ do: "theory", deforming: value === "deforming" });
  }

  // A table of the file for what is put where the marker stands; a hand moves it on from there.
  add(what) {
    if (!this.shown) return;
    const { station, data } = this.shown;
    this.sheet.edit({ do: "add", what, at: `${Number(station.toPrecision(4))} ${data.unit}` });
  }

  askModes(what) {
    this.say("");
    this.link.send({ do: "modes", what, turn: this.sheet.turn });
  }

  // What the state of the numbers is called here.
  state(name) {
    this.readings.state(name);
    if (name === "coarse") this.readings.mark.textContent = FIRST_LOOK;
  }

  // -- what was found -------------------------------------------------------------------------------
  solved() {
    const { member, values = [], alone, deforming } = this.sheet.result;
    if (!this.mine || !member) return;
    this.say("");
    this.readings.show(values);
    for (const radio of this.root.querySelectorAll("[name=theory]")) {
      radio.checked = radio.value === (deforming ? "deforming" : "classical");
    }
    find(".member-alone", this.root).textContent = alone || "";
    this.handles.answered(this.sheet.result.turn);
    this.motion.show(member, this.stage, this.handles.held !== null);
    if (!this.shown?.take({ ...member, shape: null })) this.made(member);
    this.marked();
  }

  made(member) {
    const before = this.shown;
    before?.leave();
    this.live.replaceChildren(...parts(member));
    if (before) {
      const same = member.names.indexOf(before.data.names[before.combination]);
      member.opening = {
        station: Math.min(before.station, member.length),
        combination: same < 0 ? member.opening.combination : same,
      };
    }
    this.shown = null;
    this.shown = new LiveMember(this.root, { ...member, shape: null }, () => this.marked());
  }

  marked() {
    if (!this.shown) return;
    const { station, combination, data } = this.shown;
    this.stage.marker(station, data.length);
    this.motion.at(station, combination);
  }
}

function parts(data) {
  return [
    el("div", { class: "toolbar" },
      el("label", {}, "Combination ", el("select", { name: "combination" }, ...data.names.map((name, k) => el("option", { value: k }, name)))),
      el("label", {}, `Station (${data.unit}) `, el("input", { type: "text", name: "station", inputmode: "decimal", autocomplete: "off", "aria-describedby": "wrong-station" })),
      el("small", { class: "wrong", id: "wrong-station", role: "status", hidden: true }),
      el("button", { type: "button", class: "plain", "data-press": "twist" }, "Largest twist"),
      data.diagrams.at(-1).key === "von Mises" ? el("button", { type: "button", class: "plain", "data-press": "peak" }, "Peak stress") : null,
      el("p", { class: "marker-words" }, "At the marker: ", el("output", {})),
    ),
    el("input", { type: "range", name: "marker", min: "0", max: data.length, step: "any", "aria-label": "Station along the member" }),
    el("div", { class: "diagrams" },
      ...data.diagrams.map((diagram) =>
        el("figure", { class: "diagram", "data-key": diagram.key },
          el("figcaption", {}, el("span", {}, diagram.words, " ", el("span", { class: "symbol" }, ...symbolNodes(diagram.symbol))), " ", el("output", {}), " ", el("span", { class: "unit" }, diagram.unit)),
          frame(`${diagram.words} along the member`),
        ),
      ),
    ),
  ];
}

export function frame(words) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  node.setAttribute("role", "img");
  node.setAttribute("aria-label", words);
  return node;
}
