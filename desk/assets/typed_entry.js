// The field beside a handle in which its value, or its point's two, are typed.

import { el } from "./elements.js";
import { statedUnit } from "./lengths.js";
import { typed } from "./numbers.js";

export class TypedEntry {
  // `take` takes what the typed values change.
  constructor(take) {
    this.take = take;
    this.shown = null;
    this.node = el("input", {
      class: "entry",
      type: "text",
      autocomplete: "off",
      spellcheck: "false",
      hidden: true,
    });
    this.node.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Enter") this.enter();
      else if (event.key === "Escape") this.close(true);
    });
    this.node.addEventListener("blur", () => this.close());
  }

  // At a shown handle, with a text to begin with, that may be what the handle says.
  open(shown, text, view, whole) {
    const { node } = this;
    this.shown = shown;
    node.hidden = false;
    node.setAttribute("aria-label", `${shown.handle.name}, new value`);
    node.value = text;
    const x = Math.min(Math.max(shown.at[0] + 14, 4), view.width - 150);
    const y = Math.min(Math.max(shown.at[1] - 15, 4), view.height - 40);
    node.style.transform = `translate(${x}px, ${y}px)`;
    node.focus({ preventScroll: true });
    if (whole) node.select();
  }

  enter() {
    const { shown } = this;
    const text = this.node.value.trim();
    this.close(true);
    if (!text) return;
    const { at } = shown.handle;
    // A bare number, or one in the unit that the handle shows, is written as the file has it; anything
    // else (another unit, an expression) as it was typed.
    const { unit, factor } = statedUnit(shown.handle.text, shown.handle.unit);
    const own = (part) => {
      const bare = unit && part.endsWith(unit) ? part.slice(0, -unit.length) : part;
      const value = typed(bare);
      return value === null ? part : value / factor;
    };
    const parts = text.split(/[,;]\s+|;/);
    this.take(
      shown.kind === "point"
        ? parts.slice(0, 2).map((part, k) => ({ at: at[k], to: own(part.trim()) }))
        : [{ at, to: own(text) }],
    );
  }

  close(back = false) {
    const { shown } = this;
    if (!shown) return;
    this.shown = null;
    this.node.hidden = true;
    if (back) shown.node.focus({ preventScroll: true });
  }
}
