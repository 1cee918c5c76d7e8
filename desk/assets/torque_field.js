// The torque whose stress is shown: it stays while the section changes under it.

import { find } from "./elements.js";
import { noNumber, numberField, typed } from "./numbers.js";
import { written } from "./rounding.js";
import { unitText } from "./unit_text.js";

// Place of the torque among the actions of a result, and digits that its field shows.
const TORQUE = 5;
const DIGITS = 4;

export class TorqueField {
  constructor(stage) {
    this.stage = stage;
    this.field = find("#torque");
    numberField(
      this.field,
      find("#torque-wrong"),
      (text) => typed(text) ?? noNumber(text),
      (value) => stage.setTorque(value),
      () => this.shown(),
    );
  }

  shown() {
    const { torque } = this.stage;
    return torque === null ? "" : written(Number(torque.toPrecision(DIGITS)));
  }

  refresh() {
    if (document.activeElement !== this.field) this.field.value = this.shown();
    find("#torque-unit").textContent = unitText(this.stage.data?.actions?.[TORQUE]?.unit);
  }
}
