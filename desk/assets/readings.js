// What was found of the sheet, in numbers: each with its interval, and a mark while it belongs to an
// earlier state of the drawing.

import { el } from "./elements.js";
import { number } from "./numbers.js";
import { symbolNodes } from "./symbols.js";
import { unitText } from "./unit_text.js";

const STATES = {
  none: "nothing solved yet",
  stale: "older than the drawing: being solved again",
  refused: "older than the drawing: the last change was refused",
  lost: "older than the drawing: the server does not answer",
  coarse: "coarse: true within the intervals, being refined",
  full: "at full accuracy",
};
// The first of them are never hidden.
const FIRST = 4;
// Bounds as close as this (a share of the value) are not told apart.
const KNOWN = 1e-9;

export class Readings {
  constructor(root, { list, mark }) {
    Object.assign(this, { root, list, mark, rows: new Map() });
  }

  show(values) {
    const kept = new Map();
    for (const [k, value] of values.entries()) {
      const key = `${value.symbol} ${value.words}`;
      const row = this.rows.get(key) ?? made(value);
      kept.set(key, row);
      row.node.classList.toggle("first", k < FIRST);
      fill(row, value);
    }
    const nodes = [...kept.values()].map((row) => row.node);
    const same = nodes.length === this.list.children.length && nodes.every((n, k) => n === this.list.children[k]);
    if (!same) this.list.replaceChildren(...nodes);
    this.rows = kept;
  }

  state(name, more = "") {
    const words = STATES[name] + more;
    if (this.root.dataset.state === name && this.mark.textContent === words) return;
    this.root.dataset.state = name;
    this.mark.textContent = words;
  }
}

function made(value) {
  const symbol = el("span", { class: "symbol" }, ...symbolNodes(value.symbol ?? ""));
  const amount = el("span", { class: "amount" });
  const unit = el("span", { class: "unit" });
  const interval = el("span", { class: "interval" });
  const node = el(
    "div",
    { class: "reading", title: value.words },
    el("dt", {}, symbol, " ", el("span", { class: "words" }, value.words)),
    el("dd", {}, amount, " ", unit, interval),
  );
  return { node, amount, unit, interval };
}

function fill({ node, amount, unit, interval }, value) {
  node.dataset.symbol = value.symbol ?? "";
  const known = Number.isFinite(value.value);
  node.classList.toggle("worded", !known && Boolean(value.refusal));
  if (!known) {
    put(amount, value.refusal ?? raised(value.text ?? "none"));
    put(unit, value.refusal ? "" : unitText(value.unit));
    put(interval, value.note ?? "");
    delete node.dataset.value;
    return;
  }
  node.dataset.value = value.value;
  put(amount, amountText(value));
  put(unit, unitText(value.unit));
  put(interval, intervalText(value));
}

// The same words again would be laid out again.
function put(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

const bounded = ({ lower, upper }) => Number.isFinite(lower) && Number.isFinite(upper);

// The value as the server words it; of an interval, the digits that both its ends share.
export function amountText(value) {
  if (!bounded(value)) return value.text ? raised(value.text) : number(value.value);
  const { lower, upper } = value;
  const share = Math.abs(upper - lower) / Math.max(Math.abs(lower), Math.abs(upper), 1e-300);
  const digits = share > 0 ? Math.floor(-Math.log10(share)) : 6;
  return number(value.value, Math.min(Math.max(digits, 2), 6));
}

// The server rounds both ends outward: its words are kept.
export function intervalText(value) {
  if (!bounded(value)) return "";
  if (value.lower === value.upper) return "exact";
  const share = (value.upper - value.lower) / Math.abs(value.upper);
  if (share < KNOWN) return "both bounds agree to nine digits";
  return value.text ? once(raised(value.text)) : `${number(value.lower, 7)} to ${number(value.upper, 7)}`;
}

// A power that both ends share is written once.
function once(text) {
  return text.replace(/^(\S+)( × \S+) to (\S+)\2$/, "$1 to $3$2");
}

// 3.18e6 as 3.18 × 10⁶.
export function raised(text) {
  return text.replace(/-(?=\d)/g, "−").replace(/e([+−-]?)(\d+)/g, (_, minus, power) => {
    const sign = minus === "−" || minus === "-" ? "⁻" : "";
    return ` × 10${sign}${power.replace(/\d/g, (d) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[d])}`;
  });
}

// How the torsion constant stands to the one before the last edit, where they differ to be told.
export function changeText(now, before) {
  if (!now?.value || !before?.value || now.unit !== before.unit) return "";
  const times = now.value / before.value;
  if (Math.abs(times - 1) < 1e-4) return "";
  return `: ${now.symbol} is ${timesText(times, times > 0.1 && times < 10 ? 4 : 3)} what it was`;
}

// How many times something, in words that go on with what it is measured by; a small part as the
// fraction that it is.
export function timesText(times, digits = 3) {
  return times > 0 && times < 0.1 ? `1/${number(1 / times, digits)} of` : `${number(times, digits)} times`;
}

// What a reader of the screen hears when the numbers have settled.
export function spoken(values) {
  return values
    .slice(0, FIRST)
    .filter((v) => !v.refusal)
    .map((v) => `${v.words} ${Number.isFinite(v.value) ? amountText(v) : (v.text ?? "")} ${unitText(v.unit)}`.trim())
    .join("; ");
}
