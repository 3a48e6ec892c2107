// @ts-check
/** Lists that stand inside a drawing: what the van holds, what the rack's own display has shown. */
import { button, h, s } from './dom.js';
import { alarmWords } from './plot.js';
import { clockAt, inUnits, minutes } from './words.js';
import { ticketClock } from './history.js';

/** @typedef {import('./app.js').App} App */

/** Filled regions of a sheet, as parts of its picture. @param {App} app @param {any} sheet */
export function regions(app, sheet) {
  const make = { tools, parts, rack };
  return Object.entries(sheet.regions ?? {})
    .filter(([name]) => name in make)
    .map(([name, r]) =>
      s(
        'foreignObject',
        { x: r.x, y: r.y, width: r.w, height: r.h },
        h('div', { class: 'hs-region' }, make[/** @type {keyof typeof make} */ (name)](app, r)),
      ),
    );
}

/** @param {string} title @param {any[]} items @param {number} [columns] */
const list = (title, items, columns = 1) => [
  h('h2', {}, title),
  h(
    'ul',
    { style: `columns:${columns}` },
    items.map((i) =>
      h('li', {}, typeof i === 'string' ? capital(i) : `${capital(i.title ?? i.id)}${i.count > 1 ? ` × ${i.count}` : ''}`),
    ),
  ),
];

/** @param {string} t */
const capital = (t) => t.charAt(0).toUpperCase() + t.slice(1);

/** @param {App} app */
const tools = (app) => list('Tools', app.view.van.tools);

/** @param {App} app */
const parts = (app) => list('Parts', app.view.van.parts.length ? app.view.van.parts : ['Nothing listed'], 2);

/** The display as it was last read; before that, how to read it. @param {App} app @param {any} region whose display it is */
function rack(app, region) {
  const { view, ui } = app,
    start = ticketClock(view);
  const last = [...(view.readings ?? [])].reverse().filter((r) => r.part === region.part && r.shown !== '');
  const shown = last.filter((r) => r.n === last[0]?.n).reverse();
  const on = (view.alarms ?? []).filter((/** @type {any} */ a) => a.spans[a.spans.length - 1]?.[1] === null);
  const read = button('rack:read', 'Read the display · ½ min', () => app.do(`read ${region.part}`), {
    class: 'hs-btn',
    disabled: view.closed || ui.busy,
  });
  const log = button('rack:log', 'Alarm history', () => app.set({ history: true }), { class: 'hs-btn hs-slim' });
  return [
    h('div', { class: 'hs-rackbar' }, h('h2', {}, last.length ? `As read at ${last[0].clock}` : 'Not read yet'), read, log),
    h(
      'div',
      { class: 'hs-racklists hs-scroll', 'data-scroll': 'rack', tabindex: 0, role: 'group', 'aria-label': 'The rack’s display' },
      h(
        'dl',
        {},
        shown.map((r) => h('div', {}, h('dt', {}, r.title), h('dd', {}, inUnits(r.shown, r.unit, ui.system).join(' ')))),
      ),
      h(
        'div',
        {},
        h('h3', {}, 'Alarms on, as the log was last seen'),
        h(
          'ul',
          {},
          on.map((/** @type {any} */ a) =>
            h('li', {}, h('b', {}, a.text), ` ${alarmWords(a.spans, view.clock.t, (t) => clockAt(start, t), minutes)}`),
          ),
          on.length ? null : h('li', {}, 'none'),
        ),
      ),
    ),
  ];
}
