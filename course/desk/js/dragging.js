// @ts-check
/** Dragging a lead on the drawing. */

/**
 * Takes a lead to another point; a short press is a click.
 * @param {import('./surface.js').Surface} surface
 * @param {PointerEvent} e
 */
export function drag(surface, e) {
  const dom = /** @type {Element} */ (e.target).closest('.hs-lead');
  if (!dom || surface.app.plant().blocked) return;
  const kind = /** @type {any} */ (dom).dataset.lead,
    x = e.clientX,
    y = e.clientY;
  const scale = /** @type {SVGSVGElement} */ (surface.svg).getScreenCTM()?.a ?? 1;
  let moved = false;
  const move = (/** @type {PointerEvent} */ m) => {
    moved ||= Math.hypot(m.clientX - x, m.clientY - y) > 6;
    if (moved) dom.setAttribute('transform', `translate(${(m.clientX - x) / scale} ${(m.clientY - y) / scale})`);
  };
  const drop = (/** @type {PointerEvent} */ m) => {
    window.removeEventListener('pointermove', move);
    window.removeEventListener('pointerup', drop);
    surface.dragged = moved;
    setTimeout(() => {
      surface.dragged = false;
    }, 0);
    dom.removeAttribute('transform');
    const to = surface.nearest(m, moved ? 40 : 12); // a point that a lead lies over can still be pressed
    if (to) {
      if (moved) surface.mark(kind);
      surface.app.touchPoint(surface.point(/** @type {any} */ (to).dataset.point));
    } else if (!moved) surface.mark(kind);
  };
  window.addEventListener('pointermove', move);
  window.addEventListener('pointerup', drop);
  e.preventDefault();
}
