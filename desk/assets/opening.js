// What can be laid on the desk: files of the folder, examples, rolled shapes, a drawing that is
// dropped, an empty sheet.

import { el, find } from "./elements.js";

const MOST_SHAPES = 40;
// Examples of joints and studies are for other commands.
const OPENED = ["section", "member"];
// Drawings above this are refused by the server: say so before they are sent.
const MOST_BYTES = 8 * 1024 * 1024;

export class Opening {
  // `ask(message)` opens; `say(words)` tells of what cannot be opened; `leave(act)` acts where the sheet
  // that lies here may go.
  constructor(root, ask, say, leave) {
    Object.assign(this, { root, ask, say, leave, data: { files: [], examples: [], shapes: [] } });
    this.search = find("#search", root);
    this.search.addEventListener("input", () => this.list());
    find("[data-press=new]", root).addEventListener("click", () => this.open({ do: "new" }));
    const chosen = find("#chosen-file", root);
    chosen.addEventListener("change", () => {
      if (chosen.files[0]) this.drop(chosen.files[0]);
      chosen.value = "";
    });
    document.addEventListener("dragover", (event) => {
      event.preventDefault();
      document.body.classList.add("dropping");
    });
    for (const name of ["dragleave", "drop"]) {
      document.addEventListener(name, () => document.body.classList.remove("dropping"));
    }
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const [file] = event.dataTransfer?.files ?? [];
      if (file) this.drop(file);
    });
  }

  open(message) {
    this.leave(() => this.ask(message));
  }

  fill(data) {
    this.data = data;
    find("#folder-name", this.root).textContent = data.folder ?? "";
    this.list();
  }

  list() {
    const words = this.search.value.trim().toLowerCase();
    const meant = (text) => words.split(/\s+/).every((w) => text.toLowerCase().includes(w));
    const { files = [], examples = [], shapes = [] } = this.data;
    const groups = {
      files: files
        .map((file) => (typeof file === "string" ? { path: file } : file))
        .filter((f) => meant(`${f.path} ${f.words ?? ""}`))
        .map((f) => entry(f.path, f.words ?? "", () => this.open({ do: "open", path: f.path }), f.what)),
      examples: examples
        .filter((e) => OPENED.includes(e.kind ?? "section") && meant(`${e.name} ${e.words}`))
        .map((e) => entry(e.name, e.words, () => this.open({ do: "open", example: e.name }), e.kind)),
      shapes: words
        ? shapes
            .filter(meant)
            .slice(0, MOST_SHAPES)
            .map((s) => entry(s, "", () => this.open({ do: "open", designation: s })))
        : [],
    };
    for (const [name, nodes] of Object.entries(groups)) {
      const group = find(`[data-group=${name}]`, this.root);
      find("ul", group).replaceChildren(...nodes);
      const note = find(".none", group);
      note.hidden = nodes.length > 0;
      if (name === "shapes") {
        note.textContent = words
          ? "No rolled shape of this name."
          : `${shapes.length} rolled shapes: type a part of a name above, such as W310 or IPE 300.`;
      }
    }
  }

  async drop(file) {
    if (file.size > MOST_BYTES) {
      this.say(`${file.name} has ${Math.round(file.size / 1e6)} MB: drawings up to 8 MB are taken.`);
      return;
    }
    const bytes = new Uint8Array(await file.arrayBuffer());
    let text = "";
    for (let k = 0; k < bytes.length; k += 0x8000) {
      text += String.fromCharCode(...bytes.subarray(k, k + 0x8000));
    }
    this.dropped = { do: "drop", name: file.name, data: btoa(text) };
    this.open(this.dropped);
  }

  // The drawing says nothing of its unit: it is asked for, never guessed.
  askUnit(words) {
    const dialog = find("#units");
    find(".words", dialog).textContent = words;
    dialog.returnValue = "";
    dialog.onclose = () => {
      if (dialog.returnValue) this.ask({ ...this.dropped, unit: dialog.returnValue });
    };
    dialog.showModal();
  }
}

function entry(name, words, act, kind = "") {
  const short = words.replace(/^(Member|Study): /, "");
  return el(
    "li",
    {},
    el(
      "button",
      { type: "button", class: "entry-button", "data-name": name, click: act },
      el("span", { class: "entry-name" }, name),
      kind && kind !== "section" ? el("span", { class: "kind" }, kind) : null,
      short ? el("span", { class: "entry-words" }, short) : null,
    ),
  );
}
