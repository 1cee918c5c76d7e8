// Sliders and number fields of the actions: each pair shows one value, and either sets it.

import { noNumber, number, numberField, typed } from "./numbers.js";

// A slider has so many steps to each side of zero.
const STEPS = 100;

export class Controls {
  constructor(root, data, onChange) {
    this.data = data;
    this.values = [...data.opening];
    this.onChange = onChange;
    this.rows = [...root.querySelectorAll("[data-action]")].map((row) => ({
      k: Number(row.dataset.action),
      field: row.querySelector("input[type=text]"),
      note: row.querySelector(".wrong"),
      slider: row.querySelector("input[type=range]"),
    }));
    for (const row of this.rows) {
      const { k, field, slider, note } = row;
      const { range } = data.actions[k];
      Object.assign(slider, { min: -range, max: range, step: range / STEPS });
      slider.addEventListener("input", () => this.set(k, Number(slider.value), slider));
      row.clear = numberField(
        field,
        note,
        (text) => typed(text) ?? noNumber(text),
        (value) => this.set(k, value, field),
        () => shown(this.values[k]),
      );
    }
    this.refresh(null);
  }

  set(k, value, source) {
    this.values[k] = value;
    this.refresh(source);
    this.onChange(this.values);
  }

  setAll(values) {
    this.values = [...values];
    this.refresh(null);
    this.onChange(this.values);
  }

  // What the reader is typing in is left alone.
  refresh(source) {
    for (const { k, field, slider, clear } of this.rows) {
      const value = this.values[k];
      if (field !== source) {
        field.value = shown(value);
        clear?.();
      }
      if (slider !== source) slider.value = value;
      slider.setAttribute("aria-valuetext", `${number(value)} ${this.data.actions[k].unit}`.trim());
    }
  }
}

function shown(value) {
  return String(Number(value.toPrecision(6)));
}
