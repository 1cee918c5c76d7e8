// How a member moves: under its loads, or in a mode that swings; in three dimensions, and as the
// section at the marker. One factor for both, which stays while the hand and the theory change.

import { el, find } from "./elements.js";
import { onceAFrame } from "./frames.js";
import { LiveShape } from "./live_shape.js";
import { MemberSolid } from "./member_solid.js";
import { number } from "./numbers.js";

const SWING = 2000; // milliseconds
const MOST_FACTOR = 1e5;
// A factor is kept, so that what is stiffened is seen to move less, until it shows so many times what
// fits.
const TOO_MUCH = 3;
const CAPTIONS = {
  loads: "The section at the marker, under its loads",
  vibration: "The section at the marker, swinging in this mode",
  buckling: "The section at the marker, as it buckles",
};

export class MemberMotion {
  // Not at once: shape, marker and combination of a new member come one after the other.
  request = onceAFrame(() => this.draw());

  // `ask(what)` wants modes; `go(station)` moves the marker.
  constructor(root, ask, go) {
    Object.assign(this, { root, ask, go, what: "loads", station: 0, combination: 0, share: 1, playing: false });
    root.append(...this.parts());
    this.solid = new MemberSolid(find("canvas", root));
    this.slider.addEventListener("input", () => this.exaggerate(10 ** Number(this.slider.value)));
    this.choice.addEventListener("change", () => this.choose(this.choice.value));
    this.mode.addEventListener("change", () => this.takeMode());
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
    this.still.addEventListener("change", () => this.still.matches && this.play(false));
  }

  parts() {
    this.choice = el("select", { id: "member-shown" },
      el("option", { value: "loads" }, "under its loads"),
      el("option", { value: "vibration" }, "vibrating"),
      el("option", { value: "buckling" }, "buckling"),
    );
    this.mode = el("select", { "aria-label": "Mode" });
    this.button = el("button", { type: "button", class: "plain", "aria-pressed": "false", click: () => this.play(!this.playing) }, "Play");
    this.modes = el("span", { class: "mode-tools", hidden: true }, this.mode, " ", this.button);
    this.slider = el("input", { type: "range", min: "0", max: "5", step: "0.01", "aria-label": "Exaggerate the movement" });
    this.words = el("output", {});
    return [
      el("div", { class: "solid-paper paper" },
        el("canvas", { tabindex: "0", role: "img", "aria-label": "The member in three dimensions. Drag it, or use the arrow keys, to turn it." }),
        el("div", { class: "paper-tools motion-choice" }, el("label", {}, "Shown ", this.choice), " ", this.modes),
        el("div", { class: "paper-tools factor-tools" },
          this.slider,
          this.words,
          el("button", { type: "button", class: "plain", click: () => this.shape && this.exaggerate(this.shape.factor || 1) }, "Fit"),
        ),
      ),
      el("figure", { class: "deformed" },
        el("figcaption", {}, CAPTIONS.loads),
        document.createElementNS("http://www.w3.org/2000/svg", "svg"),
        el("p", { class: "factor" }),
      ),
    ];
  }

  clear() {
    this.play(false);
    Object.assign(this, { loads: null, shape: null, flat: null, factor: null, what: "loads", combination: 0 });
    this.choice.value = "loads";
    this.modes.hidden = true;
    this.solid.clear();
    this.words.textContent = find(".factor", this.root).textContent = "";
    find(".deformed svg", this.root).replaceChildren();
    find("figcaption", this.root).textContent = CAPTIONS.loads;
  }

  resize() {
    this.solid.resize();
  }

  // New results under loads. Modes belong to the member that was.
  show(member, stage, held) {
    const { shape, length, unit } = member;
    this.loads = shape;
    // Of fewer combinations than there were: the marker tells which is meant.
    this.combination = Math.min(this.combination, member.names.length - 1);
    this.axis = { place: (share) => stage.placed(share), unit, length };
    if (this.what !== "loads") this.choose("loads");
    else this.lay(shape, held);
  }

  lay(shape, held = false) {
    this.root.hidden = !shape;
    this.shape = shape;
    if (!shape) return;
    const fits = shape.factor && this.factor ? this.factor / shape.factor : 0;
    const keep = held || !shape.factor || fits < TOO_MUCH;
    if (this.factor === null || !keep) this.factor = shape.factor || 1;
    this.solid.show(shape, this.axis);
    const figure = find(".deformed", this.root);
    find("svg", figure).replaceChildren();
    this.flat = new LiveShape(figure, shape, this.axis.length);
    find("figcaption", figure).textContent = CAPTIONS[this.what];
    find("svg", figure).setAttribute("role", "img");
    find("svg", figure).setAttribute("aria-label", CAPTIONS[this.what]);
    this.exaggerate(this.factor);
  }

  exaggerate(factor) {
    this.factor = Math.min(Number(factor.toPrecision(2)), MOST_FACTOR);
    this.slider.value = Math.log10(this.factor);
    const scale = this.solid.shorter < 0.99 ? `, length × ${number(this.solid.shorter, 2)}` : "";
    const size = this.what === "loads" ? (this.factor === 1 ? "true to scale" : `movement × ${number(this.factor, 3)}`) : "a mode has no size";
    this.words.textContent = size + scale;
    this.slider.setAttribute("aria-valuetext", this.words.textContent);
    this.request();
  }

  // The marker's place and the combination that is read.
  at(station, combination) {
    Object.assign(this, { station, combination });
    this.request();
  }

  draw() {
    if (!this.shape || !this.flat) return;
    const column = this.what === "loads" ? this.combination : Number(this.mode.value);
    Object.assign(this.solid, { column, station: this.station, factor: this.factor, share: this.share, quick: this.playing });
    this.solid.request();
    this.flat.factor = this.factor;
    this.flat.draw(this.station, column, this.share);
    if (this.what === "loads") this.flat.say();
    else this.flat.words.textContent = "grey: at rest; a mode has no size of its own";
  }

  // -- modes ----------------------------------------------------------------------------------------
  choose(what) {
    this.play(false);
    this.share = 1;
    if (what === "loads") {
      this.what = what;
      this.choice.value = what;
      this.modes.hidden = true;
      this.factor = null;
      this.lay(this.loads);
      return;
    }
    this.words.textContent = "seeking modes …";
    this.ask(what);
  }

  // Where there are none, the loads are shown again.
  refused() {
    if (this.choice.value !== this.what) this.choose("loads");
  }

  swing(data) {
    if (this.choice.value !== data.what) return;
    this.what = data.what;
    this.data = data;
    this.mode.replaceChildren(...data.words.map((words, k) => el("option", { value: k }, words)));
    this.modes.hidden = false;
    this.factor = null;
    this.lay(data.shape);
    this.takeMode();
    this.play(!this.still.matches);
  }

  takeMode() {
    this.go(this.data.stations[Number(this.mode.value)]);
    this.request();
  }

  // One swing takes two seconds here, whatever its frequency.
  play(wanted) {
    this.playing = wanted;
    this.button.textContent = wanted ? "Pause" : "Play";
    this.button.setAttribute("aria-pressed", String(wanted));
    if (!wanted) return;
    const begin = performance.now() - SWING / 4;
    const step = (now) => {
      if (!this.playing) return;
      this.share = Math.sin((2 * Math.PI * (now - begin)) / SWING);
      this.draw();
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }
}
