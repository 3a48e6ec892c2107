// @ts-check
/** Where readings hang on a drawing, and how old they are. Pure. */
import { inUnits, node, tail } from './words.js';

/** @typedef {{x: number, y: number, lines: {label: string, text: string, age: string, earth: boolean}[], rail: boolean, age: string}} Tag */

const EARTH = 'PE', RETURNS = new Set(['X2', 'N']);

/** The home of a pair, whichever lead was on which point. @param {any} homes @param {string[]} ids */
export function homeOf(homes, ids) {
  const at = [...ids].map(node);
  const pair = homes[at.join('|')] ?? homes[[...at].reverse().join('|')];
  if (pair || at.length === 1) return pair ?? null;
  if (RETURNS.has(at[1])) return homes[at[0]] ?? null;
  if (RETURNS.has(at[0])) return homes[at[1]] ?? null;
  return homes[at[0]] ?? homes[at[1]] ?? null;
}

/** now, since (the last change) or before. @param {any} reading @param {string[]} connected pairs `a|b` or points that hang now */
export function age(reading, connected) {
  if (reading.fresh === 'before') return 'before';
  return connected.includes((reading.points ?? []).map(node).join('|')) ? 'now' : 'since';
}

/** A pair's short name for a line of the earth rail: `1` to earth, `1–5`. @param {string[]} points */
function short(points) {
  const [a, b] = points.map(node);
  if (b === EARTH) return tail(a);
  if (a === EARTH) return tail(b);
  return b ? `${tail(a)}–${tail(b)}` : tail(a);
}

/**
 * The tags of a sheet: the latest reading per pair and kind of unit, at its home; several at one home share a box.
 * @param {any} sheet @param {any[]} readings newest last @param {string[]} connected @param {string} system
 * @returns {Tag[]}
 */
export function tags(sheet, readings, connected, system) {
  const homes = sheet.homes ?? {};
  /** @type {Map<string, any>} */ const latest = new Map();
  for (const r of readings) {
    const ids = r.points?.length ? r.points : r.part ? [r.part] : [];
    if (!ids.length || !homeOf(homes, ids)) continue;
    const own = r.points?.length ? ids.map(node).sort().join('|') : ids[0];
    const family = r.kind === 'temperature' && /wet/i.test(`${r.sub} ${r.title}`) ? 'wet' : r.kind;
    const key = r.kind === 'volts' || r.kind === 'ohms' || r.kind === 'insulation' ? own : `${own}/${family}`;
    latest.delete(key);
    latest.set(key, r);
  }
  /** @type {Map<string, Tag>} */ const boxes = new Map();
  for (const r of latest.values()) hang(boxes, homes, r, age(r, connected), system);
  return [...boxes.values()];
}

/** @param {Map<string, Tag>} boxes @param {any} homes @param {any} r @param {string} old @param {string} system */
function hang(boxes, homes, r, old, system) {
  const ids = r.points?.length ? r.points : [r.part];
  const home = homeOf(homes, ids);
  const [shown, unit] = inUnits(r.shown ?? '', r.unit ?? '', system);
  const words = shown === '' ? r.sub : shown;
  const earth = ids.map(node).includes(EARTH);
  const rail = home.kind === 'rail' || home.rail === true || earth;
  const text = rail || r.kind === 'volts' ? `${words}${r.kind === 'amps' ? ' A' : r.kind === 'ohms' ? ' Ω' : ''}` : `${words} ${unit}`.trim();
  const stray = ids.length === 2 && !rail && !homes[ids.map(node).join('|')] && !homes[[...ids].map(node).reverse().join('|')]
    && !ids.some((/** @type {string} */ i) => RETURNS.has(node(i)));
  const item = { label: rail ? short(ids) : stray ? `to ${tail(ids[1])}` : '', text: text.slice(0, 26), age: old, earth };
  const at = `${Math.round(home.x)},${Math.round(home.y)}`;
  const box = boxes.get(at) ?? { x: home.x, y: home.y, lines: [], rail, age: old };
  box.lines.push(item);
  box.lines = rail ? box.lines.sort((a, b) => a.label.localeCompare(b.label)).slice(0, 5) : box.lines.slice(-2);
  box.age = box.lines.some((l) => l.age === 'now') ? 'now' : box.lines.some((l) => l.age === 'since') ? 'since' : 'before';
  boxes.set(at, box);
}

/** The pairs and points that hang on the plant at this moment. @param {any} hold @param {any} view */
export function connectedNow(hold, view) {
  const all = [];
  const { red, black } = hold.leads;
  if (red && black) all.push(`${node(red)}|${node(black)}`, `${node(black)}|${node(red)}`);
  for (const id of Object.values(hold.probes)) if (id) all.push(node(id));
  for (const c of view.clamps ?? []) if (c.terminal) all.push(c.terminal);
  for (const g of Object.values(view.gauges ?? {})) if (g) all.push(/** @type {any} */ (g).point);
  return all;
}
