// @ts-check
/** Keyboard on a drawing: arrows follow the wire, then the nearest; typing jumps. Pure. */
import { node } from './words.js';

/** @typedef {{id: string, x: number, y: number, next?: string[], kind: 'point'|'part'}} Stop */

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** All places the keyboard can stand on: points at their centre, boxes at theirs. @param {any} sheet @returns {Stop[]} */
export function stops(sheet) {
  const points = sheet.points.map((/** @type {any} */ p) => ({ id: p.id, x: p.x, y: p.y, next: p.next ?? [], kind: 'point' }));
  const parts = sheet.parts.map((/** @type {any} */ p, /** @type {number} */ i) => ({
    id: `[${i}]${p.id}`,
    x: p.x,
    y: p.y,
    kind: 'part',
  }));
  return [...points, ...parts];
}

/** The stop an arrow leads to, or the same one. @param {Stop[]} all @param {string} from @param {string} key @returns {string} */
export function step(all, from, key) {
  const at = all.find((p) => p.id === from),
    way = WAYS[/** @type {keyof typeof WAYS} */ (key)];
  if (!at || !way) return from;
  const ahead = (/** @type {Stop} */ p, /** @type {number} */ spread) => {
    const along = (p.x - at.x) * way[0] + (p.y - at.y) * way[1];
    const aside = Math.abs((p.x - at.x) * way[1]) + Math.abs((p.y - at.y) * way[0]);
    return along > 1 && aside <= spread * along ? along + 2.5 * aside : Infinity;
  };
  const best = (/** @type {Stop[]} */ among, /** @type {number} */ spread) => {
    const ranked = among.filter((p) => p !== at && ahead(p, spread) < Infinity).sort((a, b) => ahead(a, spread) - ahead(b, spread));
    return ranked[0]?.id ?? null;
  };
  const wired = all.filter((p) => at.next?.includes(p.id));
  return best(wired, 0.6) ?? best(all, 0.75) ?? best(all, 4) ?? from;
}

/** Letters and digits only, upper case: what is typed is compared in this form. @param {string} text */
const plain = (text) => text.toUpperCase().replaceAll(/[^A-Z0-9]/g, '');

/**
 * The stop meant by what was typed: `K5 A1` a terminal, `K5` a box, `P2` a test point. The shortest name that begins so.
 * @param {Stop[]} all @param {string} typed @returns {string|null}
 */
export function jump(all, typed) {
  const want = plain(typed);
  if (!want) return null;
  const name = (/** @type {Stop} */ p) => plain(node(p.id).replace(/^\[\d+\]/, ''));
  const fits = all.filter((p) => name(p).startsWith(want));
  fits.sort((a, b) => name(a).length - name(b).length || (a.kind === b.kind ? 0 : a.kind === 'part' ? -1 : 1));
  return fits[0]?.id ?? null;
}
