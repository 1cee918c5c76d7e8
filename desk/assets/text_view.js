// The file's text: a second view of the same sheet. Lines are numbered; the one that was changed by
// hand in the drawing, and the one that is refused, are marked.

import { el } from "./elements.js";
import { difference } from "./history.js";

export class TextView {
  constructor(area, gutter, sheet) {
    Object.assign(this, { area, gutter, sheet, lines: 0, changed: -1, wrong: -1 });
    area.addEventListener("input", () => {
      this.changed = -1;
      sheet.type(area.value);
    });
    area.addEventListener("scroll", () => this.follow());
    // The browser's own undo knows nothing of the drawing: the sheet's takes its place.
    area.addEventListener("beforeinput", (event) => {
      if (event.inputType === "historyUndo" || event.inputType === "historyRedo") {
        event.preventDefault();
        if (event.inputType === "historyUndo") sheet.undo();
        else sheet.redo();
      }
    });
  }

  refresh() {
    const { area, sheet } = this;
    if (area.value !== sheet.text) {
      const step = difference(area.value, sheet.text);
      const fresh = area.value === "";
      const { scrollTop, selectionStart, selectionEnd } = area;
      area.value = sheet.text;
      area.setSelectionRange(selectionStart, selectionEnd);
      area.scrollTop = scrollTop;
      this.changed = fresh ? -1 : lineAt(sheet.text, step.from);
      if (!fresh) this.reveal(this.changed);
    }
    this.wrong = sheet.refusal?.line ? sheet.refusal.line - 1 : -1;
    this.number();
  }

  number() {
    const lines = this.area.value.split("\n").length;
    if (lines !== this.lines) {
      this.lines = lines;
      this.gutter.replaceChildren(...Array.from({ length: lines }, (_, k) => el("i", {}, `${k + 1}`)));
    }
    for (const [k, node] of [...this.gutter.children].entries()) {
      node.classList.toggle("changed", k === this.changed);
      node.classList.toggle("wrong", k === this.wrong);
    }
    this.area.setAttribute("aria-invalid", String(this.wrong >= 0));
    this.follow();
  }

  follow() {
    this.gutter.style.transform = `translateY(${-this.area.scrollTop}px)`;
  }

  // Scroll so that a line is in sight.
  reveal(line) {
    const { area } = this;
    const height = parseFloat(getComputedStyle(area).lineHeight);
    const top = line * height;
    if (top < area.scrollTop + height || top > area.scrollTop + area.clientHeight - 2 * height) {
      area.scrollTop = Math.max(0, top - area.clientHeight / 2);
    }
  }

  clear() {
    this.area.value = "";
    this.changed = -1;
  }
}

export function lineAt(text, place) {
  return text.slice(0, place).split("\n").length - 1;
}
