// @ts-check
/** The pad: tabs, ticket, readings. Cream is the technician's own paper. */
import { button, choice, h } from './dom.js';
import { grouped, newest } from './lists.js';
import { isolationForm, isolationFoot } from './isolation.js';
import { orderPage, orderFoot } from './order.js';
import { ownPlot } from './history.js';
import { phonePage } from './phone.js';
import { sumsPage } from './sums.js';
import { suspectsPage, suspectsFoot } from './suspects.js';
import { tablist } from './head.js';
import { padRows, ticketWords } from './rows.js';
import { inUnits, line, word } from './words.js';

/** @typedef {import('./app.js').App} App */

const TITLES = /** @type {Record<string, string>} */ ({
  ticket: 'Ticket',
  readings: 'Readings',
  suspects: 'Suspects',
  sums: 'Sums',
  order: 'Work order',
});

/** @param {App} app */
const tabs = (app) => {
  const { view } = app,
    done = (view.questions ?? []).filter((/** @type {any} */ q) => q.answer).length,
    all = (view.questions ?? []).length;
  const sup = (/** @type {any} */ n) => (n || n === 0 ? h('sup', {}, n) : null);
  return [
    { id: 'ticket', title: 'Ticket' },
    { id: 'readings', title: ['Readings', sup(view.readings.length)] },
    { id: 'suspects', title: ['Suspects', sup((view.suspects ?? []).length)] },
    { id: 'sums', title: ['Sums', sup(view.phase === 'dispatch' ? all : `${done}/${all}`)] },
    { id: 'order', title: 'Work order' },
  ];
};

/** @param {App} app */
export function pad(app) {
  const { ui } = app;
  if (ui.phone) return phonePage(app);
  const list = tablist(app, 'tab', 'Pad', tabs(app), ui.tab, (id) => openTab(app, id));
  list.className = 'hs-tabs';
  const [body, foot] = page(app);
  return [
    list,
    h('div', { class: 'hs-page', role: 'tabpanel', 'aria-label': TITLES[ui.tab] ?? ui.tab, tabindex: -1 }, body),
    foot ? h('div', { class: 'hs-foot' }, foot) : null,
  ];
}

/** Sums and work order open the pad to a spread. @param {App} app @param {string} id */
export function openTab(app, id) {
  const wide = id === 'sums' || id === 'order';
  app.set({
    tab: id,
    spread: wide,
    question: app.ui.question ?? app.view.questions?.[0]?.id ?? null,
    naming: id === 'suspects' ? app.ui.naming : null,
  });
}

/** @param {App} app @returns {any[]} */
function page(app) {
  const { ui } = app;
  if (ui.tab === 'ticket') return ticket(app);
  if (ui.tab === 'suspects') return [suspectsPage(app), suspectsFoot(app)];
  if (ui.tab === 'sums') return [sumsPage(app), null];
  if (ui.tab === 'order') return [orderPage(app), orderFoot(app)];
  return [readings(app), ui.list === 'isolation' ? isolationFoot(app) : noteField(app)];
}

/** @param {App} app */
function ticket(app) {
  const { view } = app,
    t = view.ticket;
  const score = scored(t.scored ?? []);
  const body = h(
    'div',
    { class: 'hs-ticket hs-scroll', 'data-scroll': 'ticket', tabindex: 0, role: 'group', 'aria-label': 'Ticket' },
    h('small', {}, ticketWords(view).came),
    h('h2', {}, view.call.title),
    h('p', { class: 'hs-says' }, t.says.startsWith('“') ? t.says : `“${t.says}”`),
    h('small', {}, t.who),
    h(
      'dl',
      {},
      t.rows.map((/** @type {string[]} */ [a, b]) => h('div', {}, h('dt', {}, a), h('dd', {}, b))),
    ),
    h('h3', {}, 'What is scored'),
    score,
    t.gate ? h('p', { class: 'hs-quiet' }, t.gate) : null,
    (t.asked ?? []).length ? [h('h3', {}, 'You will be asked for'), h('p', { class: 'hs-quiet' }, sentence(t.asked))] : null,
    h(
      'p',
      { class: 'hs-disclaim' },
      'Training only. On a real job, local code, the maker’s instructions and a licensed person come first.',
    ),
  );
  if (view.phase !== 'dispatch') return [body, null];
  const { drive } = ticketWords(view);
  return [
    body,
    [
      button('drive', drive.title, () => app.do(drive.line), { class: 'hs-btn hs-go hs-grow' }),
      button('van', 'What is in the van', () => app.set({ popover: 'van' })),
    ],
  ];
}

/** @param {string[]} titles */
const sentence = (titles) => titles.map((t, i) => (i ? t.charAt(0).toLowerCase() + t.slice(1) : t)).join(', ');

/** Points as bars whose width is their weight. @param {any[]} parts */
const scored = (parts) =>
  h(
    'div',
    { class: 'hs-scored', style: `grid-template-columns:${parts.map(([n]) => `minmax(min-content,${n}fr)`).join(' ')}` },
    parts.map(([n, t]) => h('div', {}, h('b', {}, n), h('small', {}, t))),
  );

const LISTS = [
  { id: 'newest', title: 'Newest' },
  { id: 'place', title: 'By place' },
  { id: 'part', title: 'By part' },
  { id: 'isolation', title: 'Isolation' },
];

/** @param {App} app */
function readings(app) {
  const { ui, view } = app;
  const bar = h(
    'div',
    { class: 'hs-listbar' },
    choice('list', 'Order of the readings', LISTS, ui.list, (id) => app.set({ list: id, plot: false }), 'hs-seg'),
    ui.list === 'isolation'
      ? null
      : button('plot', ui.plot ? 'List' : 'Plot', () => app.set({ plot: !ui.plot }), { class: 'hs-btn hs-quietbtn' }),
  );
  if (ui.list === 'isolation') return [bar, isolationForm(app)];
  if (ui.plot) return [bar, plots(app)];
  if (!view.readings.length)
    return [
      bar,
      h(
        'div',
        { class: 'hs-empty' },
        h('p', {}, 'Nothing written down yet. The first thing you look at, read or hear stands here.'),
      ),
    ];
  const titleOf = (/** @type {string} */ id) => view.places.find((/** @type {any} */ p) => p.id === id)?.title ?? id;
  const head = (/** @type {any} */ r) =>
    ui.list === 'place'
      ? titleOf(r.place)
      : r.part
        ? `${r.part} ${view.names?.find((/** @type {any} */ n) => n.part === r.part)?.says ?? ''}`.trim()
        : 'Other';
  const rows =
    ui.list === 'newest'
      ? newest(padRows(view.readings)).map((r) => row(app, r))
      : grouped(padRows(view.readings), head)
          .map(([k, rs]) => [h('li', { class: 'hs-group' }, h('h3', {}, k)), rs.map((r) => row(app, r))])
          .flat(2);
  return [
    bar,
    h('ul', { class: 'hs-readings hs-scroll', 'data-scroll': `list-${ui.list}`, tabindex: 0, 'aria-label': 'Readings' }, rows),
  ];
}

/** What stands where a figure would. @type {Record<string, string>} */
const WITHOUT = { act: 'done', incident: 'stop' };

/** @param {App} app @param {any} r */
function row(app, r) {
  const [shown, unit] = inUnits(r.shown ?? '', r.unit ?? '', app.ui.system);
  const latest = app.view.readings[app.view.readings.length - 1];
  const now = r.n === latest.n && r.fresh !== 'before';
  const value =
    shown === '' || (!unit && Number.isNaN(Number(shown)))
      ? h('small', { class: 'hs-note' }, WITHOUT[r.kind] ?? 'note')
      : h(
          'span',
          { class: `hs-value hs-${r.fresh === 'before' ? 'before' : now ? 'now' : 'since'}` },
          h('b', {}, shown),
          h('small', {}, unit),
          r.fresh === 'before' ? h('span', { class: 'hs-sr' }, ', before the last change') : null,
        );
  return h(
    'li',
    { class: `hs-reading${now ? ' hs-on' : ''}`, key: `row:${r.n}:${r.title}` },
    h('time', {}, r.clock),
    h('div', {}, h('b', {}, r.title), h('small', {}, r.sub || (shown !== '' && !unit ? shown : ''))),
    value,
  );
}

/** @param {App} app */
function plots(app) {
  const units = [
    ...new Set(
      app.view.readings
        .filter((/** @type {any} */ r) => r.shown !== '' && r.unit && !Number.isNaN(Number(r.shown)))
        .map((/** @type {any} */ r) => r.unit),
    ),
  ];
  return h(
    'div',
    { class: 'hs-scroll hs-plots', 'data-scroll': 'plots', tabindex: 0, role: 'group', 'aria-label': 'Plots of your readings' },
    units.length
      ? units.map((u) => ownPlot(app, app.view.readings, String(u)))
      : h('p', { class: 'hs-empty' }, 'Nothing to plot yet. Take two readings in one unit.'),
  );
}

/** @param {App} app */
function noteField(app) {
  const { drafts } = app.ui;
  if (app.view.closed) return null;
  const send = () => {
    const t = (drafts.note ?? '').trim();
    if (t) {
      drafts.note = '';
      app.do(line('note', word(t)));
    }
  };
  return [
    h('input', {
      type: 'text',
      key: 'note',
      class: 'hs-grow',
      'aria-label': 'A note, with the time',
      placeholder: 'Write a note, with the time',
      maxlength: 300,
      value: drafts.note ?? '',
      oninput: (/** @type {any} */ e) => {
        drafts.note = e.target.value;
      },
      onkeydown: (/** @type {any} */ e) => {
        if (e.key === 'Enter') send();
      },
    }),
    button('note:go', 'Note', send),
  ];
}
