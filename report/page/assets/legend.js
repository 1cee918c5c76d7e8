// The colour bar of the contours, with its numbers.

import { banded, css } from "./colours.js";
import { number } from "./numbers.js";

const TICKS = 5;

export function drawLegend(root, table, span, title, open) {
  const canvas = root.querySelector("canvas");
  const context = canvas.getContext("2d");
  const colours = banded(table);
  for (let k = 0; k < 256; k += 1) {
    context.fillStyle = css(colours[k]);
    context.fillRect((k / 256) * canvas.width, 0, canvas.width / 256 + 1, canvas.height);
  }
  const [low, high] = span;
  const labels = Array.from({ length: TICKS }, (_, k) => low + ((high - low) * k) / (TICKS - 1));
  root.querySelector(".legend-title").textContent = title;
  root.querySelector(".legend-ticks").replaceChildren(
    ...labels.map((value, k) => {
      const tick = document.createElement("span");
      const last = open && k === TICKS - 1 ? "≥ " : "";
      tick.textContent = last + number(Math.abs(value) < 1e-9 * (high - low) ? 0 : value, 3);
      return tick;
    }),
  );
}
