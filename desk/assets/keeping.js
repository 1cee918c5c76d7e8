// Keeping the work: saving with care for what changed on disk meanwhile, and taking pictures along.

import { el, find } from "./elements.js";
import { copied } from "./screen_copy.js";

const KINDS = {
  svg: "image/svg+xml",
  png: "image/png",
  pdf: "application/pdf",
  html: "text/html",
};

const WAYS = { push: "push", beside: "side by side", member: "member" };

export class Keeping {
  constructor(sheet, link, say) {
    Object.assign(this, { sheet, link, say });
    this.conflict = find("#conflict");
    this.conflict.addEventListener("close", () => this.decided(this.conflict.returnValue));
    this.naming = find("#naming");
    this.naming.addEventListener("close", () => {
      const name = find("#new-name").value.trim();
      if (this.naming.returnValue === "save" && name) this.save({ path: name });
    });
    for (const button of document.querySelectorAll("[data-export]")) {
      button.addEventListener("click", () => {
        button.closest("details").open = false;
        sheet.flush();
        link.send({ do: "export", what: button.dataset.export, turn: sheet.turn, ...this.seen(button.dataset.export) });
        say(`Making the ${button.textContent.toLowerCase()} …`);
      });
    }
  }

  save(given = {}) {
    this.sheet.flush();
    if (!this.sheet.path && !given.path) {
      this.naming.returnValue = "cancel";
      this.naming.showModal();
      find("#new-name").select();
      return;
    }
    this.link.send({ do: "save", overwrite: false, ...given, turn: this.sheet.turn });
  }

  // The file on disk is not the one that was opened.
  ask(message) {
    this.theirs = message;
    find(".words", this.conflict).textContent = message.words;
    this.conflict.returnValue = "keep";
    if (!this.conflict.open) this.conflict.showModal();
  }

  decided(answer) {
    if (answer === "overwrite") this.save({ overwrite: true, path: this.theirs.path });
    else if (answer === "theirs") {
      if (this.theirs.text === undefined) {
        this.sheet.ask({ do: "open", path: this.sheet.path });
        return;
      }
      this.sheet.takeTheirs(this.theirs.text);
    }
  }

  // What a picture is made of: the way to work that is on the screen.
  seen(what) {
    if (what === "report") return {};
    const way = find(".way:not([hidden])");
    const sheet = way.id === "beside" ? "" : this.sheet.name;
    const called = [sheet, WAYS[way.id]].filter(Boolean).join(", ");
    return { called, copy: JSON.stringify(copied(way, called)) };
  }

  // A file that the server made goes the way of every download.
  exported({ name, data }) {
    const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
    const type = KINDS[name.split(".").at(-1)] ?? "application/octet-stream";
    const address = URL.createObjectURL(new Blob([bytes], { type }));
    el("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    this.say(`${name} is with your downloads.`);
  }
}
