// Sliders and number fields of the actions: each pair shows one value, and either sets it.

import { number } from "./numbers.js";

// A slider has so many steps to each side of zero.
const STEPS = 100;

export class Controls {
  constructor(root, data, onChange) {
    this.data = data;
    this.values = [...data.opening];
    this.onChange = onChange;
    this.rows = [...root.querySelectorAll("[data-action]")].map((row) => ({
      k: Number(row.dataset.action),
      field: row.querySelector("input[type=number]"),
      slider: row.querySelector("input[type=range]"),
    }));
    for (const { k, field, slider } of this.rows) {
      const { range } = data.actions[k];
      Object.assign(slider, { min: -range, max: range, step: range / STEPS });
      slider.addEventListener("input", () => this.set(k, Number(slider.value), slider));
      field.addEventListener("input", () => {
        const value = field.value.trim() === "" ? 0 : Number(field.value);
        field.setCustomValidity(Number.isFinite(value) ? "" : "Give a number.");
        if (Number.isFinite(value)) this.set(k, value, field);
      });
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
    for (const { k, field, slider } of this.rows) {
      const value = this.values[k];
      if (field !== source) field.value = String(Number(value.toPrecision(6)));
      if (slider !== source) slider.value = value;
      slider.setAttribute("aria-valuetext", `${number(value)} ${this.data.actions[k].unit}`.trim());
    }
  }
}
