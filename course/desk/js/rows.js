// @ts-check
/** The view as it arrives, made ready for the screen: short titles, points of readings, units apart from numbers. Pure. */
import { node, tail } from './words.js';

const EMPTY = new Set(['done', 'note']), MANY = 6;

/** Readings and notes in one list, oldest first. @param {any} view */
export function tidy(view) {
  const rows = (view.readings ?? []).map(row);
  const notes = (view.notes ?? []).map((/** @type {any} */ x, /** @type {number} */ i) => ({ n: `note${i}`, clock: x.clock, t: x.t, place: x.place ?? '', part: null, title: 'Note', sub: x.text, shown: '', unit: '', kind: 'pad', fresh: 'since', points: [], line: '' }));
  return notes.length ? [...rows, ...notes].sort((a, b) => a.t - b.t) : rows;
}

/** @param {any} r */
function row(r) {
  const bare = !r.unit && EMPTY.has(r.shown), of = String(r.of ?? '');
  const shown = bare ? '' : r.shown;
  const line = typeof r.step === 'string' ? r.step : r.line ?? '';
  const base = { ...r, shown, line, points: pointsOf(r, of) };
  return { ...base, title: titleOf(base, of, line) };
}

/** @param {any} r @param {string} of */
function pointsOf(r, of) {
  if (r.kind === 'amps' && of.includes(':')) return [of.split(' ')[0]];
  if (r.kind === 'display' && /^C\d+\.D$/.test(of)) return [of];
  return r.points ?? [];
}

/** @param {any} r @param {string} of @param {string} line */
function titleOf(r, of, line) {
  if (line === 'prove-meter') return 'Proving unit';
  if (r.points.length === 2 && r.shown !== '') {
    const [a, b] = r.points.map(node);
    const same = a.split(':')[0] === b.split(':')[0];
    return `${tail(a)} to ${same ? tail(b) : b}`;
  }
  if (/^C\d+\.D$/.test(of) && r.part !== 'RACK') return 'Display';
  if (r.kind === 'amps' && of) return of.includes(' ') ? `${tail(of.split(' ')[0])}, ${of.split(' ').slice(1).join(' ')}` : `${tail(of)}, now`;
  if (r.kind === 'temperature' && of) return `${of.replace(/^C(\d+)\./, '')}${/how=(\w+)/.test(line) ? `, ${{ air: 'in air', packs: 'between packs', pipe: 'on the pipe', wick: 'wet wick' }[/** @type {'air'} */ (/how=(\w+)/.exec(line)?.[1])] ?? ''}` : ''}`;
  return r.title;
}

/** Rows of the pad: one look at a long display is one row, not thirteen. @param {any[]} rows */
export function padRows(rows) {
  /** @type {any[]} */ const out = [];
  /** @type {Map<any, any[]>} */ const steps = new Map();
  for (const r of rows) steps.set(r.n, [...(steps.get(r.n) ?? []), r]);
  for (const group of steps.values()) {
    if (group.length <= MANY) { out.push(...group); continue; }
    const first = group[0];
    const head = group.filter((r) => !/^C\d+\.D$/.test(r.title)).map((r) => `${r.title.replace(/^RACK /, '')} ${r.shown} ${r.unit}`.trim());
    const rest = group.length - head.length;
    out.push({ ...first, title: first.part === 'RACK' ? 'Rack display' : first.title, sub: [...head.slice(0, 4), rest ? `${rest} displays` : ''].filter(Boolean).join(', '), shown: '', unit: '', kind: 'look' });
  }
  return out;
}

/** A number out of "28.1 A", or what was shown. @param {any} shown */
export const figure = (shown) => (shown === null || shown === undefined ? null : String(shown).split(' ')[0]);

/** "Case 4 dairy", "Dairy walk-in". @param {any} c */
export function circuitName(c) {
  if (/^(case|walk|circuit)/i.test(c.title)) return c.title;
  return c.kind === 'case' ? `Case ${c.n} ${c.title}` : c.title.charAt(0).toUpperCase() + c.title.slice(1);
}

/** The ticket's own words, whether they came as a sentence or as facts. @param {any} view */
export function ticketWords(view) {
  const t = view.ticket, there = view.places.find((/** @type {any} */ p) => !p.here);
  const came = /^\d\d:\d\d$/.test(t.came) ? `Came in at ${t.came} · store is ${t.drive} min away` : t.came;
  const drive = t.drive && typeof t.drive === 'object' ? t.drive : { line: `go ${there?.id ?? 'floor'}`, title: `Drive there · ${there?.minutes ?? t.drive} min` };
  return { came, drive };
}

const ORDER = ['why', 'evidence', 'did', 'left', 'temporary', 'until', 'whose', 'food', 'told'];

/** Fields of the work order in the order of the paper. @param {any[]} fields */
export const inOrder = (fields) => [...fields].sort((a, b) => (ORDER.indexOf(a.id) + 99) % 99 - (ORDER.indexOf(b.id) + 99) % 99);

/** The unit a step wants. @param {any} q */
export const stepUnit = (q) => q.step_unit ?? q.unit ?? '-';
