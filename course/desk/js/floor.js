// @ts-check
/** The sales floor: circuits as rows; the chosen one is drawn in section beside them. */
import { h } from './dom.js';
import { inUnits } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function circuits(app) {
  const { view, ui } = app,
    sheet = app.sheet(),
    on = sheet ? app.circuit(sheet) : null;
  const unit = inUnits('0', 'F', ui.system)[1];
  const cell = (/** @type {any} */ v, /** @type {boolean} */ bold) =>
    h('td', { class: bold ? 'hs-strong' : null }, v === null || v === undefined ? '–' : inUnits(String(v), 'F', ui.system)[0]);
  const heads = [
    ['Circuit', ''],
    ['Display', unit],
    ['Your air', unit],
    ['Product', unit],
    ['at', ''],
  ];
  return h(
    'div',
    {
      class: 'hs-circuits hs-scroll',
      'data-scroll': 'circuits',
      tabindex: 0,
      role: 'group',
      'aria-label': 'Circuits of the sales floor',
    },
    h(
      'table',
      {},
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          heads.map(([a, b]) => h('th', { scope: 'col' }, a, b ? h('small', {}, b) : null)),
        ),
      ),
      h(
        'tbody',
        {},
        (view.circuits ?? [])
          .filter((/** @type {any} */ c) => c.place === view.place)
          .map((/** @type {any} */ c) =>
            h(
              'tr',
              { class: c.id === on ? 'hs-row hs-on' : 'hs-row', onclick: () => app.openCircuit(c.id) },
              h(
                'th',
                { scope: 'row' },
                h('button', { type: 'button', key: `circuit:${c.id}`, 'aria-pressed': String(c.id === on) }, c.name),
              ),
              h(
                'td',
                { class: c.over ? 'hs-strong' : null },
                c.over ? h('span', { class: 'hs-sq hs-fullsq', role: 'img', 'aria-label': 'over limit' }) : null,
                c.display === null || c.display === undefined ? '–' : inUnits(String(c.display), 'F', ui.system)[0],
              ),
              cell(c.air, true),
              cell(c.product, true),
              h('td', { class: 'hs-at' }, c.at ?? ''),
            ),
          ),
      ),
    ),
  );
}
