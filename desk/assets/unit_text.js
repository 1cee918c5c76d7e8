// Units with raised powers and a middle dot: mm^4 as mm⁴, kN*m as kN·m.

const RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹";

export function unitText(unit) {
  return (unit ?? "")
    .replace(/\^(-?)(\d)/g, (_, minus, digit) => (minus ? "⁻" : "") + RAISED[Number(digit)])
    .replaceAll("*", "·");
}
