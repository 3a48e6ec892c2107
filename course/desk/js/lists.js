// @ts-check
/** Readings, names and hand acts put in order. Pure. */

/**
 * Readings of one step that belong together stay one row: three poles to earth, three clamps.
 * @param {any[]} readings newest last
 */
export function newest(readings) {
  return [...readings].reverse();
}

/** Readings under headings, headings in order of their newest. @param {any[]} readings @param {(r: any) => string} heading */
export function grouped(readings, heading) {
  /** @type {Map<string, any[]>} */ const out = new Map();
  for (const r of newest(readings)) {
    const k = heading(r) || 'Other';
    out.set(k, [...(out.get(k) ?? []), r]);
  }
  return [...out.entries()];
}

/**
 * Names that hold every typed word, marks that begin with it first.
 * @param {{part: string, says: string}[]} names
 * @param {string} typed
 */
export function matching(names, typed) {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const fits = names.filter((n) => words.every((w) => `${n.part} ${n.says}`.toLowerCase().includes(w)));
  const first = (/** @type {any} */ n) => (words[0] && n.part.toLowerCase().startsWith(words[0]) ? 0 : 1);
  return fits.sort((a, b) => first(a) - first(b));
}

/**
 * What hands can do to the wire end at a terminal of a part.
 * @param {any} view
 * @param {string} part
 * @param {string} terminal
 * @returns {any[]}
 */
export function actsAt(view, part, terminal) {
  if (!view.parts?.[part]?.ends?.includes(terminal)) return [];
  const short = view.names
    ?.find((/** @type {any} */ n) => n.part === part)
    ?.ends.find((/** @type {string[]} */ e) => e[0] === terminal)?.[1];
  return (view.wire_acts ?? []).map((/** @type {any} */ a) => ({
    ...a,
    at: terminal,
    spot: short ?? terminal,
    line: a.line.replace('{t}', terminal),
  }));
}

/** All that hands can do to a part: to itself, then to its wire ends. @param {any} view @param {string} part @returns {any[]} */
export const actsOf = (view, part) => [
  ...(view.acts?.[part] ?? []),
  ...(view.parts?.[part]?.ends ?? []).flatMap((/** @type {string} */ t) => actsAt(view, part, t)),
];

/**
 * Hand acts, with acts on one of several terminals gathered under one button.
 * @param {any[]} acts @returns {{title: string, minutes: number, line?: string, asks?: string, choices?: any[]}[]}
 */
export function gathered(acts) {
  /** @type {Map<string, any>} */ const out = new Map();
  for (const act of acts ?? []) {
    const key = act.at ? `${act.verb}:` : act.line,
      item = { ...act, short: act.spot ?? act.title };
    if (out.has(key)) out.get(key).choices.push(item);
    else out.set(key, { ...act, choices: [item] });
  }
  return [...out.values()].map((g) =>
    g.choices.length > 1
      ? { title: stem(g.choices), minutes: g.minutes, choices: g.choices }
      : { ...g.choices[0], choices: undefined },
  );
}

/** What titles have in common at their beginning. @param {any[]} acts */
function stem(acts) {
  let t = acts[0].title;
  if (acts.every((a) => a.title === t)) return t;
  for (const a of acts) while (t && !a.title.startsWith(t)) t = t.slice(0, -1);
  const whole = t.replace(/[\s(]+\S*$/, '').trim() || t.trim();
  return (t.endsWith(' ') ? t.trim() : whole).replace(/\s(at|of|from|on|to|terminal)$/, '') || acts[0].title;
}

/** Readings that can stand in a sum: same kind, newest first. @param {any[]} readings @param {string} kind */
export const usable = (readings, kind) =>
  newest(readings).filter((r) => r.kind === kind && r.shown !== '' && !Number.isNaN(Number(r.shown)));

/** Rows of the pressure card near a pressure. @param {number[][]} card @param {number} centre @param {number} rows */
export function cardRows(card, centre, rows) {
  if (!card.length) return [];
  let at = card.findIndex((r) => r[0] >= centre);
  if (at < 0) at = card.length - 1;
  const from = Math.max(0, Math.min(card.length - rows, at - Math.floor(rows / 2)));
  return card.slice(from, from + rows);
}
