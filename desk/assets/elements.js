// Elements of the page made in one expression.

const SVG = "http://www.w3.org/2000/svg";

// `given`: attributes; functions become listeners, true and false set or leave out an attribute.
export function el(name, given = {}, ...children) {
  return filled(document.createElement(name), given, children);
}

export function svg(name, given = {}, ...children) {
  return filled(document.createElementNS(SVG, name), given, children);
}

function filled(node, given, children) {
  for (const [key, value] of Object.entries(given)) {
    if (typeof value === "function") node.addEventListener(key, value);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value);
  }
  node.append(...children.filter((c) => c !== null && c !== undefined));
  return node;
}

export function find(selector, root = document) {
  return root.querySelector(selector);
}
