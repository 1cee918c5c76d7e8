// Words that need no answer: they go by themselves, but for what must stay.

import { find } from "./elements.js";

// How long they are shown, milliseconds.
const SHOWN = 8000;

export class Notice {
  constructor() {
    this.box = find("#notice");
  }

  say(words, stay = false) {
    find("span", this.box).textContent = words;
    this.box.hidden = false;
    clearTimeout(this.hushing);
    if (!stay) {
      this.hushing = setTimeout(() => {
        this.box.hidden = true;
      }, SHOWN);
    }
  }
}
