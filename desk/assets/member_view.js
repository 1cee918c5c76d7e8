// The member under the hand: its plan with handles, what runs along it, its sections as they deform,
// and its modes in motion.

import { el, find } from "./elements.js";
import { Handles } from "./handles.js";
import { LiveMember } from "./live_member.js";
import { LiveModes } from "./live_modes.js";
import { PlanStage } from "./plan_stage.js";
import { Readings } from "./readings.js";
import { symbolNodes } from "./symbols.js";

export class MemberView {
  constructor(root, sheet, link) {
    Object.assign(this, { root, sheet, link, deforming: false });
    this.canvas = el("canvas", { tabindex: "0", role: "img", "aria-label": "The member in plan" });
    this.layer = el("div", { class: "handle-layer", role: "group", "aria-label": "Dimensions of the member" });
    this.theory = el("select", { id: "member-theory" },
      el("option", { value: "classical" }, "sections keep their shape"),
      el("option", { value: "deforming" }, "sections deform"),
    );
    this.theory.addEventListener("change", () => this.askTheory());
    this.modesButton = el("button", { type: "button", class: "plain", click: () => this.askModes() }, "Swing its modes");
    this.note = el("p", { class: "wrong", role: "status", hidden: true });
    this.facts = el("dl", { class: "member-facts" });
    this.live = el("div", { class: "member-live" });
    this.modes = el("div", { class: "member-modes", hidden: true });
    root.append(
      el("div", { class: "plan-paper paper" }, this.canvas, this.layer),
      el("div", { class: "member-bar" },
        el("label", {}, "Theory: ", this.theory),
        this.modesButton,
        el("p", { class: "reading-state" }, el("span", { class: "dot", "aria-hidden": "true" }), " ", el("span", { class: "member-mark" })),
        this.note,
        el("p", { class: "hint member-alone" }),
      ),
      el("div", { class: "member-scroll" }, this.facts, this.modes, this.live),
    );
    this.readings = new Readings(root, { list: this.facts, mark: find(".member-mark", root) });
    this.stage = new PlanStage(this.canvas, () => this.handles?.place());
    this.handles = new Handles(this.layer, sheet, this.stage);
    sheet.on("opened", () => this.clear());
    sheet.on("plan", () => this.take());
    sheet.on("handles", () => this.mine && this.handles.refresh());
    sheet.on("result", () => this.solved());
    sheet.on("refused", () => this.say(sheet.refusal.words));
    sheet.on("message modes", (message) => this.swing(message.modes));
  }

  get mine() {
    return this.sheet.what === "member";
  }

  clear() {
    this.live.replaceChildren();
    this.hush();
    this.modes.hidden = true;
    this.stage.clear();
  }

  enter() {
    this.stage.resize();
  }

  say(words) {
    if (!this.mine) return;
    this.note.textContent = words;
    this.note.hidden = !words;
  }

  take() {
    if (!this.mine) return;
    this.say("");
    this.stage.show(this.sheet.plan);
    this.handles.refresh();
  }

  // The full answer of a file is that of deforming sections, where it asks for them; the switch shows
  // the other.
  askTheory() {
    this.sheet.edit({ do: "theory", deforming: this.theory.value === "deforming" });
  }

  askModes() {
    this.say("");
    this.modesButton.disabled = true;
    this.link.send({ do: "modes", turn: this.sheet.turn });
    setTimeout(() => {
      this.modesButton.disabled = false;
    }, 4000);
  }

  // -- what was found -------------------------------------------------------------------------------
  solved() {
    const { member, values = [], alone, deforming } = this.sheet.result;
    if (!this.mine || !member) return;
    this.say("");
    this.readings.show(values);
    this.theory.value = deforming ? "deforming" : "classical";
    find(".member-alone", this.root).textContent = alone || "";
    this.handles.answered(this.sheet.result.turn);
    const before = this.shown;
    this.live.replaceChildren(...parts(member));
    if (before) {
      const names = member.names ?? [];
      const same = names.indexOf(before.data.names[before.combination]);
      member.opening = {
        station: Math.min(before.station, member.length),
        combination: same < 0 ? member.opening.combination : same,
      };
    }
    this.shown = new LiveMember(this.live, member, (section, actions, where) => {
      this.stage.marker(this.shown?.station ?? member.opening.station, member.length, where);
    });
  }

  swing(data) {
    this.modesButton.disabled = false;
    this.hush();
    this.modes.hidden = false;
    this.modes.replaceChildren(...modeParts(data));
    this.swinging = new LiveModes(this.modes, data);
  }

  hush() {
    this.swinging?.play(false);
    this.swinging = null;
  }
}

function parts(data) {
  const stress = data.diagrams.at(-1).key === "von Mises";
  return [
    el("div", { class: "toolbar" },
      el("label", {}, "Combination ", el("select", { name: "combination" }, ...data.names.map((name, k) => el("option", { value: k }, name)))),
      el("label", {}, `Station (${data.unit}) `, el("input", { type: "text", name: "station", inputmode: "decimal", autocomplete: "off", "aria-describedby": "wrong-station" })),
      el("small", { class: "wrong", id: "wrong-station", role: "status", hidden: true }),
      el("button", { type: "button", class: "plain", "data-press": "twist" }, "Largest twist"),
      stress ? el("button", { type: "button", class: "plain", "data-press": "peak" }, "Peak stress") : null,
    ),
    el("input", { type: "range", name: "marker", min: "0", max: data.length, step: "any", "aria-label": "Station along the member" }),
    el("p", { class: "marker-words" }, "At the marker: ", el("output", {})),
    el("div", { class: "diagrams" },
      ...data.diagrams.map((diagram) =>
        el("figure", { class: "diagram", "data-key": diagram.key },
          el("figcaption", {}, el("span", {}, diagram.words, " ", el("span", { class: "symbol" }, ...symbolNodes(diagram.symbol))), " ", el("output", {}), " ", el("span", { class: "unit" }, diagram.unit)),
          svgFrame(`${diagram.words} along the member`),
        ),
      ),
    ),
    data.shape
      ? el("figure", { class: "deformed" },
          el("figcaption", {}, "The section at the marker, deformed"),
          svgFrame("The section at the marker, deformed"),
          el("p", { class: "factor" }),
        )
      : null,
  ].filter((part) => part !== null);
}

function svgFrame(words, cls = "") {
  const frame = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  frame.setAttribute("role", "img");
  frame.setAttribute("aria-label", words);
  if (cls) frame.setAttribute("class", cls);
  return frame;
}

function modeParts(data) {
  return [
    el("div", { class: "toolbar" },
      el("label", {}, "Mode ", el("select", { name: "mode" }, ...data.modes.map((mode, k) => el("option", { value: k }, mode.words)))),
      el("button", { type: "button", class: "plain", "data-press": "play", "aria-pressed": "false" }, "Play"),
      el("label", {}, "Displacement shown ", el("input", { type: "range", name: "swing", min: "-1", max: "1", step: "0.02", value: "1" })),
    ),
    el("div", { class: "swings" },
      svgFrame("The member in this mode", "whole"),
      el("figure", {}, svgFrame("The section that moves most", "one"), el("figcaption", { class: "where" })),
    ),
    el("p", { class: "hint" }, "One swing takes two seconds here, whatever its frequency; its size is not to scale."),
  ];
}
