// @ts-check
/** Bare hands: the chosen part, what is known of it, and what hands can do to it. */
import { button, h } from './dom.js';
import { actsOf, gathered } from './lists.js';
import { highlighted } from './suspects.js';
import { minutes } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app @param {boolean} short */
export function handsTray(app, short) {
  const { view, ui } = app,
    listed = highlighted(app),
    part = listed && view.parts?.[listed] ? listed : ui.chosen;
  const facts = part ? (view.parts?.[part] ?? named(view, part)) : null;
  const marked = listed === part && part !== null;
  const left = h(
    'div',
    { class: 'hs-disp hs-chosenpart' },
    part
      ? [
          h('small', {}, marked ? 'Marked by the list, right' : 'Chosen on the drawing'),
          h('h2', {}, title(part, facts)),
          h('p', { tabindex: short ? 0 : null, role: short ? 'note' : null }, (facts?.facts ?? []).join(' ') || facts?.says || ''),
        ]
      : [
          h('small', {}, 'Nothing chosen'),
          h('h2', {}, 'Bare hands'),
          h(
            'p',
            { tabindex: short ? 0 : null, role: short ? 'note' : null },
            short ? 'Press a box on the drawing.' : 'Press a box on the drawing to look at a part, work on it or lock it.',
          ),
        ],
  );
  const acts = terminals(app, part).concat(gathered(part ? actsOf(view, part) : (view.acts?.[view.place] ?? [])));
  return [left, h('div', { class: 'hs-acts' }, ui.sub ? subActs(app, short) : pages(app, acts, short ? 4 : 6))];
}

/** What the pad calls a part that is not here. @param {any} view @param {string} part */
const named = (view, part) => {
  const found = view.names?.find((/** @type {any} */ n) => n.part === part);
  return found ? { title: `${part} ${found.says}` } : null;
};

/** The mark and the words, the mark once. @param {string} part @param {any} facts */
function title(part, facts) {
  const words = facts?.title ?? '';
  return words.toLowerCase().startsWith(part.toLowerCase()) ? words : `${part} ${words}`.trim();
}

/**
 * The way to the terminals of a part whose cover is off, from the drawing of the place.
 * @param {App} app
 * @param {string|null} part
 * @returns {any[]}
 */
function terminals(app, part) {
  const own = app.here().find((x) => x.part && x.part === part);
  return own && own.id !== app.sheet()?.id ? [{ title: 'Show its terminals', sheet: own.id, minutes: 0 }] : [];
}

/** Why hands can do nothing to the chosen part. @param {App} app */
function nothing(app) {
  const { stands } = app.ui;
  return stands && stands !== app.view.place
    ? `Out of reach from here. It stands at: ${app.title(stands)}.`
    : 'Nothing for hands to do here.';
}

/** @param {App} app @param {any[]} acts @param {number} room */
function pages(app, acts, room) {
  if (!acts.length) return [h('p', { class: 'hs-none' }, app.ui.chosen ? nothing(app) : '')];
  const each = acts.length > room ? room - 1 : room,
    count = Math.ceil(acts.length / each),
    page = app.ui.page % count;
  const shown = acts.slice(page * each, page * each + each).map((a) => actButton(app, a));
  if (count > 1)
    shown.push(
      button('act:more', [h('span', {}, 'More'), h('small', {}, `${page + 1} of ${count}`)], () => app.set({ page: page + 1 }), {
        class: 'hs-act',
      }),
    );
  return shown;
}

/** @param {App} app @param {any} act */
function actButton(app, act) {
  if (act.sheet)
    return button('act:terminals', [h('span', {}, act.title), h('small', {}, 'free')], () => app.turnTo(act.sheet), {
      class: 'hs-act',
    });
  const asks = act.asks ?? (/\s[?…](\s|$)|=$/.test(act.line ?? '') ? 'value' : null);
  const go = () => (act.choices || asks ? app.set({ sub: { ...act, asks } }) : app.do(act.line));
  return button(
    `act:${act.line ?? act.title}`,
    [h('span', {}, act.title), h('small', {}, act.choices ? `${minutes(act.minutes)} ›` : minutes(act.minutes))],
    go,
    { class: 'hs-act' },
  );
}

/** One of several terminals, or a value to set. @param {App} app @param {boolean} short */
function subActs(app, short) {
  const { sub, drafts } = app.ui;
  const back = button('act:back', '‹ Back', () => app.set({ sub: null }), { class: 'hs-act hs-back-act' });
  if (sub.asks) {
    const filled = (/** @type {string} */ v) =>
      /[?…]/.test(sub.line) ? sub.line.replace(/[?…]/, v) : `${sub.line}${sub.line.endsWith('=') ? '' : ' '}${v}`;
    const send = () => {
      const v = (drafts.act ?? '').trim();
      if (v) {
        app.ui.sub = null;
        app.ui.drafts.act = '';
        app.do(filled(v));
      }
    };
    return [
      back,
      h(
        'label',
        { class: 'hs-setvalue' },
        h('span', {}, `${sub.title}${sub.asks === 'value' ? '' : `, ${sub.asks}`}`),
        h('input', {
          type: 'text',
          inputmode: 'decimal',
          key: 'act:value',
          value: drafts.act ?? '',
          oninput: (/** @type {any} */ e) => {
            drafts.act = e.target.value;
          },
          onkeydown: (/** @type {any} */ e) => {
            if (e.key === 'Enter') send();
          },
        }),
      ),
      button('act:set', 'Do it', send, { class: 'hs-btn hs-slim' }),
    ];
  }
  const many = sub.choices.map((/** @type {any} */ c) =>
    button(
      `act:${c.line}`,
      c.note === undefined ? c.short : [h('span', {}, c.short), h('small', {}, minutes(c.note))],
      () => {
        app.ui.sub = null;
        app.do(c.line);
      },
      { class: 'hs-act hs-small-act', 'aria-label': c.title },
    ),
  );
  return [
    h(
      'div',
      { class: 'hs-subacts' },
      back,
      h('span', {}, sub.terminal ? sub.title : `${sub.title}, ${minutes(sub.minutes)}: where?`),
      many,
    ),
  ];
}
