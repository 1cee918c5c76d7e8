// How far the numbers on the screen are those of the sheet, marked beside them and read aloud when
// they rest; and what the torsion constant was before the last edit.

import { find } from "./elements.js";
import { changeText, spoken } from "./readings.js";

// How long numbers rest before they are read aloud, milliseconds.
const REST = 700;

export class Condition {
  constructor(sheet, readings) {
    Object.assign(this, { sheet, readings, online: false });
    this.forget();
  }

  forget() {
    Object.assign(this, { before: null, now: null, settledTurn: -1 });
  }

  // "none", "lost", "refused", "stale", "coarse" or "full".
  get state() {
    const { sheet } = this;
    if (!sheet.result) return "none";
    if (!this.online) return "lost";
    if (sheet.stale) return sheet.refusal ? "refused" : "stale";
    return sheet.result.stage === "full" ? "full" : "coarse";
  }

  mark() {
    const { state } = this;
    this.readings.state(state, state === "full" ? this.change() : "");
    document.documentElement.dataset.state = state;
    clearTimeout(this.speaking);
    if (state === "full") this.speaking = setTimeout(() => this.speak(), REST);
    return state;
  }

  // The torsion constant against that of the state before, kept until the next edit has settled.
  change() {
    const { sheet } = this;
    const now = sheet.result.values?.find((v) => v.symbol === "J");
    if (this.settledTurn !== sheet.turn) {
      this.before = this.now;
      this.now = now;
      this.settledTurn = sheet.turn;
    }
    return changeText(now, this.before);
  }

  speak() {
    if (this.sheet.settled && this.sheet.result.values) {
      const change = changeText(this.now, this.before).slice(2);
      find("#said").textContent = [spoken(this.sheet.result.values), change].filter(Boolean).join("; ");
    }
  }
}
