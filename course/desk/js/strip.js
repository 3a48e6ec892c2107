// @ts-check
/** The strip at the top: places, circuits over limit, telephone, clock, units, menu. */
import { h, s } from './dom.js';
import { icon } from './icons.js';
import { line, minutes } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function strip(app) {
  const { view, ui } = app;
  return [
    h(
      'nav',
      { class: 'hs-walk', 'aria-label': 'Places' },
      view.places.map((/** @type {any} */ p, /** @type {number} */ i) => [i ? h('span', { class: 'hs-leg' }) : null, stop(app, p)]),
    ),
    h(
      'div',
      { class: 'hs-food' },
      bars(view.circuits ?? []),
      h(
        'div',
        {},
        h('div', {}, h('b', {}, `${view.over?.count ?? 0} of ${view.over?.of ?? 0}`), ' circuits over limit'),
        h('small', {}, seen(view)),
      ),
    ),
    h(
      'button',
      {
        type: 'button',
        class: `hs-cell hs-phone${ui.phone ? ' hs-open' : ''}`,
        key: 'phone',
        'aria-expanded': String(ui.phone),
        onclick: () => app.set({ phone: !ui.phone, popover: null }),
      },
      icon('phone', 22),
      h('small', {}, 'Phone'),
    ),
    h(
      'button',
      {
        type: 'button',
        class: `hs-cell hs-clock${ui.popover === 'wait' ? ' hs-open' : ''}`,
        key: 'clock',
        'aria-haspopup': 'dialog',
        'aria-expanded': String(ui.popover === 'wait'),
        disabled: view.closed,
        'aria-label': `${view.clock.now}, ${view.clock.note}. Wait`,
        onclick: () => app.set({ popover: ui.popover === 'wait' ? null : 'wait' }),
      },
      h('span', {}, h('b', {}, view.clock.now), h('span', { class: 'hs-down' }, ' ▾')),
      h('small', {}, ui.stopped ? 'clock is stopped' : view.clock.note),
    ),
    h(
      'button',
      {
        type: 'button',
        class: 'hs-cell hs-units',
        key: 'units',
        onclick: () => app.set({ system: ui.system === 'si' ? 'field' : 'si' }),
      },
      h('b', {}, ui.system === 'si' ? 'kPa · °C' : 'psig · °F'),
      h('small', {}, ui.system === 'si' ? 'switch to field' : 'switch to SI'),
    ),
    h(
      'button',
      {
        type: 'button',
        class: `hs-cell hs-menu${ui.popover === 'menu' ? ' hs-open' : ''}`,
        key: 'menu',
        'aria-haspopup': 'dialog',
        'aria-expanded': String(ui.popover === 'menu'),
        onclick: () => app.set({ popover: ui.popover === 'menu' ? null : 'menu' }),
      },
      'Menu',
    ),
  ];
}

/** @param {any} view */
const seen = (view) =>
  view.over?.seen
    ? /at/.test(view.over.seen)
      ? view.over.seen
      : `${view.phase === 'dispatch' ? 'sent' : 'seen'} at ${view.over.seen}`
    : 'not looked yet';

/** @param {App} app @param {any} place */
function stop(app, place) {
  const here = place.here ?? place.id === app.view.place;
  const note = here ? 'you are here' : minutes(place.minutes);
  return h(
    'button',
    {
      type: 'button',
      class: `hs-stop${here ? ' hs-here' : ''}`,
      key: `go:${place.id}`,
      'aria-current': here ? 'location' : null,
      disabled: app.view.closed,
      onclick: () => (here ? app.set({ history: false }) : app.do(line('go', place.id))),
    },
    h('span', {}, place.title),
    h('small', {}, note),
  );
}

/** One bar per circuit: hollow at or under its limit, filled over it, a stub while unknown. @param {any[]} circuits */
function bars(circuits) {
  const top = 40,
    foot = 48,
    step = Math.min(17, 204 / Math.max(1, circuits.length));
  const limitY = 31;
  const bar = (/** @type {any} */ c, /** @type {number} */ i) => {
    const value = c.display ?? c.air;
    const over = c.over === true;
    const rise =
      value === null || value === undefined ? -14 : Math.max(-11, Math.min(14, (value - c.limit) * 1.3 + (over ? 2 : -1)));
    const y = limitY - rise;
    return s('rect', { x: 2 + i * step, y, width: step * 0.7, height: foot - y, class: over ? 'hs-bar-over' : 'hs-bar' });
  };
  const width = circuits.length * step + 2;
  return s(
    'svg',
    { class: 'hs-bars', viewBox: `0 ${foot - top - 4} ${width} ${top + 6}`, width, height: top + 6, 'aria-hidden': 'true' },
    circuits.map(bar),
    s('path', { d: `M0 ${limitY}H${width}`, class: 'hs-limit' }),
  );
}
