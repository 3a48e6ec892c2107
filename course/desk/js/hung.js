// @ts-check
/** Trays of what hangs on the plant by itself: the clamps and the gauges. */
import { button, h } from './dom.js';
import { dial } from './dial.js';
import { plug } from './icons.js';
import { figure } from './rows.js';
import { inUnits, line } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function clampTray(app) {
  const { hold, view } = app,
    clamps = [1, 2, 3].map(
      (n) => view.clamps?.find((/** @type {any} */ c) => c.n === n) ?? { n, terminal: null, now: null, max: null },
    );
  const shut = app.plant().shut;
  const num = (/** @type {any} */ v) => figure(v) ?? '–';
  const one = (/** @type {any} */ c) =>
    h(
      'div',
      { class: `hs-clampcell${hold.clamp === c.n && !shut ? ' hs-next-clamp' : ''}` },
      h(
        'button',
        {
          type: 'button',
          key: `clamp:${c.n}`,
          'aria-pressed': String(hold.clamp === c.n),
          onclick: () => {
            app.hold = { ...app.hold, clamp: c.n };
            app.redraw();
          },
        },
        plug(String(c.n), 'probe'),
        h(
          'span',
          {},
          h('b', {}, c.terminal ? app.named(c.terminal).short : 'not hung'),
          h('small', {}, shut ? 'stays' : hold.clamp === c.n ? 'moves next' : 'stays'),
        ),
      ),
      h('div', { class: 'hs-num' }, num(c.max), h('span', {}, 'A max')),
      h(
        'div',
        { class: 'hs-clampfoot' },
        h('small', {}, c.terminal ? `now ${num(c.now)} A` : ''),
        c.terminal
          ? button(`unclamp:${c.n}`, 'Take off', () => app.do(line('unclamp', String(c.n))), {
              class: 'hs-btn hs-slim hs-tiny',
              'aria-label': `Take off clamp ${c.n}`,
              disabled: shut,
            })
          : null,
      ),
    );
  const hung = clamps.some((c) => c.terminal);
  return [
    h('div', { class: 'hs-clamps' }, clamps.map(one)),
    h(
      'div',
      { class: 'hs-dial4 hs-one' },
      button('amps', 'Write down amps', () => app.do('amps'), { class: '', disabled: !hung }),
      button('unclamp', 'Take all off', () => app.do('unclamp'), { class: '', disabled: !hung || shut }),
      button('clear', 'Clear max', () => app.do('clear-max'), { class: '', disabled: !hung }),
    ),
  ];
}

/** @param {App} app */
export function gaugeTray(app) {
  const { hold, view, ui } = app;
  const one = (
    /** @type {string} */ side,
    /** @type {string} */ title,
    /** @type {string} */ letter,
    /** @type {number} */ top,
  ) => {
    const g = view.gauges?.[side],
      next = hold.hose === side;
    const [shown, unit] = g ? inUnits(figure(g.shown) ?? '', 'psig', ui.system) : ['–', inUnits('0', 'psig', ui.system)[1]];
    const end = ui.system === 'si' ? (side === 'high' ? 3500 : 1000) : top;
    return h(
      'div',
      { class: 'hs-gauge' },
      dial(side, g && !Number.isNaN(Number(shown)) ? Number(shown) : null, end, unit),
      h(
        'div',
        { class: 'hs-gaugeside' },
        h('small', {}, `${title}, hose ${letter}${next ? '' : ' · stays'}`),
        h('div', { class: 'hs-num' }, shown, g ? h('span', {}, unit) : null),
        g ? h('div', {}, h('b', {}, g.point), ` ${g.says ?? ''}`) : h('small', {}, 'not connected'),
        next ? h('small', { class: 'hs-accent' }, 'moves next') : null,
        h(
          'div',
          { class: 'hs-rowish' },
          g ? button(`write:${side}`, 'Read', () => app.do(line('gauge', side, g.point)), { class: 'hs-btn hs-slim' }) : null,
          g
            ? button(`ungauge:${side}`, 'Take off', () => app.do(line('ungauge', side)), {
                class: 'hs-btn hs-slim',
                'aria-label': `Take off the ${side} side hose`,
              })
            : null,
          !next
            ? button(
                `hose:${side}`,
                'Move',
                () => {
                  app.hold = { ...app.hold, hose: side };
                  app.redraw();
                },
                { class: 'hs-btn hs-slim' },
              )
            : null,
        ),
      ),
    );
  };
  return [one('high', 'High side', 'H', 500), one('low', 'Low side', 'L', 150)];
}
