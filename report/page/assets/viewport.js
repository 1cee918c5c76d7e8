// Which part of the section's plane a canvas shows: y up there, down on the screen.

const MOST_ZOOM = 400;

export class Viewport {
  constructor(bounds, margin) {
    [this.x0, this.y0, this.x1, this.y1] = bounds;
    this.margin = margin;
    this.resize(1, 1);
    this.fit();
  }

  resize(width, height) {
    this.width = width;
    this.height = height;
  }

  fit() {
    this.zoom = 1;
    this.cx = (this.x0 + this.x1) / 2;
    this.cy = (this.y0 + this.y1) / 2;
  }

  // Pixels per length.
  get scale() {
    const room = (size) => Math.max(size - 2 * this.margin, 10);
    const whole = Math.min(
      room(this.width) / (this.x1 - this.x0),
      room(this.height) / (this.y1 - this.y0),
    );
    return whole * this.zoom;
  }

  toScreen(x, y) {
    return [
      this.width / 2 + (x - this.cx) * this.scale,
      this.height / 2 - (y - this.cy) * this.scale,
    ];
  }

  toSection(px, py) {
    return [
      this.cx + (px - this.width / 2) / this.scale,
      this.cy - (py - this.height / 2) / this.scale,
    ];
  }

  // Zoom so that the place under (px, py) stays there.
  zoomBy(factor, px = this.width / 2, py = this.height / 2) {
    const [x, y] = this.toSection(px, py);
    this.zoom = Math.min(Math.max(this.zoom * factor, 1), MOST_ZOOM);
    const [nowX, nowY] = this.toSection(px, py);
    this.cx += x - nowX;
    this.cy += y - nowY;
    this.keepInside();
  }

  panBy(dx, dy) {
    this.cx -= dx / this.scale;
    this.cy += dy / this.scale;
    this.keepInside();
  }

  lookAt(x, y, zoom) {
    this.zoom = Math.min(Math.max(zoom, 1), MOST_ZOOM);
    [this.cx, this.cy] = [x, y];
    this.keepInside();
  }

  // Some of the section always stays in sight.
  keepInside() {
    const clamp = (value, low, high, middle) =>
      this.zoom === 1 ? middle : Math.min(Math.max(value, low), high);
    this.cx = clamp(this.cx, this.x0, this.x1, (this.x0 + this.x1) / 2);
    this.cy = clamp(this.cy, this.y0, this.y1, (this.y0 + this.y1) / 2);
  }
}
