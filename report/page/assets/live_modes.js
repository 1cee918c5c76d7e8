// Modes in motion: lines at rest, and moved by their share of the displacement of the mode. What is
// drawn is linear in that share, so that a swing costs one sum a point.

import { decoded } from "./decode.js";

const SVG = "http://www.w3.org/2000/svg";
const SWING = 2000; // milliseconds
const MARGIN = 0.04;

export class LiveModes {
  constructor(root, data) {
    Object.assign(this, { root, data });
    this.choice = root.querySelector("[name=mode]");
    this.slider = root.querySelector("[name=swing]");
    this.button = root.querySelector("[data-press=play]");
    this.where = root.querySelector(".where");
    this.whole = new Lines(root.querySelector(".whole"), data.lengths, decoded(data.still));
    this.whole.frame(data.modes.map((mode) => decoded(mode.motion)));
    this.one = new Lines(root.querySelector(".one"), [], new Float32Array(0));
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
    this.share = 1;
    this.choice.addEventListener("change", () => this.take());
    this.button.addEventListener("click", () => this.play(!this.playing));
    this.slider.addEventListener("input", () => {
      this.play(false);
      this.draw(Number(this.slider.value));
    });
    this.still.addEventListener("change", () => this.still.matches && this.play(false));
    addEventListener("beforeprint", () => {
      this.play(false);
      this.draw(1);
    });
    this.take();
    this.play(!this.still.matches);
  }

  take() {
    const mode = this.data.modes[Number(this.choice.value)];
    this.motion = decoded(mode.motion);
    this.one.set(mode.section.lengths, decoded(mode.section.still));
    this.own = decoded(mode.section.motion);
    this.one.frame([this.own]);
    this.where.textContent = mode.where;
    this.root.querySelector(".whole").setAttribute("aria-label", `The member in ${mode.words}`);
    this.draw(this.share);
  }

  play(wanted) {
    this.playing = wanted;
    this.button.textContent = wanted ? "Pause" : "Play";
    this.button.setAttribute("aria-pressed", String(wanted));
    if (!wanted) return;
    const begin = performance.now() - (Math.asin(this.share) / (2 * Math.PI)) * SWING;
    const step = (now) => {
      if (!this.playing) return;
      this.draw(Math.sin((2 * Math.PI * (now - begin)) / SWING));
      requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }

  draw(share) {
    this.share = Math.min(Math.max(share, -1), 1);
    if (document.activeElement !== this.slider) this.slider.value = String(this.share);
    this.whole.draw(this.motion, this.share);
    this.one.draw(this.own, this.share);
  }
}

class Lines {
  constructor(svg, lengths, still) {
    this.svg = svg;
    [this.rest, this.moved] = ["still", "moved"].map((name) => {
      const path = document.createElementNS(SVG, "path");
      path.setAttribute("class", name);
      svg.append(path);
      return path;
    });
    this.set(lengths, still);
  }

  set(lengths, still) {
    Object.assign(this, { lengths, points: still });
    this.rest.setAttribute("d", this.text(still));
  }

  // A frame that holds every motion to either side.
  frame(motions) {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const motion of motions) {
      for (let k = 0; k < this.points.length; k += 1) {
        const low = this.points[k] - Math.abs(motion[k]);
        const high = this.points[k] + Math.abs(motion[k]);
        box[k % 2] = Math.min(box[k % 2], low);
        box[2 + (k % 2)] = Math.max(box[2 + (k % 2)], high);
      }
    }
    const room = MARGIN * Math.max(box[2] - box[0], box[3] - box[1]);
    const frame = [
      box[0] - room,
      -box[3] - room,
      box[2] - box[0] + 2 * room,
      box[3] - box[1] + 2 * room,
    ];
    this.svg.setAttribute("viewBox", frame.map((v) => v.toPrecision(6)).join(" "));
  }

  draw(motion, share) {
    const moved = new Float32Array(this.points.length);
    for (let k = 0; k < moved.length; k += 1) moved[k] = this.points[k] + share * motion[k];
    this.moved.setAttribute("d", this.text(moved));
  }

  // One polyline a line; the page's y runs down.
  text(points) {
    const found = [];
    let k = 0;
    for (const length of this.lengths) {
      for (let n = 0; n < length; n += 1, k += 2) {
        found.push(`${n ? "L" : "M"}${points[k].toPrecision(5)} ${(-points[k + 1]).toPrecision(5)}`);
      }
    }
    return found.join("");
  }
}
