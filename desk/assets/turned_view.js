// A canvas on which something in three dimensions is turned by hand: by dragging, or by arrow keys.

import { fitted } from "./facets.js";
import { onceAFrame } from "./frames.js";
import { draggable } from "./gesture.js";
import { drawers } from "./pencil.js";

const STEEPEST = 1.3;
const MOVES = { ArrowLeft: [-0.09, 0], ArrowRight: [0.09, 0], ArrowUp: [0, -0.06], ArrowDown: [0, 0.06] };

export class TurnedView {
  request = onceAFrame(() => this.draw());

  // `most` pixels are drawn.
  constructor(canvas, { turn, tilt, most }) {
    Object.assign(this, { canvas, turn, tilt, most, factor: 1 });
    this.context = canvas.getContext("2d");
    drawers.set(canvas, this);
    this.picture = document.createElement("canvas");
    draggable(canvas, {
      begin: () => {
        this.start = [this.turn, this.tilt];
      },
      move: (dx, dy) => this.look(this.start[0] + 0.008 * dx, this.start[1] + 0.008 * dy),
    });
    canvas.addEventListener("keydown", (event) => {
      const move = MOVES[event.key];
      if (!move) return;
      event.preventDefault();
      this.look(this.turn + move[0], this.tilt + move[1]);
    });
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
  }

  look(turn, tilt) {
    this.turn = turn;
    this.tilt = Math.min(Math.max(tilt, -STEEPEST), STEEPEST);
    this.request();
  }

  resize() {
    const room = fitted(this.canvas, this.picture, this.most);
    if (!room) return;
    Object.assign(this, room);
    this.request();
  }

  // Across, up and away of a place x, y, z as it is turned and tilted.
  turned() {
    const [ct, st] = [Math.cos(this.turn), Math.sin(this.turn)];
    const [ce, se] = [Math.cos(this.tilt), Math.sin(this.tilt)];
    return (x, y, z) => {
      const across = x * ct - z * st;
      const toward = x * st + z * ct;
      return [across, y * ce - toward * se, y * se + toward * ce];
    };
  }

  // Screen and depth by a projection, so that all `places` are in view with `room` around them.
  framed(project, places, room = 0) {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const place of places) {
      const [px, py] = project(...place);
      box[0] = Math.min(box[0], px);
      box[1] = Math.min(box[1], py);
      box[2] = Math.max(box[2], px);
      box[3] = Math.max(box[3], py);
    }
    const { width, height } = this.target;
    const scale = 0.94 * Math.min(width / (box[2] - box[0] + 2 * room), height / (box[3] - box[1] + 2 * room));
    const [cx, cy] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    return (x, y, z) => {
      const [px, py, depth] = project(x, y, z);
      return [width / 2 + (px - cx) * scale, height / 2 - (py - cy) * scale, depth];
    };
  }
}
