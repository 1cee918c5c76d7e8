// What every drawing on a canvas needs: its pixels, and to be drawn once a frame.

// A function that draws before the next picture of the screen, however often it is called till then.
export function onceAFrame(draw) {
  let waiting = false;
  return () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      draw();
    });
  };
}

// Canvases with `ratio` pixels in each of width and height as the page lays them out.
export function giveSize(canvases, width, height, ratio) {
  for (const canvas of canvases) {
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(height * ratio);
  }
}
