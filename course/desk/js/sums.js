// @ts-check
/** Sums: one worksheet per question, from the trainee's own readings; the pressure card beneath. */
import { button, choice, h } from './dom.js';
import { cardRows, usable } from './lists.js';
import { stepUnit } from './rows.js';
import { inUnits, line, unitSign, word } from './words.js';

/** @typedef {import('./app.js').App} App */

/** The left list of a spread. @param {App} app */
export function sumsPage(app) {
  const { view, ui } = app,
    on = ui.question ?? view.questions?.[0]?.id;
  if (!(view.questions ?? []).length) return h('div', { class: 'hs-empty' }, h('p', {}, 'This call asks for no sums.'));
  return h(
    'div',
    { class: 'hs-sums' },
    h(
      'ul',
      { class: 'hs-sumlist', 'aria-label': 'Sums' },
      view.questions.map((/** @type {any} */ q, /** @type {number} */ i) => item(app, q, i, q.id === on)),
    ),
    worksheet(app, view.questions.find((/** @type {any} */ q) => q.id === on) ?? view.questions[0]),
  );
}

/** @param {App} app @param {any} q @param {number} i @param {boolean} on */
function item(app, q, i, on) {
  const note = q.answer ? `${q.answer.value} ${unitSign(q.answer.unit ?? q.unit)}` : on ? 'working' : 'not started';
  return h(
    'li',
    {},
    h(
      'button',
      {
        type: 'button',
        key: `q:${q.id}`,
        class: on ? 'hs-on' : null,
        'aria-current': on ? 'true' : null,
        onclick: () => app.set({ question: q.id }),
      },
      h('span', { class: q.answer ? 'hs-num1 hs-done' : 'hs-num1', 'aria-hidden': 'true' }, q.answer ? '✓' : i + 1),
      h('span', {}, h('b', {}, q.title), h('small', {}, note)),
    ),
  );
}

/** @param {App} app @param {any} q */
function worksheet(app, q) {
  const { drafts } = app.ui,
    key = `sum:${q.id}`,
    closed = app.view.closed;
  const text = drafts[key] ?? (q.answer ? String(q.answer.value) : '');
  const keep = () => {
    const v = (drafts[key] ?? '').trim().replace(',', '.');
    if (v && !Number.isNaN(Number(v))) app.do(line('answer', q.id, v, word(stepUnit(q))));
    else
      app.set({ notice: { kind: 'refused', text: 'A sum is kept as a plain number: write it with a point, without its unit.' } });
  };
  return h(
    'div',
    { class: 'hs-worksheet hs-scroll', 'data-scroll': 'worksheet', tabindex: -1 },
    h('h2', {}, q.asks ?? q.title),
    h('small', {}, 'From your own readings. Checked after close-out.'),
    (q.needs ?? []).map((/** @type {any} */ n, /** @type {number} */ i) => need(app, q, n, i)),
    h(
      'div',
      { class: 'hs-sumrow hs-result' },
      h('label', { for: `hs-${key}` }, q.title),
      h(
        'div',
        { class: 'hs-answer' },
        h('input', {
          type: 'text',
          inputmode: 'decimal',
          id: `hs-${key}`,
          key,
          value: text,
          disabled: closed,
          oninput: (/** @type {any} */ e) => {
            drafts[key] = e.target.value;
          },
          onkeydown: (/** @type {any} */ e) => {
            if (e.key === 'Enter') keep();
          },
        }),
        h('span', {}, unitSign(q.unit)),
      ),
      button(`${key}:keep`, 'Keep', keep, { disabled: closed }),
    ),
    card(app),
  );
}

/**
 * A line of the worksheet: a reading of one's own, or a number from the card or a plate.
 * @param {App} app
 * @param {any} q
 * @param {any} n
 * @param {number} i
 */
function need(app, q, n, i) {
  const key = `${q.id}/${i}`,
    list = usable(app.view.readings ?? [], n.kind),
    { picks, drafts } = app.ui;
  if (!list.length && ['pressure', 'temperature', 'amps', 'volts', 'ohms'].includes(n.kind))
    return h(
      'div',
      { class: 'hs-sumrow' },
      h('span', {}, n.label),
      h('span', { class: 'hs-quiet' }, `No ${n.kind} on your pad yet.${n.hint ? ` ${n.hint}` : ''}`),
    );
  if (!list.length || n.kind === 'card') {
    return h(
      'div',
      { class: 'hs-sumrow' },
      h('label', { for: `hs-need-${key}` }, n.label),
      h('input', {
        type: 'text',
        inputmode: 'decimal',
        id: `hs-need-${key}`,
        key: `need:${key}`,
        value: drafts[`need:${key}`] ?? '',
        placeholder: n.hint ?? '',
        oninput: (/** @type {any} */ e) => {
          drafts[`need:${key}`] = e.target.value;
        },
      }),
    );
  }
  const chosen = list.find((r) => r.n === picks[key]);
  if (!chosen || picks[`${key}/open`]) {
    const set = (/** @type {any} */ e) => {
      const v = Number(e.target.value);
      app.set({
        picks: { ...picks, [key]: v, [`${key}/open`]: false },
        card: n.kind === 'pressure' ? Number(list.find((r) => r.n === v)?.shown) || app.ui.card : app.ui.card,
      });
    };
    return h(
      'div',
      { class: 'hs-sumrow' },
      h('label', { for: `hs-need-${key}` }, n.label),
      h(
        'select',
        { id: `hs-need-${key}`, key: `need:${key}`, onchange: set },
        h('option', { value: '' }, 'Choose one of your readings'),
        list.map((r) =>
          h(
            'option',
            { value: r.n, selected: r.n === picks[key] },
            `${r.clock} ${r.title} ${inUnits(r.shown, r.unit, app.ui.system).join(' ')}`,
          ),
        ),
      ),
    );
  }
  const [shown, unit] = inUnits(chosen.shown, chosen.unit, app.ui.system);
  return h(
    'div',
    { class: 'hs-sumrow' },
    h('span', {}, n.label),
    h('span', { class: 'hs-picked' }, h('b', {}, shown), ` ${unit}`),
    h('small', {}, `${chosen.points?.[0] ?? chosen.title} · ${chosen.clock}`),
    button(`need:${key}:change`, 'Change', () => app.set({ picks: { ...picks, [`${key}/open`]: true } }), {
      class: 'hs-btn hs-quietbtn',
    }),
  );
}

/** @param {App} app */
function card(app) {
  const { view, ui } = app,
    one = view.cards.find((/** @type {any} */ c) => c.refrigerant === ui.refrigerant) ?? view.cards[0];
  if (!one) return null;
  const near = [50, 180, 300],
    at = near.reduce((a, b) => (Math.abs(b - ui.card) < Math.abs(a - ui.card) ? b : a));
  const conv = (/** @type {number} */ v, /** @type {string} */ u) => {
    const s = inUnits(v.toFixed(u === 'psig' ? 0 : 1), u, ui.system);
    return s[0];
  };
  const [pu, tu] = [inUnits('0', 'psig', ui.system)[1], inUnits('0', 'F', ui.system)[1]];
  return h(
    'div',
    { class: 'hs-card' },
    h(
      'div',
      { class: 'hs-cardhead' },
      h('h3', {}, `Pressure card, ${one.refrigerant}`),
      others(app, one),
      choice(
        'card',
        'Part of the card',
        near.map((n) => ({ id: `${n}`, title: `${n}` })),
        `${at}`,
        (id) => app.set({ card: Number(id) }),
        'hs-seg',
      ),
    ),
    h(
      'table',
      {},
      h(
        'thead',
        {},
        h(
          'tr',
          {},
          [pu, `dew ${tu}`, `bubble ${tu}`].map((t) => h('th', { scope: 'col' }, t)),
        ),
      ),
      h(
        'tbody',
        {},
        cardRows(one.rows, ui.card, 7).map((r) =>
          h('tr', {}, h('th', { scope: 'row' }, conv(r[0], 'psig')), h('td', {}, conv(r[1], 'F')), h('td', {}, conv(r[2], 'F'))),
        ),
      ),
    ),
  );
}

/** Which refrigerant's card, where a store has several. @param {App} app @param {any} one */
function others(app, one) {
  const titles = app.view.cards.map((/** @type {any} */ c) => ({ id: c.refrigerant, title: c.refrigerant }));
  return titles.length > 1
    ? choice('refrigerant', 'Refrigerant', titles, one.refrigerant, (id) => app.set({ refrigerant: id }), 'hs-seg')
    : null;
}
