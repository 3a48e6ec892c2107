// @ts-check
/** The telephone: four people, lines to ask and to tell, and what was said tonight. */
import { button, h } from './dom.js';
import { minutes } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function phonePage(app) {
  const { view, ui } = app,
    people = view.phone?.people ?? [];
  const who = people.find((/** @type {any} */ p) => p.id === ui.person) ?? people[0];
  const lines = view.phone?.lines?.[who?.id] ?? [];
  return [
    h(
      'div',
      { class: 'hs-phonehead' },
      h('h2', {}, 'Telephone'),
      button(
        'phone:close',
        'Close',
        () => {
          app.set({ phone: false });
          app.focus('key:phone');
        },
        { class: 'hs-btn hs-quietbtn' },
      ),
    ),
    h(
      'div',
      { class: 'hs-page hs-phonepage' },
      h(
        'ul',
        { class: 'hs-people', 'aria-label': 'People' },
        people.map((/** @type {any} */ p) =>
          h(
            'li',
            {},
            h(
              'button',
              {
                type: 'button',
                key: `person:${p.id}`,
                class: p.id === who?.id ? 'hs-on' : null,
                'aria-pressed': String(p.id === who?.id),
                onclick: () => app.set({ person: p.id }),
              },
              h('span', {}, h('b', {}, p.title), h('small', {}, p.sub)),
              h('small', {}, p.answers),
            ),
          ),
        ),
      ),
      h(
        'div',
        {
          class: 'hs-phonelines hs-scroll',
          'data-scroll': 'lines',
          tabindex: 0,
          role: 'group',
          'aria-label': `What to say to ${who?.title ?? 'nobody'}`,
        },
        h('h3', {}, who?.title ?? ''),
        lines.length
          ? lines.map((/** @type {any} */ l) => lineButton(app, l))
          : h('p', { class: 'hs-quiet' }, 'Nothing to ask or tell just now.'),
      ),
      h(
        'div',
        { class: 'hs-said hs-scroll', 'data-scroll': 'said', tabindex: 0, role: 'group', 'aria-label': 'Said tonight' },
        h('h3', {}, 'Said tonight'),
        (view.phone?.said ?? []).length
          ? [...view.phone.said]
              .reverse()
              .map((/** @type {any} */ x) =>
                h(
                  'p',
                  {},
                  h('time', {}, x.clock),
                  ` ${x.who ? `${x.who}: ` : ''}${x.title ? `${x.title}. ` : ''}${x.text && x.title ? `“${x.text}”` : x.text}`,
                ),
              )
          : h('p', { class: 'hs-quiet' }, 'Nothing yet. Choose whom to call and what to say.'),
      ),
    ),
  ];
}

/** @param {App} app @param {any} l */
function lineButton(app, l) {
  const [first, ...rest] = l.title.split(' ');
  return button(
    `say:${l.line}`,
    [h('span', {}, h('b', {}, first), ` ${rest.join(' ')}`), h('small', {}, minutes(l.minutes))],
    () => app.do(l.line),
    { class: 'hs-act hs-sayline', disabled: app.view.closed },
  );
}
