// @ts-check
/** The head over the surface: the place, what it gives to the senses, its sheets. */
import { button, h } from './dom.js';
import { icon } from './icons.js';
import { line } from './words.js';

/** @typedef {import('./app.js').App} App */

const SENSES = { see: 'You see', hear: 'You hear', feel: 'You feel', smell: 'You smell' };

/** @param {App} app */
export function head(app) {
  const { view, ui } = app;
  const { shut } = app.plant(),
    own = app.place()?.door;
  const door =
    own && !view.closed && !showsHistory(app) && (shut || ['clamp', 'hands'].includes(app.hold.tool))
      ? doorButton(app, own, shut)
      : null;
  return [
    h('h1', {}, showsHistory(app) ? 'Alarm history' : app.title()),
    showsHistory(app)
      ? h(
          'p',
          {},
          `${view.phase === 'dispatch' ? 'As sent with the ticket.' : 'As last read at the rack.'} `,
          h('span', { class: 'hs-sq hs-fullsq' }),
          ' still on  ',
          h('span', { class: 'hs-sq' }),
          ' came back',
        )
      : h(
          'p',
          {
            class: app.here().length > 6 || door ? 'hs-tight' : null,
            title: (view.senses ?? [])
              .map((/** @type {any} */ x) => `${SENSES[/** @type {keyof typeof SENSES} */ (x.sense)] ?? ''} ${x.text}`)
              .join('. '),
          },
          shut && !(view.senses ?? []).some((/** @type {any} */ x) => /door (is )?shut/.test(x.text))
            ? h('b', {}, 'Door is shut. ')
            : null,
          (view.senses ?? []).flatMap((/** @type {any} */ x) => [
            h('b', {}, SENSES[/** @type {keyof typeof SENSES} */ (x.sense)] ?? x.sense),
            ` ${x.text.replace(/\.?\s*$/, '.')} `,
          ]),
        ),
    door,
    sheetTabs(app, ui),
  ];
}

/** @param {App} app @param {string} door @param {boolean} shut */
function doorButton(app, door, shut) {
  return button('door', shut ? 'Open door · ½ min' : 'Shut door', () => app.do(line(shut ? 'open' : 'close', door)), {
    class: 'hs-btn hs-slim',
  });
}

/** Whether the surface shows the alarm history: before arrival, or when asked for. @param {App} app */
export const showsHistory = (app) => app.view.phase === 'dispatch' || app.ui.history;

/** @param {App} app @param {any} ui */
function sheetTabs(app, ui) {
  const { view } = app;
  if (showsHistory(app)) {
    const back =
      view.phase !== 'dispatch'
        ? button('history', 'Back to the drawing', () => app.set({ history: false }), { class: 'hs-btn hs-slim' })
        : null;
    return h(
      'div',
      { class: 'hs-right' },
      back,
      button('only', ui.onlyOn ? 'Still on' : 'All alarms', () => app.set({ onlyOn: !ui.onlyOn }), {
        class: 'hs-btn hs-slim',
        'aria-pressed': String(ui.onlyOn),
      }),
      tablist(
        app,
        'hours',
        'Span of time',
        [4, 12, 48].map((n) => ({ id: `${n}`, title: n === ui.hours ? `Last ${n} h` : `${n} h` })),
        `${ui.hours}`,
        (id) => app.set({ hours: Number(id) }),
      ),
    );
  }
  const here = app.here();
  const on = app.sheet()?.id ?? '';
  const many = here.length > 2;
  const titles = here.map((x) => ({
    id: x.id,
    title: [sheetTitle(x, x.id === on, many), locked(app, x.id) ? icon('lock', 16) : null],
    label: x.title,
  }));
  const log =
    app.place()?.log && (view.alarms ?? []).length
      ? button('history', 'Alarms', () => app.set({ history: true }), { class: 'hs-btn hs-slim' })
      : null;
  return h(
    'div',
    { class: 'hs-right' },
    log,
    here.length > 1 ? (crowded(app, here, on) ? chooser(app, here, on) : tabs(app, titles, on)) : null,
  );
}

/** @param {App} app @param {any[]} titles @param {string} on */
const tabs = (app, titles, on) => tablist(app, 'sheet', 'Drawings of this place', titles, on, (id) => app.turnTo(id));

/**
 * Whether the titles of a place's drawings need more than a row of tabs holds.
 * @param {App} app
 * @param {any[]} here
 * @param {string} on
 */
function crowded(app, here, on) {
  const wide = here.reduce((sum, x) => sum + Math.max(44, 20 + 7 * sheetTitle(x, x.id === on, true).length), 0);
  return wide > (app.place()?.log ? 560 : 640);
}

/** Many drawings: the one before, all by name, the next one. @param {App} app @param {any[]} here @param {string} on */
function chooser(app, here, on) {
  const at = here.findIndex((x) => x.id === on);
  const turn = (/** @type {string} */ key, /** @type {string} */ sign, /** @type {string} */ label, /** @type {any} */ to) =>
    button(`sheet:${key}`, sign, () => app.turnTo(to.id), { class: 'hs-btn hs-slim', 'aria-label': label, disabled: !to });
  const choose = (/** @type {any} */ e) => app.turnTo(e.target.value);
  const names = here.map((x) => {
    const shut = locked(app, x.id) ? ', locked' : '';
    return h('option', { value: x.id, selected: x.id === on }, `${sheetTitle(x, true, true)}${shut}`);
  });
  return h(
    'div',
    { class: 'hs-chooser', role: 'group', 'aria-label': 'Drawings of this place' },
    turn('before', '‹', 'Drawing before', here[at - 1]),
    h('select', { key: 'sheet', 'aria-label': 'Drawing', onchange: choose }, names),
    turn('next', '›', 'Next drawing', here[at + 1]),
  );
}

/** A numbered sheet shows its number until it is open. @param {any} sheet @param {boolean} on @param {boolean} many */
function sheetTitle(sheet, on, many) {
  if (sheet.part) return on ? sheet.title : sheet.part;
  if (!sheet.number) return sheet.title;
  return on || !many ? `Sheet ${sheet.number}: ${sheet.title}` : `${sheet.number}`;
}

/** @param {App} app @param {string} sheet */
const locked = (app, sheet) =>
  Object.keys(app.view.locks ?? {}).some((p) => (app.where[p] ?? []).includes(sheet)) && app.sheet()?.id !== sheet;

/**
 * @param {App} app
 * @param {string} key
 * @param {string} label
 * @param {{id: string, title: any, label?: string}[]} items
 * @param {string} on
 * @param {(id: string) => void} choose
 */
export function tablist(app, key, label, items, on, choose) {
  const stop = items.some((i) => i.id === on) ? on : items[0]?.id;
  return h(
    'div',
    { role: 'tablist', 'aria-label': label, class: items.length > 6 ? 'hs-sheets hs-many' : 'hs-sheets' },
    items.map((i) =>
      h(
        'button',
        {
          type: 'button',
          role: 'tab',
          key: `${key}:${i.id}`,
          'aria-selected': String(i.id === on),
          tabindex: i.id === stop ? 0 : -1,
          class: i.id === on ? 'hs-on' : null,
          title: i.label,
          'aria-label': i.label,
          onclick: () => choose(i.id),
        },
        ...[i.title].flat(),
      ),
    ),
  );
}
