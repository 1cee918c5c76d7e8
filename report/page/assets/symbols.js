// Symbols such as τ_zx as they are printed: a slanted letter with its index lowered.

export function symbolNodes(text) {
  const [base, index] = text.split("_");
  const letter = document.createElement("i");
  letter.textContent = base;
  if (!index) return [letter];
  const lowered = document.createElement("sub");
  lowered.textContent = index;
  return [letter, lowered];
}
