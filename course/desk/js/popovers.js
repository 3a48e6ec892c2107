// @ts-check
/** What opens over the desk: waiting, the menu, the van's stock, help with keys, the debrief. */
import { button, h } from './dom.js';
import { clockAt, line, nightMinutes, reminderNote, word } from './words.js';
import { ticketClock } from './history.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function popover(app) {
  const { ui } = app;
  if (ui.popover === 'wait') return waitBox(app);
  if (ui.popover === 'menu') return menuBox(app);
  if (ui.popover === 'keys') return keysBox(app);
  if (ui.popover === 'van') return vanBox(app);
  return null;
}

/** @param {App} app @param {string} label @param {string} cls @param {any[]} inside */
const dialog = (app, label, cls, inside) =>
  h('div', { class: `hs-pop ${cls}`, role: 'dialog', 'aria-label': label, tabindex: -1, key: 'pop' }, inside);

/** @param {App} app */
function waitBox(app) {
  const { view, ui } = app;
  const wait = (/** @type {number} */ n) => button(`wait:${n}`, `${n} min`, () => app.do(`wait ${n}`));
  const any = () => {
    const n = (ui.drafts.wait ?? '').trim().replace(',', '.');
    ui.drafts.wait = '';
    if (n) app.do(line('wait', word(n)));
  };
  const soon = clockAt(ticketClock(view), view.clock.t + 15 * 60);
  const remind = () => {
    const at = ui.drafts.remindAt || soon,
      what = (ui.drafts.remind ?? '').trim() || 'product again';
    ui.drafts.remind = '';
    ui.drafts.remindAt = '';
    app.do(line('note', word(reminderNote(at, what))));
  };
  return dialog(app, 'Wait here', 'hs-pop-wait', [
    h('h3', {}, 'Wait here'),
    h('div', { class: 'hs-three' }, [2, 5, 15].map(wait)),
    h(
      'div',
      { class: 'hs-remind hs-any' },
      h('input', {
        type: 'text',
        inputmode: 'decimal',
        key: 'wait:any',
        'aria-label': 'Minutes to wait',
        placeholder: 'Minutes',
        value: ui.drafts.wait ?? '',
        oninput: (/** @type {any} */ e) => {
          ui.drafts.wait = e.target.value;
        },
      }),
      button('wait:go', 'Wait', any),
    ),
    button(
      'wait:notice',
      [h('span', {}, 'Until I notice something'), h('small', {}, '30 min at most')],
      () => app.do('wait until-noticed'),
      { class: 'hs-btn hs-wide' },
    ),
    h('p', {}, `You notice here: ${app.place()?.notices}. The plant goes on while you wait.`),
    h('h3', {}, 'Remind me'),
    h(
      'div',
      { class: 'hs-remind' },
      h('input', {
        type: 'text',
        key: 'remind',
        'aria-label': 'Of what',
        placeholder: 'Product again',
        value: ui.drafts.remind ?? '',
        oninput: (/** @type {any} */ e) => {
          ui.drafts.remind = e.target.value;
        },
      }),
      h('input', {
        type: 'text',
        key: 'remindAt',
        'aria-label': 'At what time',
        placeholder: soon,
        maxlength: 5,
        value: ui.drafts.remindAt ?? '',
        oninput: (/** @type {any} */ e) => {
          ui.drafts.remindAt = validClock(e.target.value) ? e.target.value : '';
        },
      }),
      button('remind:go', 'Note', remind),
    ),
  ]);
}

/** @param {string} t */
const validClock = (t) => /^([01]\d|2[0-3]):[0-5]\d$/.test(t) && nightMinutes(t) >= 0;

/** @param {App} app */
function menuBox(app) {
  const entry = (/** @type {string} */ key, /** @type {string} */ text, /** @type {() => void} */ act) =>
    button(`menu:${key}`, text, act, { class: 'hs-menuitem' });
  return dialog(app, 'Menu', 'hs-pop-menu', [
    entry('calls', 'All calls', () => app.calls()),
    app.view.closed
      ? entry('debrief', 'Debrief', () => {
          app.set({ popover: null });
          app.debrief();
        })
      : null,
    (app.view.alarms ?? []).length && app.view.phase !== 'dispatch'
      ? entry('alarms', 'Alarm history', () => app.set({ popover: null, history: true }))
      : null,
    entry('keys', 'Keys', () => {
      app.set({ popover: 'keys' });
      app.focus('pop');
    }),
    entry('full', 'Full screen', () => {
      document.documentElement.requestFullscreen?.();
      app.set({ popover: null });
    }),
    entry('leave', 'Notebook', () => {
      app.set({ popover: null });
      app.leave();
    }),
    h('p', {}, 'Training only. On a real job, local code, the maker’s instructions and a licensed person come first.'),
  ]);
}

const KEYS = [
  ['F6', 'next region: places, drawing, tray, pad'],
  ['Arrows', 'along the wire, then to the nearest point or box'],
  ['K 5 A 1, then Enter', 'jumps to a terminal or a box'],
  ['Enter', 'puts the tool there, or chooses the box'],
  ['Backspace', 'lifts what is there'],
  ['Esc', 'closes what is open'],
];

/** @param {App} app */
const keysBox = (app) =>
  dialog(app, 'Keys', 'hs-pop-menu hs-pop-keys', [
    h('h3', {}, 'Keys'),
    h(
      'dl',
      {},
      KEYS.map(([k, t]) => h('div', {}, h('dt', {}, h('kbd', {}, k)), h('dd', {}, t))),
    ),
    button('pop:close', 'Close', () => app.set({ popover: null })),
  ]);

/** @param {App} app */
function vanBox(app) {
  const { van } = app.view;
  const list = (/** @type {string} */ t, /** @type {any[]} */ items) =>
    items?.length
      ? [
          h('h3', {}, t),
          h(
            'ul',
            {},
            items.map((i) =>
              h(
                'li',
                {},
                typeof i === 'string' ? i.charAt(0).toUpperCase() + i.slice(1) : `${i.title}${i.count > 1 ? `, ${i.count}` : ''}`,
              ),
            ),
          ),
        ]
      : null;
  return dialog(app, 'What is in the van', 'hs-pop-menu hs-pop-van', [
    h('h2', {}, 'What is in the van'),
    list('Tools', van.tools),
    list('Parts', van.parts),
    button('pop:close', 'Close', () => app.set({ popover: null })),
  ]);
}

/** The debrief over the whole desk: a page of its own that may run no scripts. @param {App} app */
export function debriefPage(app) {
  if (!app.ui.debrief) return null;
  const save = () => {
    const a = document.createElement('a');
    a.href = URL.createObjectURL(new Blob([app.ui.debrief ?? ''], { type: 'text/html' }));
    a.download = `debrief-${app.view.call.id}.html`;
    a.click();
    setTimeout(() => URL.revokeObjectURL(a.href), 1000);
  };
  return h(
    'section',
    { class: 'hs-debrief', 'aria-label': 'Debrief' },
    h(
      'div',
      { class: 'hs-debriefbar' },
      h('h2', {}, `Debrief: ${app.view.call.title}`),
      button('debrief:desk', 'Back to the desk', () => {
        app.set({ debrief: null });
      }),
      button('debrief:save', 'Save page', save),
      button('debrief:calls', 'All calls', () => app.calls()),
    ),
    h('iframe', { title: 'Debrief', sandbox: '', srcdoc: app.ui.debrief, key: 'debrief:page' }),
  );
}
