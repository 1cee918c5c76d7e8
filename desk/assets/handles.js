// Handles over the drawing: every dimension can be dragged, moved by the arrow keys, or typed.
//
// A handle of one value is a slider along its direction; a handle of a point is free in both; a
// switch turns a weld on and off; what has no direction is typed.

import { el } from "./elements.js";
import { arrow, draggable } from "./gesture.js";
import { seated } from "./labels.js";
import { statedUnit } from "./lengths.js";
import { clamped, rounded, stepOf, written } from "./rounding.js";
import { TypedEntry } from "./typed_entry.js";

// Handles at one place of a line stand apart from it, one over the other, by so many pixels.
const LIFT = 25;

export class Handles {
  // `sheet` takes what is set, `stage` tells where places are on the screen.
  constructor(root, sheet, stage) {
    Object.assign(this, { root, sheet, stage });
    this.shown = [];
    this.gesture = 0;
    this.held = null;
    this.entry = new TypedEntry((changes) => this.takeTyped(changes));
  }

  // -- keeping in step with the sheet ---------------------------------------------------------------
  refresh() {
    if (this.held) {
      this.place();
      return;
    }
    const handles = this.sheet.handles.filter((handle) => handle.place);
    const same =
      this.shown.length === handles.length &&
      this.shown.every((s, k) => String(s.handle.at) === String(handles[k].at));
    if (same) {
      this.shown.forEach((s, k) => {
        s.handle = handles[k];
      });
    } else {
      this.entry.close();
      this.shown = handles.map((handle) => this.made(handle));
      this.root.replaceChildren(...this.shown.map((s) => s.node), this.entry.node);
    }
    this.place();
  }

  made(handle) {
    const kind = kindOf(handle);
    const label = el("span", { class: "chip-value" });
    const chip = el("span", { class: "chip", "aria-hidden": "true" },
      el("span", { class: "chip-name" }, `${handle.name} `),
      label,
    );
    const roles = { value: "slider", point: "button", switch: "switch", typed: "button" };
    const node = el(
      "div",
      { class: `handle ${kind}`, role: roles[kind], tabindex: "0", "aria-describedby": `how-${kind}` },
      el("span", { class: "grip", "aria-hidden": "true" }),
      chip,
    );
    const shown = { handle, kind, node, label };
    if (kind === "switch") node.addEventListener("click", () => this.flip(shown));
    else if (kind === "typed") node.addEventListener("click", () => this.openEntry(shown));
    else draggable(node, this.dragging(shown));
    node.addEventListener("keydown", (event) => this.key(shown, event));
    return shown;
  }

  // Only the handle in the hand is placed: the others are out of sight then.
  place() {
    const { stage } = this;
    const { view } = stage;
    if (!this.held) lift(this.shown, view, stage.lifts);
    for (const shown of this.held ? [this.held] : this.shown) {
      const { handle, node, kind } = shown;
      const [lx, ly] = shown.lift ?? [0, 0];
      const [ox, oy] = view.toScreen(...(shown.now ?? handle.place));
      const [px, py] = [ox + lx, oy + ly];
      shown.at = [px, py];
      node.style.transform = `translate(${px.toFixed(1)}px, ${py.toFixed(1)}px)`;
      node.hidden = px < -20 || py < -20 || px > view.width + 20 || py > view.height + 20;
      const text = this.text(shown);
      shown.label.textContent = text;
      if (kind === "value") {
        const [dx, dy] = handle.direction;
        node.style.setProperty("--turn", `${Math.atan2(-dy, dx).toFixed(3)}rad`);
        node.setAttribute("aria-valuenow", written(shown.value ?? handle.value));
        node.setAttribute("aria-valuetext", text);
        if (Number.isFinite(handle.least)) node.setAttribute("aria-valuemin", handle.least);
        if (Number.isFinite(handle.most)) node.setAttribute("aria-valuemax", handle.most);
        node.setAttribute("aria-label", handle.name);
      } else if (kind === "switch") {
        node.setAttribute("aria-checked", String(Boolean(handle.value)));
        node.setAttribute("aria-label", handle.name);
      } else node.setAttribute("aria-label", `${handle.name}: ${text}`);
    }
    if (!this.held) stage.taken = seated(this.shown, view, stage.blocked?.());
  }

  // What a handle says: the value under the hand, else the file's own words.
  text({ handle, kind, value, now }) {
    if (kind === "switch") return handle.value ? "made" : "left out";
    if (kind === "point") {
      return `${valuesAt(handle, now).map(written).join(", ")} ${handle.unit ?? ""}`.trim();
    }
    if (value === undefined) return handle.follows ?? handle.text ?? `${written(handle.value)} ${handle.unit}`.trim();
    const { unit, factor } = statedUnit(handle.text, handle.unit);
    return `${written(value * factor)} ${unit}`.trim();
  }

  // -- dragging -------------------------------------------------------------------------------------
  dragging(shown) {
    const { stage } = this;
    let start = null;
    return {
      begin: () => {
        this.entry.close();
        this.gesture += 1;
        start = { ...shown.handle };
        this.held = shown;
        shown.node.focus({ preventScroll: true });
      },
      move: (dx, dy) => {
        stage.hold(true);
        this.root.classList.add("holding");
        shown.node.classList.add("held");
        const { scale } = stage.view;
        this.moveTo(shown, start, dx / scale, -dy / scale, 1 / scale);
      },
      end: (moved) => {
        if (moved) this.letGo(shown);
        else {
          this.held = null;
          this.refresh();
          this.openEntry(shown);
        }
      },
    };
  }

  // The handle as it began, moved by (dx, dy) of the drawing.
  moveTo(shown, start, dx, dy, perPixel) {
    const { view } = this.stage;
    const size = Math.max(view.x1 - view.x0, view.y1 - view.y0);
    if (shown.kind === "point") {
      const step = stepOf(perPixel, 1, size);
      const [x, y] = start.place;
      this.setPoint(shown, [rounded(x + dx, step), rounded(y + dy, step)]);
      return;
    }
    const [ux, uy] = start.direction;
    const along = dx * ux + dy * uy;
    const step = stepOf(perPixel, start.gain, size);
    const value = clamped(rounded(start.value + start.gain * along, step), start.least, start.most);
    const way = start.gain ? (value - start.value) / start.gain : 0;
    shown.now = [start.place[0] + way * ux, start.place[1] + way * uy];
    this.setValue(shown, value);
  }

  setValue(shown, value) {
    if (shown.value === value) return;
    shown.value = value;
    this.place();
    this.sheet.set([{ at: shown.handle.at, to: value }], `handle ${this.gesture}`, this.held !== null);
  }

  setPoint(shown, [x, y]) {
    if (shown.now?.[0] === x && shown.now?.[1] === y) return;
    shown.now = [x, y];
    this.place();
    const { at } = shown.handle;
    const changes = valuesAt(shown.handle, [x, y]).map((to, k) => ({ at: at[k], to }));
    this.sheet.set(changes, `handle ${this.gesture}`, this.held !== null);
  }

  // What the file says then is shown again: a value that was refused falls back to the last good one.
  letGo(shown) {
    this.sheet.letGo();
    this.held = null;
    this.root.classList.remove("holding");
    shown.node.classList.remove("held");
    this.stage.hold(false);
    shown.waiting = this.sheet.turn;
    this.refresh();
  }

  // An answer has come: handles that were let go follow the file again.
  answered(turn) {
    for (const shown of this.shown) {
      if (shown === this.held || (shown.waiting ?? 0) > turn) continue;
      Object.assign(shown, { now: undefined, value: undefined, waiting: undefined });
    }
    this.place();
  }

  // -- keys -----------------------------------------------------------------------------------------
  key(shown, event) {
    if (event.target !== shown.node) return;
    if (shown.kind === "switch") {
      if (event.key !== " " && event.key !== "Enter") return;
      this.flip(shown);
      event.preventDefault();
      return;
    }
    const way = shown.kind === "typed" ? null : arrow(event);
    if (way) this.nudge(shown, way);
    else if (event.key === "Enter" || event.key === "F2") this.openEntry(shown);
    else if (/^[-\d.]$/.test(event.key) && !event.ctrlKey && !event.metaKey) {
      this.openEntry(shown, event.key);
    } else return;
    event.preventDefault();
  }

  // One step of the drawing's scale; with Shift ten. A value grows to the right and upward.
  nudge(shown, [x, y]) {
    const { view } = this.stage;
    const size = Math.max(view.x1 - view.x0, view.y1 - view.y0);
    const { handle } = shown;
    this.gesture += 1;
    if (shown.kind === "point") {
      const step = stepOf(0.5 / view.scale, 1, size);
      const [px, py] = shown.now ?? handle.place;
      this.setPoint(shown, [rounded(px + x * step, step / 10), rounded(py + y * step, step / 10)]);
    } else {
      const step = stepOf(0.5 / view.scale, handle.gain, size);
      const from = shown.value ?? handle.value;
      const value = clamped(rounded(from + (x + y) * step, step / 10), handle.least, handle.most);
      this.setValue(shown, value);
    }
    shown.waiting = Infinity;
    requestAnimationFrame(() => {
      shown.waiting = this.sheet.turn;
    });
  }

  flip(shown) {
    this.gesture += 1;
    const to = !shown.handle.value;
    this.sheet.set([{ at: shown.handle.at, to }], `handle ${this.gesture}`);
  }

  // -- typing ---------------------------------------------------------------------------------------
  openEntry(shown, first = null) {
    this.entry.open(shown, first ?? this.text(shown), this.stage.view, first === null);
  }

  takeTyped(changes) {
    this.gesture += 1;
    this.sheet.set(changes, `typed ${this.gesture}`);
  }
}

// Where a handle would cover another it is moved off the line that it runs along; a thread leads back.
// In a section only those move that are typed: the others stand on what they change.
function lift(shown, view, all) {
  const seats = [];
  const free = (s) => all || s.kind === "typed";
  for (const s of [...shown].sort((a, b) => free(a) - free(b))) {
    const [px, py] = view.toScreen(...s.handle.place);
    if (!free(s)) {
      seats.push([px, py]);
      continue;
    }
    const [dx, dy] = s.handle.direction ?? [1, 0];
    const up = Math.abs(dx) > 1e-6 ? [-dy, -dx].map((c) => c * Math.sign(dx)) : [1, 0];
    let level = 0;
    const at = () => [px + up[0] * LIFT * level, py + up[1] * LIFT * level];
    while (seats.some(([x, y]) => Math.hypot(at()[0] - x, at()[1] - y) < LIFT - 2)) level += 1;
    seats.push(at());
    s.lift = [up[0] * LIFT * level, up[1] * LIFT * level];
    s.node.classList.toggle("lifted", level > 0);
    s.node.style.setProperty("--lift", `${LIFT * level}px`);
    s.node.style.setProperty("--back", `${Math.atan2(-up[1], -up[0]).toFixed(3)}rad`);
  }
}

// A point's values when it stands at a place: of a part that is turned or mirrored they change along
// the part's own axes.
function valuesAt({ value, place, map }, now = place) {
  const [dx, dy] = [now[0] - place[0], now[1] - place[1]];
  if (dx === 0 && dy === 0) return value ?? place;
  const [[a, b], [c, d]] = map ?? [[1, 0], [0, 1]];
  const [x, y] = value ?? place;
  return [x + a * dx + b * dy, y + c * dx + d * dy].map((v) => Number(v.toPrecision(10)));
}

function kindOf(handle) {
  return handle.kind ?? (Array.isArray(handle.at) ? "point" : handle.direction ? "value" : "typed");
}
