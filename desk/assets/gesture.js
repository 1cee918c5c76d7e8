// What a hand does with a thing on the page, by mouse, pen or finger: it drags it or taps it.

const STILL = 3;

// `begin()` may return false to leave the pointer alone; `move(dx, dy, event)` gets the way from the
// beginning; `end(moved)` closes it.
export function draggable(node, { begin, move, end }) {
  let held = null;
  node.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || held !== null) return;
    if (begin?.(event) === false) return;
    held = { id: event.pointerId, x: event.clientX, y: event.clientY, moved: false };
    node.setPointerCapture(event.pointerId);
    event.stopPropagation();
  });
  node.addEventListener("pointermove", (event) => {
    if (held?.id !== event.pointerId) return;
    // In the node's own pixels: the projector shows drawings enlarged.
    const zoom = node.currentCSSZoom ?? 1;
    const [dx, dy] = [(event.clientX - held.x) / zoom, (event.clientY - held.y) / zoom];
    held.moved ||= Math.hypot(dx, dy) > STILL;
    if (held.moved) move(dx, dy, event);
  });
  const stop = (event) => {
    if (held?.id !== event.pointerId) return;
    const { moved } = held;
    held = null;
    end?.(moved, event);
  };
  node.addEventListener("pointerup", stop);
  node.addEventListener("pointercancel", stop);
  // After either, or alone when the node is taken away under the hand.
  node.addEventListener("lostpointercapture", stop);
}

const ARROWS = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

// The way an arrow key points (y up), ten times as far with Shift; null for any other key.
export function arrow(event) {
  const way = ARROWS[event.key];
  if (!way || event.ctrlKey || event.metaKey || event.altKey) return null;
  return way.map((c) => c * (event.shiftKey ? 10 : 1));
}
