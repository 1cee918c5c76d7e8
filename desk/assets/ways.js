// The ways to work: one is on the screen at a time.

export class Ways {
  constructor(changed) {
    this.changed = changed;
    this.way = "opening";
    this.buttons = [...document.querySelectorAll("button[data-way]")];
    for (const button of this.buttons) {
      button.addEventListener("click", () => this.go(button.dataset.way));
    }
  }

  go(way) {
    this.way = way;
    document.body.dataset.way = way;
    for (const part of document.querySelectorAll(".way")) part.hidden = part.dataset.for !== way;
    for (const b of this.buttons) b.setAttribute("aria-pressed", String(b.dataset.way === way));
    this.changed(way);
  }
}
