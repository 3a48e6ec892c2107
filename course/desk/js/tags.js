// @ts-check
/** Where readings hang on a drawing, and how old they are. Pure. */
import { inUnits, node } from './words.js';

/** @typedef {{label: string, text: string, age: string, earth: boolean, y: number}} TagLine */
/** @typedef {{frame: number[], lead: string|null, lines: TagLine[], rail: boolean, age: string}} Tag */

const PAIRS = new Set(['volts', 'ohms', 'insulation']);

/** Homes by the network's own names: a rail drawn as `X1@7` is `X1`. @param {any} homes @returns {Map<string, any>} */
export function byNode(homes) {
  const out = new Map();
  for (const [key, home] of Object.entries(homes ?? {})) {
    const plain = key.split('|').map(node).join('|');
    if (!out.has(plain)) out.set(plain, home);
  }
  return out;
}

/**
 * The home of what was read, and whether the pair has one of its own.
 * @param {Map<string, any>} homes @param {string[]} ids @param {string[]} returns rails that a reading is taken against
 */
export function homeOf(homes, ids, returns) {
  const at = ids.map(node);
  const pair = homes.get(at.join('|')) ?? homes.get([...at].reverse().join('|'));
  if (pair) return { home: pair, stray: false };
  if (at.length < 2) return null;
  const [a, b] = returns.includes(at[0]) ? [at[1], at[0]] : at;
  const home = homes.get(a) ?? homes.get(b);
  return home && home.kind !== 'earth' ? { home, stray: !returns.includes(b) } : null;
}

/** now, since (the last change) or before. @param {any} reading @param {string[]} connected pairs `a|b` or points that hang now */
export function age(reading, connected) {
  if (reading.fresh === 'before') return 'before';
  return connected.includes((reading.points ?? []).map(node).join('|')) ? 'now' : 'since';
}

/** How wide a text stands at 13 px, semi-bold. @param {string} text */
export const wide = (text) => [...text].reduce((w, c) => w + (/[.,:il1 |]/.test(c) ? 4.4 : /[A-Zmw%]/.test(c) ? 9 : 7.3), 0);

/**
 * The tags of a sheet: the latest reading per pair and kind, at its home; those on the earth rail share a box per row.
 * @param {any} sheet @param {any[]} readings newest last @param {string[]} connected @param {string} system
 * @returns {Tag[]}
 */
export function tags(sheet, readings, connected, system) {
  const homes = byNode(sheet.homes);
  /** @type {Map<string, any>} */ const latest = new Map();
  for (const r of readings.flatMap((x) => aspects(x, homes))) {
    const ids = r.points?.length ? r.points : r.part ? [r.part] : [];
    const work = r.kind === 'act' || (r.shown === '' && r.points?.length); // what was done stands on the pad only
    const found = ids.length && r.kind !== 'pad' && !work ? homeOf(homes, ids, sheet.returns ?? []) : null;
    if (!found) continue;
    const wet = r.kind === 'temperature' && /wet|wick/i.test(`${r.sub} ${r.title}`);
    const place = `${found.home.x},${found.home.y}`;
    const key =
      found.home.kind === 'earth' || PAIRS.has(r.kind) ? place : `${place}/${wet ? 'wet' : r.points?.length ? r.kind : 'sight'}`;
    latest.delete(key);
    latest.set(key, { r, ids, ...found, wet });
  }
  /** @type {Map<string, Tag>} */ const boxes = new Map();
  for (const x of latest.values()) hang(boxes, { ...x, earth: sheet.earth }, age(x.r, connected), system);
  for (const { frame } of boxes.values()) frame[0] = Math.max(2, Math.min(frame[0], (sheet.width ?? Infinity) - 2 - frame[2]));
  return [...boxes.values()];
}

/** What a look showed, as much as fits a width; what has no aspects is said whole. @param {any} r @param {number} width */
function seen(r, width) {
  const parts = (r.glimpses ?? []).map((/** @type {string[]} */ [, words]) => words);
  let out = parts[0] ?? String(r.sub ?? '');
  for (const p of parts.slice(1)) if (wide(`${out}, ${p}`) < width - 8) out = `${out}, ${p}`;
  return out;
}

/**
 * A look that showed several aspects: each hangs at its own box, where the drawing has one.
 * @param {any} r
 * @param {Map<string, any>} homes
 */
function aspects(r, homes) {
  const placed = (r.glimpses ?? []).filter((/** @type {string[]} */ [aspect]) => homes.has(`${r.part}.${aspect}`));
  if (!placed.length) return [r];
  return placed.map((/** @type {string[]} */ [aspect, words]) => ({
    ...r,
    part: `${r.part}.${aspect}`,
    sub: words,
    glimpses: [],
    points: [],
  }));
}

/** @param {Map<string, Tag>} boxes @param {any} x @param {string} old @param {string} system */
function hang(boxes, { r, ids, home, stray, wet, earth: rail }, old, system) {
  const [shown, unit] = inUnits(r.shown ?? '', r.unit ?? '', system);
  const words = shown === '' ? seen(r, home.w ?? 110) : shown,
    earth = ids.map(node).includes(rail);
  const sign = r.kind === 'volts' ? '' : r.kind === 'amps' ? ' A' : r.kind === 'ohms' ? ' Ω' : unit ? ` ${unit}` : '';
  const text = `${wet ? 'wet ' : ''}${words}${shown === '' ? '' : sign}`;
  if (home.kind === 'earth') {
    onRail(boxes, home, { label: home.label ?? '', text, age: old, earth, y: home.y });
    return;
  }
  const label = stray ? `to ${r.shorts?.[1] ?? node(ids[1])}` : '';
  const room = home.kind === 'look' ? Math.max(18, Math.floor(home.w / 6.2)) : 24,
    cut = text.length > room ? `${text.slice(0, room - 1)}…` : text;
  const own = `${home.x},${home.y}`,
    above = boxes.has(own) ? 25 : 0;
  const w = Math.max(home.kind === 'between' ? 36 : (home.w ?? 36), wide(cut) + (label ? wide(label) : 0) + 12),
    high = Math.max(20, Math.min(24, home.h ?? 22));
  boxes.set(above ? `${own}+` : own, {
    frame: [home.x - w / 2, home.y - above - high / 2, w, high],
    lead: above ? null : (home.lead ?? null),
    rail: false,
    age: old,
    lines: [{ label, text: cut, age: old, earth, y: home.y - above }],
  });
}

/**
 * A line in the box of its row on the earth rail; the box grows to the lines it has.
 * @param {Map<string, Tag>} boxes
 * @param {any} home
 * @param {TagLine} item
 */
function onRail(boxes, home, item) {
  const [x, , w] = home.frame ?? [home.x - home.w / 2, 0, home.w],
    key = `rail ${(home.frame ?? [home.x, home.y]).join()}`;
  const lines = [...(boxes.get(key)?.lines ?? []).filter((l) => l.y !== item.y), item];
  const top = Math.min(...lines.map((l) => l.y)),
    low = Math.max(...lines.map((l) => l.y));
  const newest = lines.some((l) => l.age === 'now') ? 'now' : lines.some((l) => l.age === 'since') ? 'since' : 'before';
  const across = Math.max(w, ...lines.map((l) => wide(l.text) + (l.label.length > 2 ? wide(l.label) + 18 : 0)));
  boxes.set(key, { frame: [x, top - 9, across, low - top + 18], lead: null, lines, rail: true, age: newest });
}

/** The pairs and points that hang on the plant at this moment. @param {any} hold @param {any} view */
export function connectedNow(hold, view) {
  const all = [];
  const { red, black } = hold.leads;
  if (red && black) all.push(`${node(red)}|${node(black)}`, `${node(black)}|${node(red)}`);
  const round = hold.mode === 'round' && hold.read ? hold.round.map(node) : [];
  for (const a of round) all.push(...round.map((/** @type {string} */ b) => `${a}|${b}`));
  for (const id of Object.values(hold.probes)) if (id) all.push(node(id));
  for (const c of view.clamps ?? []) if (c.terminal) all.push(c.terminal);
  for (const g of Object.values(view.gauges ?? {})) if (g) all.push(/** @type {any} */ (g).point);
  return all;
}
