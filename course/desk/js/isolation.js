// @ts-check
/** Isolation: the paper form, filled from acts, and the line of what was done. Never lists what is missing. */
import { button, h } from './dom.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function isolationForm(app) {
  const iso = app.view.isolation ?? {};
  const dash = (/** @type {any} */ v) => (v === null || v === undefined || v === '' || v === false ? '–' : v);
  const box = (/** @type {any} */ x) => h('li', {}, h('span', {}, x.pair), h('b', {}, x.shown), h('small', {}, x.clock));
  const boxes = (/** @type {string} */ label, /** @type {any[]} */ list) => [
    h('h3', {}, label),
    h('ul', { class: 'hs-boxes' }, list?.length ? list.map(box) : h('li', {}, h('span', {}, '–'), h('b', {}, '–'))),
  ];
  return h(
    'div',
    { class: 'hs-iso hs-scroll', 'data-scroll': 'iso', tabindex: 0, role: 'group', 'aria-label': 'Isolation form' },
    h('h3', {}, 'Sources'),
    h(
      'table',
      {},
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          ['you named', 'off', 'lock, tag', 'tried'].map((t) => h('th', { scope: 'col' }, t)),
        ),
      ),
      h(
        'tbody',
        {},
        (iso.sources ?? []).map((/** @type {any} */ x) =>
          h(
            'tr',
            {},
            h('th', { scope: 'row' }, h('b', {}, x.part), h('small', {}, x.says)),
            ['off', 'lock', 'tried'].map((k) => h('td', {}, dash(x[k]))),
          ),
        ),
        (iso.sources ?? []).length
          ? null
          : h(
              'tr',
              {},
              h('th', { scope: 'row' }, '–'),
              ['off', 'lock', 'tried'].map(() => h('td', {}, '–')),
            ),
      ),
    ),
    button(
      'iso:name',
      'Name another source',
      () => {
        app.pick('hands');
        app.focus('drawing');
        app.say('Choose the breaker or switch on its drawing.');
        app.set({
          notice: { kind: 'said', text: 'Choose the breaker or switch on its drawing and switch it off: it is entered here.' },
        });
      },
      { class: 'hs-btn hs-dashed', disabled: app.view.closed },
    ),
    boxes('Meter on a known live point, before', iso.before),
    boxes(iso.work ? `Where you will work: ${iso.work}` : 'Where you will work', iso.dead),
    boxes('Meter on a known live point, after', iso.after),
    (iso.sources ?? []).some((/** @type {any} */ x) => x.lock)
      ? null
      : h(
          'p',
          { class: 'hs-quiet' },
          'This form is the same in every call. It fills from what you do and tells you nothing you have not done.',
        ),
  );
}

/** @param {App} app */
export function isolationFoot(app) {
  const locks = Object.keys(app.view.locks ?? {});
  const next = () => {
    const first = Object.keys(app.view.locks ?? {})[0];
    if (first) app.do(`unlock ${first}`);
  };
  if (app.view.closed) return null;
  return [
    button(
      'iso:unlock',
      locks.length > 1
        ? `Take a lock off: ${locks[0]}`
        : locks.length
          ? `Take my lock off ${locks[0]}`
          : 'No lock of yours is hung',
      next,
      { class: 'hs-btn hs-grow', disabled: !locks.length },
    ),
  ];
}

/** The line above the tray while isolating. @param {App} app */
export function isolationLine(app) {
  const iso = app.view.isolation;
  if (!iso?.active || !iso.line?.length) return null;
  return h(
    'ol',
    { class: 'hs-isoline', 'aria-label': 'Isolation so far' },
    iso.line.slice(-7).map((/** @type {any} */ x) => h('li', {}, h('time', {}, x.clock), ` ${x.text}`)),
  );
}
