// @ts-check
/** What stands over the tray: a caution, an incident, an engine that does not answer. */
import { button, h } from './dom.js';

/** @typedef {import('./app.js').App} App */

/** A caution, an incident or a dead engine takes the tray's place. @param {App} app */
export function warning(app) {
  const { ui, view } = app;
  if (ui.stopped) return stopped(app);
  if (ui.incident) {
    return panel('incident', 'Stop: somebody could have been hurt', ui.incident.text, '', [
      button('caution:no', 'Go on, made safe', () => app.set({ incident: null }), { class: 'hs-btn hs-go' }),
    ]);
  }
  const { text, line: step } = ui.caution,
    [first, ...rest] = text.split(/(?<=[.!?])\s+/);
  return panel(
    'caution',
    first.replace(/\.$/, ''),
    rest.join(' '),
    'Next touch: nothing until you choose',
    [
      button('caution:no', 'Not yet', () => app.set({ caution: null }), { class: 'hs-btn hs-go' }),
      button('caution:yes', 'Do it anyway', () => app.do(`${step} anyway=yes`), { class: 'hs-btn' }),
    ],
    view,
  );
}

/**
 * @param {string} kind
 * @param {string} title
 * @param {string} text
 * @param {string} foot
 * @param {any[]} buttons
 * @param {any} [_view]
 */
function panel(kind, title, text, foot, buttons, _view) {
  return h(
    'div',
    { class: `hs-warning hs-${kind}`, role: 'alertdialog', 'aria-labelledby': 'hs-warn-title', 'aria-describedby': 'hs-warn-text' },
    h('div', { class: 'hs-warnsign', 'aria-hidden': 'true' }, sign()),
    h(
      'div',
      { class: 'hs-warntext' },
      h('h2', { id: 'hs-warn-title' }, title),
      h('p', { id: 'hs-warn-text' }, text),
      foot ? h('small', {}, foot) : null,
    ),
    h('div', { class: 'hs-warnbtns' }, buttons),
  );
}

/** @param {App} app */
function stopped(app) {
  const n = app.view?.readings?.length ?? 0,
    at = app.view?.clock?.now ?? '';
  return h(
    'div',
    { class: 'hs-warning hs-engine', role: 'alertdialog', 'aria-labelledby': 'hs-warn-title', 'aria-describedby': 'hs-warn-text' },
    h(
      'div',
      { class: 'hs-warntext' },
      h('h2', { id: 'hs-warn-title' }, 'The desk has stopped answering'),
      h(
        'p',
        { id: 'hs-warn-text' },
        `Nothing is lost. Your ${n} entries up to ${at} are saved. Start again ` +
          'and you are back at the same place, at the same minute. If that does not help, the course itself has stopped ' +
          'on this computer: start halfsplit again and open this call from the list.',
      ),
      h('small', {}, 'Next touch: nothing'),
    ),
    h(
      'div',
      { class: 'hs-warnbtns' },
      button('caution:no', 'Start again', () => app.again(), { class: 'hs-btn hs-go' }),
    ),
  );
}

function sign() {
  const t = document.createElement('span');
  t.innerHTML =
    '<svg viewBox="0 0 64 64" width="64" height="64">' +
    '<path d="M32 8 60 56H4z" fill="none" stroke="currentColor" stroke-width="5" stroke-linejoin="round"/>' +
    '<path d="M32 25v15M32 46v5" stroke="currentColor" stroke-width="6"/></svg>';
  return t;
}
