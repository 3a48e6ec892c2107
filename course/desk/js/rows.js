// @ts-check
/** The view as it arrives, made ready for the screen: notes among readings, long displays in one row. Pure. */

const MANY = 6;

/** Readings and notes in one list, oldest first. @param {any} view */
export function tidy(view) {
  const rows = (view.readings ?? []).map((/** @type {any} */ r) => ({ ...r, line: String(r.step ?? '') }));
  const notes = (view.notes ?? []).map((/** @type {any} */ x, /** @type {number} */ i) => ({
    n: `note${i}`,
    clock: x.clock,
    t: x.t,
    place: x.place ?? '',
    part: null,
    title: 'Note',
    sub: x.text,
    shown: '',
    unit: '',
    kind: 'pad',
    fresh: 'since',
    points: [],
    shorts: [],
    glimpses: [],
    line: '',
  }));
  return notes.length ? [...rows, ...notes].sort((a, b) => a.t - b.t) : rows;
}

/** Rows of the pad: one look at a long display is one row, not thirteen. @param {any[]} rows */
export function padRows(rows) {
  /** @type {any[]} */ const out = [];
  /** @type {Map<any, any[]>} */ const steps = new Map();
  for (const r of rows) steps.set(r.n, [...(steps.get(r.n) ?? []), r]);
  for (const group of steps.values()) {
    if (group.length <= MANY) {
      out.push(...group);
      continue;
    }
    const first = group[0];
    const own = group.filter((r) => !r.points.length),
      rest = group.length - own.length;
    const head = own.slice(0, 4).map((r) => `${r.title} ${r.shown} ${r.unit}`.trim());
    const title = own.length ? 'Rack display' : first.title;
    out.push({
      ...first,
      title,
      sub: [...head, rest ? `${rest} displays` : ''].filter(Boolean).join(', '),
      shown: '',
      unit: '',
      kind: 'look',
    });
  }
  return out;
}

/** A number out of "28.1 A", or what was shown. @param {any} shown */
export const figure = (shown) => (shown === null || shown === undefined ? null : String(shown).split(' ')[0]);

/** The ticket's own words, whether they came as a sentence or as facts. @param {any} view */
export function ticketWords(view) {
  const t = view.ticket,
    there = view.places.find((/** @type {any} */ p) => !p.here);
  const came = /^\d\d:\d\d$/.test(t.came) ? `Came in at ${t.came} · store is ${t.drive} min away` : t.came;
  const drive =
    t.drive && typeof t.drive === 'object'
      ? t.drive
      : { line: `go ${there.id}`, title: `Drive there · ${there.minutes} min` };
  return { came, drive };
}

/** The unit a step wants. @param {any} q */
export const stepUnit = (q) => q.step_unit ?? q.unit ?? '-';
