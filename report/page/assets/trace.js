// A path that remembers its steps, so that a file can have the same lines as the screen: "M" x y, "L" x y,
// "C" and three places, "Z".

export class Trace extends Path2D {
  steps = [];

  moveTo(x, y) {
    super.moveTo(x, y);
    this.steps.push("M", x, y);
  }

  lineTo(x, y) {
    super.lineTo(x, y);
    this.steps.push(this.steps.length ? "L" : "M", x, y);
  }

  closePath() {
    super.closePath();
    this.steps.push("Z");
  }

  // In quarters at most, each a cubic: 4/3 tan(quarter of the angle) is how far its handles reach.
  arc(x, y, radius, from, to) {
    super.arc(x, y, radius, from, to);
    const count = Math.max(1, Math.ceil(Math.abs(to - from) / (Math.PI / 2) - 1e-9));
    const step = (to - from) / count;
    const reach = (4 / 3) * Math.tan(step / 4) * radius;
    const at = (angle, along) => [
      x + radius * Math.cos(angle) - along * Math.sin(angle),
      y + radius * Math.sin(angle) + along * Math.cos(angle),
    ];
    this.steps.push(this.steps.length && this.steps.at(-1) !== "Z" ? "L" : "M", ...at(from, 0));
    for (let k = 0; k < count; k += 1) {
      const [a, b] = [from + k * step, from + (k + 1) * step];
      this.steps.push("C", ...at(a, reach), ...at(b, -reach), ...at(b, 0));
    }
  }
}
