// Another sheet takes the place of the one on the desk: what is not saved is asked for. What was
// tried on a lesson's sheet, which is `lent`, is not missed.

import { find } from "./elements.js";

export class Leaving {
  constructor(sheet) {
    Object.assign(this, { sheet, lent: false });
  }

  // Acts at once, or when the hand has agreed.
  leave(act) {
    const { sheet } = this;
    const now = () => {
      this.lent = false;
      act();
    };
    if (!sheet.open || !sheet.dirty || this.lent) {
      now();
      return;
    }
    const dialog = find("#leaving");
    find(".words", dialog).textContent = `“${sheet.name || "new sheet"}” has changes that are in no file yet.`;
    dialog.returnValue = "stay";
    dialog.onclose = () => {
      if (dialog.returnValue === "leave") now();
    };
    dialog.showModal();
  }
}
