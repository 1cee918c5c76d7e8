// A section turned by the twist that a torque gives it, at the scale of those beside it.

import { coordinates } from "./decode.js";
import { svg } from "./elements.js";
import { number } from "./numbers.js";

// The outline at rest and turned by its share of the widest twist.
export function twistDial(pane, degrees) {
  const runs = pane.data.outline.map(coordinates);
  const [x0, y0, x1, y1] = pane.data.bounds;
  const reach = 0.56 * Math.hypot(x1 - x0, y1 - y0);
  const [cx, cy] = [(x0 + x1) / 2, (y0 + y1) / 2];
  const d = runs
    .map((r) => `M${Array.from(r.x, (x, k) => `${(x - cx).toPrecision(5)} ${(cy - r.y[k]).toPrecision(5)}`).join("L")}Z`)
    .join("");
  return svg(
    "svg",
    { class: "dial", viewBox: `${-reach} ${-reach} ${2 * reach} ${2 * reach}`, role: "img", "aria-label": `turned by ${number(degrees, 3)} degrees on the common scale` },
    svg("path", { class: "rest", d, "fill-rule": "evenodd" }),
    svg("path", { class: "turned", d, "fill-rule": "evenodd", transform: `rotate(${(-degrees).toFixed(3)})` }),
    // A round section shows its turn by a spoke.
    svg("path", { class: "rest", d: `M0 0V${-0.9 * reach}` }),
    svg("path", { class: "spoke", d: `M0 0V${-0.9 * reach}`, transform: `rotate(${(-degrees).toFixed(3)})` }),
  );
}
