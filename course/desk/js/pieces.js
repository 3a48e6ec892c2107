// @ts-check
/** Pieces of a drawing: zones, shapes, tags, locks, leads, clamps and lifted wires as SVG. */
import { s } from './dom.js';

/** How far from its screw a clamp goes round a wire. */
const HUNG = 25;

/** Marks of the sheet's zones at its edges. @param {any} sheet */
export function zones(sheet) {
  const { cols = [], rows = [] } = sheet.zones ?? {};
  /** @type {SVGElement[]} */ const out = [];
  const step = sheet.width / Math.max(1, cols.length),
    rise = sheet.height / Math.max(1, rows.length);
  cols.forEach((/** @type {any} */ c, /** @type {number} */ i) => {
    out.push(s('text', { x: c.x ?? step * (i + 0.5), y: 12, 'text-anchor': 'middle' }, c.t ?? c));
    if (i) out.push(s('path', { d: `M${(c.from ?? step * i).toFixed(1)} 0v5` }));
  });
  rows.forEach((/** @type {any} */ r, /** @type {number} */ i) => {
    out.push(s('text', { x: 5, y: (r.y ?? rise * (i + 0.5)) + 4 }, r.t ?? r));
    if (i) out.push(s('path', { d: `M0 ${(r.from ?? rise * i).toFixed(1)}h5` }));
  });
  return out;
}

/** @param {any} x */
export function shape(x) {
  const cls = `hs-shape hs-shape-${x.kind ?? 'path'} hs-fill-${x.fill ?? 'none'}`;
  if (x.d) return s('path', { d: x.d, class: cls });
  if (x.r !== undefined && x.w === undefined && x.width === undefined) return s('circle', { cx: x.x, cy: x.y, r: x.r, class: cls });
  return s('rect', { x: x.x, y: x.y, width: x.w ?? x.width, height: x.h ?? x.height, rx: x.rx ?? 0, class: cls });
}

/** Wires of a drawing that end on a screw. @param {any} sheet @param {string} terminal */
export const wiresAt = (sheet, terminal) =>
  sheet.lines.filter((/** @type {any} */ l) => l.kind === 'wire' && [l.from, l.to, l.feeds, l.exit].includes(terminal));

/**
 * Spots on a wire by how far they are from a screw at its end.
 * @param {any} wire
 * @param {any} p
 * @returns {(away: number) => DOMPoint}
 */
function along(wire, p) {
  const way = /** @type {SVGPathElement} */ (s('path', { d: wire.d })),
    long = way.getTotalLength(),
    first = way.getPointAtLength(0);
  const near = Math.hypot(first.x - p.x, first.y - p.y) < 1;
  return (away) => {
    const d = Math.min(away, long / 2);
    return way.getPointAtLength(near ? d : long - d);
  };
}

/**
 * The end of a wire beside its screw: the wire blanked out there, and its bare end turned away.
 * @param {any} wire
 * @param {any} p
 */
export function loose(wire, p) {
  const at = along(wire, p),
    [a, b] = [at(7.5), at(20)],
    [dx, dy] = [(b.x - a.x) / 12.5, (b.y - a.y) / 12.5];
  return s(
    'g',
    { class: 'hs-loose' },
    s('path', { class: 'hs-gap', d: `M${a.x} ${a.y}L${b.x} ${b.y}` }),
    s('path', { class: 'hs-tail', d: `M${b.x} ${b.y}l${-6 * dx - 9 * dy} ${-6 * dy + 9 * dx}` }),
  );
}

/** How much of the tags a handle would hide. @param {any} p @param {number[]} way @param {number[][]} rects */
export function hidden(p, [dx, dy], rects) {
  let n = 0;
  for (let d = 16; d <= 76; d += 10)
    for (const [x, y, w, hgt] of rects)
      if (p.x + d * dx > x - 8 && p.x + d * dx < x + w + 8 && p.y + d * dy > y - 8 && p.y + d * dy < y + hgt + 8) n += 1;
  return n;
}

/** @param {import('./tags.js').Tag} tag */
export function tagBox(tag) {
  const [x, y, w, hgt] = tag.frame;
  const stem = tag.lead ? s('path', { class: 'hs-stem', d: tag.lead }) : null;
  const box = s('rect', { x, y, width: w, height: hgt, rx: 2 });
  if (tag.rail)
    return s(
      'g',
      { class: `hs-tag hs-${tag.age === 'now' ? 'since' : tag.age}` },
      stem,
      box,
      tag.lines.map((l) => railLine(l, x, l.y + 4.5, w)),
    );
  return s(
    'g',
    { class: `hs-tag hs-${tag.age}` },
    stem,
    box,
    tag.lines.map((l) =>
      s(
        'text',
        { x: x + w / 2, y: l.y + 4.5, 'text-anchor': 'middle' },
        l.label ? [l.text, s('tspan', { class: 'hs-thin' }, ` ${l.label}`)] : l.text,
      ),
    ),
  );
}

/** @param {any} l @param {number} x @param {number} y @param {number} w */
function railLine(l, x, y, w) {
  const sign = l.earth ? s('path', { class: 'hs-earth', d: `M${x + 22} ${y - 9}v4m-4 0h8m-6.5 2.3h5m-3.5 2.3h2` }) : null;
  return s(
    'g',
    { class: `hs-railline hs-${l.age}` },
    s('text', { x: x + 5, y, class: 'hs-thin' }, l.label),
    l.label.length > 2 ? null : sign,
    s('text', { x: x + w - 4, y, 'text-anchor': 'end' }, l.text),
  );
}

/** @param {number} x @param {number} y @param {number} n */
export const padlock = (x, y, n) =>
  s(
    'g',
    { class: 'hs-padlock' },
    s('path', { d: `M${x - 6} ${y - 12}v-5a6 6 0 0 1 12 0v5` }),
    s('rect', { x: x - 11, y: y - 13, width: 22, height: 17, rx: 2 }),
    s('text', { x, y: y, 'text-anchor': 'middle' }, n),
  );

/** @param {any} p @param {string} kind @param {string} letter @param {number[]} way */
export function lead(p, kind, letter, way) {
  const [dx, dy] = way,
    turn = (Math.atan2(dy, dx) * 180) / Math.PI;
  const flip = dx < 0 ? 180 : 0;
  return s(
    'g',
    { class: `hs-lead hs-lead-${kind.replace(/\d/, '')}`, 'data-lead': kind },
    s('circle', { cx: p.x, cy: p.y, r: 11, class: 'hs-ring' }),
    s('circle', { cx: p.x, cy: p.y, r: 4.5, class: 'hs-core' }),
    s(
      'g',
      { transform: `translate(${p.x} ${p.y}) rotate(${turn})` },
      s('path', { class: 'hs-tip', d: 'M0 0H26' }),
      s('path', { class: 'hs-collar', d: 'M25 -8v16' }),
      s('path', { class: 'hs-cord', d: 'M72 0c10 0 16 3 22 10' }),
      s('rect', { class: 'hs-grip', x: 27, y: -10, width: 46, height: 20, rx: 7 }),
      s(
        'text',
        {
          x: 50,
          y: 4.5,
          'text-anchor': 'middle',
          transform: `rotate(${-turn + (Math.abs(turn) > 90 && flip === 0 ? 180 : 0)} 50 0)`,
        },
        letter,
      ),
    ),
  );
}

/** The number of a point in a round. @param {any} p @param {number} n */
export const ringed = (p, n) =>
  s(
    'g',
    { class: 'hs-ringed', transform: `translate(${p.x} ${p.y})` },
    s('circle', { r: 11 }),
    s('text', { y: 4.5, 'text-anchor': 'middle' }, n),
  );

/** A ring with a gap round the wire beside a terminal. @param {any} p @param {number} n @param {any} sheet */
export function clampRing(p, n, sheet) {
  const wire = wiresAt(sheet, p.id)[0],
    { x, y } = wire ? along(wire, p)(HUNG) : { x: p.x, y: p.y + HUNG };
  return s(
    'g',
    { class: 'hs-clampring', transform: `translate(${x} ${y})` },
    s('path', { d: 'M4 -10.500a11 11 0 1 0 0 21' }),
    s('path', { d: 'M7 -8.500a11 11 0 0 1 0 17' }),
    s('rect', { x: 11, y: -9, width: 24, height: 18, rx: 6 }),
    s('text', { x: 23, y: 4.5, 'text-anchor': 'middle' }, n),
  );
}
