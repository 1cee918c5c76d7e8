// What stands over the contours: outline, centre points, refused corners, shear arrows, extremes.

import { number } from "./numbers.js";
import { Trace } from "./trace.js";

const ARROWS_APART = 30;
const FAINT = 0.08;

export function outlinePath(runs, view) {
  const path = new Trace();
  for (const run of runs) {
    for (let k = 0; k < run.x.length; k += 1) {
      const [px, py] = view.toScreen(run.x[k], run.y[k]);
      if (k === 0) path.moveTo(px, py);
      else path.lineTo(px, py);
    }
    path.closePath();
  }
  return path;
}

export function drawSlits(context, slits, view, colours) {
  context.save();
  context.strokeStyle = colours.accent;
  context.setLineDash([5, 3]);
  context.lineWidth = 1.5;
  for (const run of slits) {
    context.beginPath();
    run.x.forEach((x, k) => context.lineTo(...view.toScreen(x, run.y[k])));
    context.stroke();
  }
  context.restore();
}

// Hatched discs over the surroundings of sharp corners, where the shear has no bound.
export function drawRefusals(context, corners, view, colours) {
  for (const corner of corners) {
    const [px, py] = view.toScreen(...corner.at);
    const radius = Math.max(corner.radius * view.scale, 3.5);
    const disc = new Trace();
    disc.arc(px, py, radius, 0, 2 * Math.PI);
    context.save();
    context.fillStyle = colours.paper;
    context.fill(disc);
    context.strokeStyle = colours.accent;
    context.lineWidth = 1;
    context.stroke(disc);
    context.clip(disc);
    context.beginPath();
    for (let s = -2 * radius; s < 2 * radius; s += 5) {
      context.moveTo(px + s - radius, py + radius);
      context.lineTo(px + s + radius, py - radius);
    }
    context.stroke();
    context.restore();
  }
}

// The centroid is a cross in a circle, the shear centre a hollow diamond; parts in contact alone have
// none.
export function drawCentres(context, centroid, shearCentre, view, colours) {
  context.save();
  context.lineWidth = 1.2;
  context.strokeStyle = colours.ink;
  halo(context, colours, () => {
    const [px, py] = view.toScreen(...centroid);
    context.beginPath();
    context.arc(px, py, 5, 0, 2 * Math.PI);
    context.moveTo(px - 5, py);
    context.lineTo(px + 5, py);
    context.moveTo(px, py - 5);
    context.lineTo(px, py + 5);
    context.stroke();
  });
  context.strokeStyle = colours.accent;
  context.lineWidth = 1.6;
  if (shearCentre) halo(context, colours, () => {
    const [px, py] = view.toScreen(...shearCentre);
    context.beginPath();
    context.moveTo(px, py - 6.5);
    context.lineTo(px + 6.5, py);
    context.lineTo(px, py + 6.5);
    context.lineTo(px - 6.5, py);
    context.closePath();
    context.stroke();
  });
  context.restore();
}

// A wider stroke of the paper's colour below keeps marks readable on any contour.
function halo(context, colours, draw) {
  const { strokeStyle, lineWidth } = context;
  context.strokeStyle = colours.paper;
  context.lineWidth = lineWidth + 2.4;
  draw();
  context.strokeStyle = strokeStyle;
  context.lineWidth = lineWidth;
  draw();
}

// Arrows along the shear at evenly spread samples.
export function drawArrows(context, fields, view, colours) {
  const seats = new Map();
  const size = fields.tauX.map((t, k) => Math.hypot(t, fields.tauY[k]));
  const strong = FAINT * size.reduce((top, v, k) => (fields.refused[k] ? top : Math.max(top, v)), 0);
  if (!(strong > 0)) return;
  for (let k = 0; k < fields.count; k += 1) {
    if (size[k] < strong || fields.refused[k]) continue;
    const [px, py] = view.toScreen(fields.x[k], fields.y[k]);
    if (px < 0 || py < 0 || px > view.width || py > view.height) continue;
    const [column, row] = [Math.floor(px / ARROWS_APART), Math.floor(py / ARROWS_APART)];
    const off = Math.hypot(px / ARROWS_APART - column - 0.5, py / ARROWS_APART - row - 0.5);
    const cell = `${column} ${row}`;
    if (!seats.has(cell) || off < seats.get(cell).off) seats.set(cell, { off, k, px, py });
  }
  context.save();
  context.lineWidth = 1.1;
  context.strokeStyle = colours.ink;
  for (const { k, px, py } of seats.values()) {
    const [ux, uy] = [fields.tauX[k] / size[k], -fields.tauY[k] / size[k]];
    const [tipX, tipY] = [px + 6 * ux, py + 6 * uy];
    halo(context, colours, () => {
      context.beginPath();
      context.moveTo(px - 6 * ux, py - 6 * uy);
      context.lineTo(tipX, tipY);
      context.moveTo(tipX - 4 * ux + 2.6 * uy, tipY - 4 * uy - 2.6 * ux);
      context.lineTo(tipX, tipY);
      context.lineTo(tipX - 4 * ux - 2.6 * uy, tipY - 4 * uy + 2.6 * ux);
      context.stroke();
    });
  }
  context.restore();
}

// A ring around an extreme and its value beside it, on the side where there is room.
export function drawExtreme(context, extreme, unit, view, colours, taken) {
  if (!extreme.at) return;
  const [px, py] = view.toScreen(...extreme.at);
  if (px < 0 || py < 0 || px > view.width || py > view.height) return;
  context.save();
  context.strokeStyle = colours.accent;
  context.lineWidth = 1.8;
  halo(context, colours, () => {
    context.beginPath();
    context.arc(px, py, 6, 0, 2 * Math.PI);
    context.stroke();
  });
  const text = `${number(extreme.value)} ${unit}`.trim();
  context.font = `600 12px ${getComputedStyle(context.canvas).fontFamily}`;
  const width = context.measureText(text).width + 10;
  const box = place(px, py, width, 20, view, taken);
  taken.push(box);
  context.fillStyle = colours.paper;
  context.globalAlpha = 0.9;
  context.beginPath();
  context.roundRect(box.x, box.y, box.w, box.h, 3);
  context.fill();
  context.globalAlpha = 1;
  context.fillStyle = colours.ink;
  context.textBaseline = "middle";
  context.fillText(text, box.x + 5, box.y + box.h / 2 + 0.5);
  context.restore();
}

function place(px, py, w, h, view, taken) {
  const inward = [px < view.width / 2 ? 1 : -1, py < view.height / 2 ? 1 : -1];
  const tries = [inward, [inward[0], -inward[1]], [-inward[0], inward[1]], [-inward[0], -inward[1]]];
  const boxes = tries.map(([sx, sy]) => ({
    x: Math.min(Math.max(sx > 0 ? px + 11 : px - 11 - w, 2), view.width - w - 2),
    y: Math.min(Math.max(sy > 0 ? py + 7 : py - 7 - h, 2), view.height - h - 2),
    w,
    h,
  }));
  const free = (a) =>
    taken.every((b) => a.x + a.w < b.x || b.x + b.w < a.x || a.y + a.h < b.y || b.y + b.h < a.y);
  return boxes.find(free) ?? boxes[0];
}

// The cross hair of the place that is read.
export function drawProbe(context, probe, view, colours) {
  const [px, py] = view.toScreen(...probe);
  context.save();
  context.strokeStyle = colours.ink;
  context.lineWidth = 1.2;
  halo(context, colours, () => {
    context.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      context.moveTo(px + 3 * dx, py + 3 * dy);
      context.lineTo(px + 10 * dx, py + 10 * dy);
    }
    context.stroke();
  });
  context.restore();
}

// A length in the corner, since zooming changes the scale.
export function drawScaleBar(context, view, unit, colours) {
  const target = 90 / view.scale;
  const power = 10 ** Math.floor(Math.log10(target));
  const length = [5, 2, 1].map((s) => s * power).find((l) => l <= target);
  const [x, y, w] = [12, view.height - 10, length * view.scale];
  context.save();
  context.strokeStyle = colours.faint;
  context.fillStyle = colours.faint;
  context.lineWidth = 1.2;
  context.beginPath();
  context.moveTo(x, y - 4);
  context.lineTo(x, y);
  context.lineTo(x + w, y);
  context.lineTo(x + w, y - 4);
  context.stroke();
  context.font = `11px ${getComputedStyle(context.canvas).fontFamily}`;
  context.textBaseline = "bottom";
  context.fillText(`${number(length)} ${unit}`.trim(), x + 4, y - 3);
  context.restore();
}
