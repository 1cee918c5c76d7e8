// The texts of a file, as far back as anyone wants to go: only what changed between two is kept.

export class History {
  constructor(text) {
    this.text = text;
    this.steps = [];
    this.at = 0;
    this.gesture = null;
  }

  // Edits of one gesture (a drag, a run of typing) are one step.
  take(text, gesture = null) {
    if (text === this.text) return;
    const going = gesture !== null && gesture === this.gesture && this.at === this.steps.length;
    const before = going && this.at > 0 ? backward(this.text, this.steps[this.at - 1]) : this.text;
    if (going && this.at > 0) this.at -= 1;
    this.steps.length = this.at;
    if (text !== before) {
      this.steps.push(difference(before, text));
      this.at += 1;
    }
    this.text = text;
    this.gesture = gesture;
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at < this.steps.length;
  }

  undo() {
    if (!this.canUndo) return null;
    this.at -= 1;
    this.gesture = null;
    this.text = backward(this.text, this.steps[this.at]);
    return this.text;
  }

  redo() {
    if (!this.canRedo) return null;
    this.gesture = null;
    this.text = forward(this.text, this.steps[this.at]);
    this.at += 1;
    return this.text;
  }
}

// What stands between the beginning and the end that two texts share.
export function difference(a, b) {
  const most = Math.min(a.length, b.length);
  let from = 0;
  while (from < most && a[from] === b[from]) from += 1;
  let same = 0;
  while (same < most - from && a[a.length - 1 - same] === b[b.length - 1 - same]) same += 1;
  return { from, out: a.slice(from, a.length - same), in: b.slice(from, b.length - same) };
}

function forward(text, step) {
  return text.slice(0, step.from) + step.in + text.slice(step.from + step.out.length);
}

function backward(text, step) {
  return text.slice(0, step.from) + step.out + text.slice(step.from + step.in.length);
}
