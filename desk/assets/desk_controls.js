// Buttons and keys beside the drawing.

import { find } from "./elements.js";

const NEARER = 1.6;

const toggle = (button, on) => button.setAttribute("aria-pressed", String(on));

export class Controls {
  // `keeping` saves; `open()` shows what can be laid on the desk.
  constructor(sheet, stage, keeping, open) {
    Object.assign(this, { sheet, stage });
    this.acts = {
      opening: open,
      undo: () => sheet.undo(),
      redo: () => sheet.redo(),
      save: () => keeping.save(),
      closer: () => stage.zoom(NEARER),
      farther: () => stage.zoom(1 / NEARER),
      all: () => stage.fit(),
      hush: () => {
        find("#notice").hidden = true;
      },
      lines: (button) => {
        stage.lines = stage.lines === false;
        toggle(button, stage.lines);
        stage.request();
      },
      slit: (button) => {
        const on = !stage.cutting;
        stage.cut(on);
        toggle(button, on);
        find(".paper").classList.toggle("cutting", on);
      },
      script: (button) => {
        const hidden = find(".script").classList.toggle("folded");
        button.textContent = hidden ? "Text" : "Hide";
        button.setAttribute("aria-expanded", String(!hidden));
      },
      projector: (button) => toggle(button, document.documentElement.classList.toggle("projecting")),
    };
    this.press();
    this.cut();
    addEventListener("keydown", (event) => this.key(event));
    addEventListener("beforeunload", (event) => {
      if (sheet.dirty) event.preventDefault();
    });
  }

  press() {
    for (const [name, act] of Object.entries(this.acts)) {
      for (const button of document.querySelectorAll(`[data-press=${name}]`)) {
        if (!button.closest("#opening")) button.addEventListener("click", () => act(button));
      }
    }
  }

  cut() {
    const { sheet, stage } = this;
    stage.onCut = (at) => sheet.edit({ do: "slit", at });
    find("#stage").addEventListener("click", (event) => {
      if (stage.cutting) stage.onCut(stage.view.toSection(event.offsetX, event.offsetY));
    });
  }

  key(event) {
    if (!(event.ctrlKey || event.metaKey) || !this.sheet.open || find("dialog[open]")) return;
    const { shiftKey, target } = event;
    const act = {
      z: shiftKey ? "redo" : "undo",
      y: "redo",
      s: "save",
      p: shiftKey ? "projector" : null,
    }[event.key.toLowerCase()];
    // A field that is being typed in has its own undo; the file's text has the sheet's.
    const other = target.matches?.("input") && act !== "save" && act !== "projector";
    if (!act || other) return;
    event.preventDefault();
    this.acts[act](find(`[data-press=${act}]`));
  }
}
