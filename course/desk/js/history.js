// @ts-check
/** Alarm history and trends: bars by time, then curves under the same time axis. */
import { h, s } from './dom.js';
import { alarmWords, path, scale, thin, ticks, timeTicks } from './plot.js';
import { wide } from './tags.js';
import { clockAt, inUnits, minutes, unitSign } from './words.js';

/** @typedef {import('./app.js').App} App */

const LEFT = 364,
  RIGHT = 28,
  PANEL = 96,
  BAR = 18,
  DASH = ['', '8 5', '2 4', '12 4 2 4'];

/** @param {App} app @param {number} room @param {number} height */
export function history(app, room, height) {
  const { view, ui } = app;
  const end =
    view.phase === 'dispatch'
      ? 0
      : (view.trends?.from ?? 0) +
          (view.trends?.step ?? 30) *
            Math.max(1, ...(view.trends?.channels ?? []).map((/** @type {any} */ c) => c.values.length)) || view.clock.t;
  const now = Math.min(view.clock.t, Math.max(0, end));
  const from = now - ui.hours * 3600,
    start = ticketClock(view);
  const alarms = (view.alarms ?? [])
    .map((/** @type {any} */ a) => ({ ...a, spans: a.spans.filter((/** @type {any} */ p) => p[1] === null || p[1] > from) }))
    .filter((/** @type {any} */ a) => a.spans.length && (!ui.onlyOn || isOn(a)))
    .sort((/** @type {any} */ a, /** @type {any} */ b) => a.spans[0][0] - b.spans[0][0]);
  const named = new Map((view.circuits ?? []).map((/** @type {any} */ c) => [c.id, c.name]));
  // so that two curves stay in sight
  const each0 = Math.max(24, Math.min(38, (height - 46 - 2 * PANEL) / Math.max(1, alarms.length)));
  const rows = Math.max(1, alarms.length) * each0 + 10;
  const many = groups(view.trends, scale(from, now, LEFT, room - RIGHT), from, now).length;
  const tall = Math.max(height, rows + many * PANEL + 40);
  const width = tall > height ? room - BAR : room;
  const x = scale(from, now, LEFT, width - RIGHT);
  const panels = groups(view.trends, x, from, now).map((p) => ({
    ...p,
    shown: p.shown.map((/** @type {any} */ c) => ({ ...c, title: named.get(c.id) ?? c.title })),
  }));
  const each = panels.length ? (tall - rows - 36) / panels.length : 0;
  const offset = offsetTo(start);
  const times = timeTicks(from, now, offset);
  const svg = s(
    'svg',
    {
      class: 'hs-history',
      viewBox: `0 0 ${width} ${tall}`,
      width,
      height: tall,
      role: 'img',
      'aria-label': summary(alarms, view, now, start),
    },
    times.map((t) => s('path', { class: 'hs-grid', d: `M${x(t)} 6V${tall - 30}` })),
    alarms.length
      ? alarms.map((/** @type {any} */ a, /** @type {number} */ i) => alarmRow(a, 6 + i * each0, each0, x, from, now, start, width))
      : s('text', { x: 18, y: 32, class: 'hs-small' }, 'No alarm in this span. Try a longer one.'),
    s('path', { class: 'hs-rule2', d: `M18 ${rows - 4}H${width - 18}` }),
    panels.map((p, i) => panel(app, p, rows + i * each, each, x, width)),
    s('path', { class: 'hs-nowline', d: `M${x(now)} 6V${tall - 30}` }),
    times.map((t) =>
      x(now) - x(t) > 44
        ? s('text', { class: 'hs-small', x: x(t), y: tall - 11, 'text-anchor': 'middle' }, clockAt(start, t))
        : null,
    ),
    s('text', { class: 'hs-bold', x: x(now), y: tall - 11, 'text-anchor': 'middle' }, clockAt(start, now)),
  );
  return h(
    'div',
    {
      class: 'hs-scroll',
      'data-scroll': 'history',
      tabindex: tall > height ? 0 : null,
      role: tall > height ? 'group' : null,
      'aria-label': tall > height ? 'Alarm history' : null,
    },
    svg,
  );
}

/** The clock time of the ticket: now minus the seconds since. @param {any} view */
export const ticketClock = (view) => view.ticket?.came?.match?.(/\d\d:\d\d/)?.[0] ?? clockAt(view.clock.now, -view.clock.t);

/** @param {string} start */
const offsetTo = (start) => {
  const [hh, mm] = start.split(':').map(Number);
  return (hh * 60 + mm) * 60;
};

/** @param {any} a */
const isOn = (a) => a.spans[a.spans.length - 1]?.[1] === null;

/** @param {any[]} alarms @param {any} view @param {number} now @param {string} start */
const summary = (alarms, view, now, start) =>
  alarms
    .map((a) => `${clockAt(start, a.spans[0][0])} ${a.text}, ${alarmWords(a.spans, now, (t) => clockAt(start, t), minutes)}`)
    .join('. ') || 'No alarms';

/** As much of a text as fits, cut with dots. @param {string} text @param {number} room @param {number} weight */
function fitted(text, room, weight) {
  let t = text;
  while (t.length > 4 && wide(t) * weight > room) t = t.slice(0, -1);
  return t === text ? text : `${t.trimEnd()}…`;
}

/**
 * @param {any} a
 * @param {number} y
 * @param {number} high
 * @param {(t: number) => number} x
 * @param {number} from
 * @param {number} now
 * @param {string} start
 * @param {number} width
 */
function alarmRow(a, y, high, x, from, now, start, width) {
  const on = isOn(a),
    mid = y + high / 2;
  return s(
    'g',
    { class: on ? 'hs-alarm hs-still' : 'hs-alarm' },
    s('rect', { class: on ? 'hs-span' : 'hs-back', x: 18.5, y: mid - 4.5, width: 9, height: 9 }),
    s('text', { class: 'hs-body', x: 38, y: mid + 5 }, clockAt(start, a.spans[0][0])),
    s(
      'text',
      { class: on ? 'hs-bold13' : 'hs-body hs-ink', x: 82, y: mid + 5 },
      s('title', {}, a.text),
      fitted(a.text, LEFT - 82 - 14 - 7 * alarmWords(a.spans, now, (t) => clockAt(start, t), minutes).length, on ? 1 : 0.95),
    ),
    s(
      'text',
      { class: 'hs-small', x: LEFT - 14, y: mid + 4, 'text-anchor': 'end' },
      alarmWords(a.spans, now, (t) => clockAt(start, t), minutes),
    ),
    a.spans.map((/** @type {any} */ [t0, t1]) =>
      s('rect', {
        class: t1 === null ? 'hs-span' : 'hs-back',
        x: x(Math.max(t0, from)),
        y: mid - 7.5,
        width: Math.max(3, x(t1 ?? now) - x(Math.max(t0, from))),
        height: 15,
      }),
    ),
    s('path', { class: 'hs-grid', d: `M18 ${y + high}H${width - 18}` }),
  );
}

/**
 * Channels of one unit and kind share a panel, at most four to a panel.
 * @param {any} trends
 * @param {(t: number) => number} x
 * @param {number} from
 * @param {number} now
 */
function groups(trends, x, from, now) {
  if (!trends?.channels?.length) return [];
  /** @type {Map<string, any>} */ const out = new Map();
  for (const c of trends.channels) {
    const key = c.kind === 'display' ? 'Case air' : c.title;
    const p = out.get(key) ?? {
      title: key,
      kind: c.kind,
      unit: c.unit,
      limit: c.limit,
      from: trends.from,
      step: trends.step,
      lines: [],
    };
    if (p.unit === c.unit) p.lines.push(c);
    out.set(key, p);
  }
  const first = (/** @type {any} */ p) => (p.kind === 'discharge' ? 0 : p.kind === 'display' ? 1 : 2);
  return [...out.values()]
    .sort((a, b) => first(a) - first(b))
    .slice(0, 4)
    .map((p) => ({ ...p, shown: worst(p.lines) }));
}

/** The three that stand highest over their limit at the end. @param {any[]} lines */
function worst(lines) {
  const over = (/** @type {any} */ c) => Number(c.values[c.values.length - 1] ?? 0) - Number(c.limit ?? 0);
  const best = new Set([...lines].sort((a, b) => over(b) - over(a)).slice(0, 3));
  return lines.filter((c) => best.has(c));
}

/**
 * @param {App} app
 * @param {any} p
 * @param {number} top
 * @param {number} height
 * @param {(t: number) => number} x
 * @param {number} width
 */
function panel(app, p, top, height, x, width) {
  const si = app.ui.system,
    conv = (/** @type {number} */ v) => Number(inUnits(String(v), p.unit, si)[0]);
  const unit = inUnits('0', p.unit, si)[1];
  const x0 = x.bind(null);
  const inside = p.shown.map((/** @type {any} */ c) =>
    c.values.map((/** @type {any} */ v, /** @type {number} */ i) =>
      v === null || x0(p.from + i * p.step) < LEFT || x0(p.from + i * p.step) > width - RIGHT ? null : conv(v),
    ),
  );
  const all = inside.flat().filter((/** @type {any} */ v) => v !== null);
  if (!all.length) return null;
  const limit = p.limit === null || p.limit === undefined ? [] : [conv(p.limit)];
  const low = Math.min(...all, ...limit),
    high = Math.max(...all, ...limit),
    room = (high - low) * 0.12 || 1;
  const y = scale(low - room, high + room, top + height - 12, top + (p.shown.length > 1 ? 30 : 14));
  const curve = (/** @type {any[]} */ values) => {
    const kept = thin(
      values.map((v) => v ?? NaN),
      (width - LEFT) * 1.5,
    ).filter((k) => Number.isFinite(k.v));
    return path(
      kept.map((k) => k.v),
      (i) => x0(p.from + kept[i].i * p.step),
      y,
    );
  };
  return s(
    'g',
    {},
    s('text', { class: 'hs-bold13', x: 18, y: top + 26 }, p.title.charAt(0).toUpperCase() + p.title.slice(1)),
    s(
      'text',
      { class: 'hs-small', x: 18, y: top + 43 },
      `${unit}${p.lines.length > p.shown.length ? ` · ${p.shown.length} of ${p.lines.length} shown` : ''}`,
    ),
    ticks(low, high, 3)
      .map((t) => [
        s('path', { class: 'hs-grid', d: `M${LEFT} ${y(t)}H${width - RIGHT}` }),
        s('text', { class: 'hs-small', x: LEFT - 8, y: y(t) + 4, 'text-anchor': 'end' }, t),
      ])
      .flat(),
    limit
      .map((v) => [
        s('path', { class: 'hs-limit', d: `M${LEFT} ${y(v)}H${width - RIGHT}` }),
        s('text', { class: 'hs-small', x: LEFT + 6, y: y(v) - 5 }, `limit ${Math.round(v)}`),
      ])
      .flat(),
    inside.map((/** @type {any[]} */ v, /** @type {number} */ i) =>
      s('path', { class: 'hs-curve', 'stroke-dasharray': DASH[i] || null, d: curve(v) }),
    ),
    p.shown.length > 1
      ? p.shown.map((/** @type {any} */ c, /** @type {number} */ i) =>
          s(
            'g',
            {},
            s('path', { class: 'hs-curve', 'stroke-dasharray': DASH[i] || null, d: `M${LEFT + 20 + i * 150} ${top + 12}h26` }),
            s('text', { class: 'hs-small hs-ink', x: LEFT + 52 + i * 150, y: top + 16 }, c.title),
          ),
        )
      : null,
  );
}

/** A plot of the reader's own readings, for the pad. @param {App} app @param {any[]} readings @param {string} unit */
export function ownPlot(app, readings, unit) {
  const rows = readings.filter((r) => r.unit === unit && r.shown !== '' && !Number.isNaN(Number(r.shown)));
  if (rows.length < 2) return h('p', { class: 'hs-empty' }, 'A plot needs two readings in one unit. Take another one.');
  const values = rows.map((r) => Number(inUnits(r.shown, r.unit, app.ui.system)[0])),
    times = rows.map((r) => r.t ?? 0);
  const t = scale(Math.min(...times), Math.max(...times), 44, 350),
    y = scale(Math.min(...values), Math.max(...values), 150, 20);
  return h(
    'div',
    { class: 'hs-plot' },
    s(
      'svg',
      { viewBox: '0 0 370 190', role: 'img', 'aria-label': rows.map((r) => `${r.clock} ${r.title} ${r.shown}`).join(', ') },
      ticks(Math.min(...values), Math.max(...values), 4)
        .map((v) => [
          s('path', { class: 'hs-grid', d: `M44 ${y(v)}H360` }),
          s('text', { class: 'hs-small', x: 38, y: y(v) + 4, 'text-anchor': 'end' }, v),
        ])
        .flat(),
      rows.map((r, i) => s('circle', { class: 'hs-mark', cx: t(times[i]), cy: y(values[i]), r: 4 })),
      s('text', { class: 'hs-small', x: 44, y: 178 }, rows[0].clock),
      s('text', { class: 'hs-small', x: 350, y: 178, 'text-anchor': 'end' }, rows[rows.length - 1].clock),
      s('text', { class: 'hs-small', x: 6, y: 12 }, unitSign(unit)),
    ),
  );
}
