// @ts-check
/** The work order: what failed and why, how it is known, what was done, how it is left, who was told. */
import { button, h } from './dom.js';
import { emptyNaming, faultFields } from './suspects.js';
import { padRows } from './rows.js';
import { inUnits, line, word } from './words.js';

/** @typedef {import('./app.js').App} App */

/** @param {App} app */
export function orderPage(app) {
  const { view, ui } = app;
  if (ui.picks.cause) return causeForm(app);
  const fields = view.order?.fields ?? [];
  return h(
    'div',
    { class: 'hs-order hs-scroll', 'data-scroll': 'order', tabindex: -1 },
    causeRow(app),
    fields.map((/** @type {any} */ f) => (f.id === 'evidence' ? evidence(app, f) : fieldRow(app, f))),
  );
}

/** @param {App} app */
function causeRow(app) {
  const { cause } = app.view.order ?? {};
  const says = new Map(app.view.names?.map((/** @type {any} */ n) => [n.part, `${n.part} ${n.says}`])),
    modes = new Map(app.view.modes ?? []);
  const words = (/** @type {any} */ c) =>
    [says.get(c.part) ?? c.part, `${modes.get(c.mode) ?? c.mode}`.toLowerCase(), c.spot ? `at ${c.spot}` : '']
      .filter(Boolean)
      .join(' · ');
  const open = (/** @type {string} */ what) =>
    app.set({ picks: { ...app.ui.picks, cause: { what, ...emptyNaming(), ...(what === 'why' ? {} : pickOf(cause)) } } });
  const reason = cause?.why === 'unknown' ? 'Not found out' : cause?.why ? words(cause.because) : null;
  return [
    h(
      'div',
      { class: 'hs-field' },
      h('b', {}, 'What failed'),
      h(
        'div',
        {},
        button('cause', [cause ? words(cause) : 'Choose part and fault', h('span', {}, '▾')], () => open('what'), {
          class: 'hs-btn hs-pick',
          disabled: app.view.closed,
        }),
      ),
    ),
    h(
      'div',
      { class: 'hs-field' },
      h('b', {}, 'Caused by'),
      h(
        'div',
        {},
        button('cause:why', [reason ?? 'Choose what made it fail, if anything', h('span', {}, '▾')], () => open('why'), {
          class: 'hs-btn hs-pick',
          disabled: !cause || app.view.closed,
        }),
      ),
    ),
  ];
}

/** @param {any} c */
const pickOf = (c) => (c ? { part: c.part, mode: c.mode, at: c.at ?? null, typed: c.title ?? c.part } : {});

/** @param {App} app */
function causeForm(app) {
  const c = app.ui.picks.cause,
    title = c.what === 'why' ? 'What made it fail' : 'What failed';
  const change = (/** @type {any} */ patch) => app.set({ picks: { ...app.ui.picks, cause: { ...app.ui.picks.cause, ...patch } } });
  const done = (/** @type {any} */ form) => {
    app.ui.picks = { ...app.ui.picks, cause: null };
    app.do(causeLine(app.view.order?.cause, form));
  };
  const next = () =>
    app.set({
      picks: { ...app.ui.picks, cause: { what: 'why', ...emptyNaming(), failed: { part: c.part, mode: c.mode, at: c.at } } },
    });
  const crossed = new Set(
    (app.view.suspects ?? []).filter((/** @type {any} */ s) => s.crossed).map((/** @type {any} */ s) => `${s.part}:${s.mode}`),
  );
  const mine = (app.view.suspects ?? []).filter((/** @type {any} */ s) => !crossed.has(`${s.part}:${s.mode}`)).slice(0, 4);
  return h(
    'div',
    { class: 'hs-naming hs-scroll', 'data-scroll': 'cause', tabindex: -1 },
    h(
      'div',
      { class: 'hs-naminghead' },
      h('h2', {}, title),
      button('cause:no', 'Cancel', () => change2(app), { class: 'hs-btn hs-quietbtn' }),
    ),
    mine.length
      ? h(
          'div',
          { class: 'hs-mine', role: 'group', 'aria-label': 'Your suspects' },
          mine.map((/** @type {any} */ s) =>
            button(
              `cause:mine:${s.part}:${s.mode}`,
              `${s.part} ${s.words}`,
              () => change({ part: s.part, mode: s.mode, at: s.at ?? null, typed: s.title, open: false }),
              { class: 'hs-btn hs-slim' },
            ),
          ),
        )
      : null,
    faultFields(app, c, change, 'causecombo'),
    h(
      'div',
      { class: 'hs-rowish' },
      button('cause:done', 'Write it down', () => done(c), { class: 'hs-btn hs-go', disabled: !c.part || !c.mode }),
      c.what === 'why'
        ? button('cause:unknown', 'Not found out', () => done({ ...c, unknown: true }))
        : button('cause:next', 'And what made it fail ›', next, { disabled: !c.part || !c.mode }),
    ),
  );
}

/** @param {App} app */
const change2 = (app) => app.set({ picks: { ...app.ui.picks, cause: null } });

/** The step that names the cause, with its reason. @param {any} cause the one named so far @param {any} c */
export function causeLine(cause, c) {
  const fault = (/** @type {any} */ x) => [x.part, x.mode, x.at].filter(Boolean).join(':');
  const failed = c.failed ?? cause;
  if (c.what === 'why')
    return line(
      'cause',
      word(failed.part),
      failed.mode,
      failed.at ? `at=${word(failed.at)}` : '',
      `why=${c.unknown ? 'unknown' : word(fault(c))}`,
    );
  const why = cause?.why ? `why=${word(typeof cause.why === 'object' ? fault(cause.why) : cause.why)}` : '';
  return line('cause', word(c.part), c.mode, c.at ? `at=${word(c.at)}` : '', why);
}

/** @param {App} app @param {any} f */
function fieldRow(app, f) {
  const { drafts } = app.ui,
    key = `order:${f.id}`,
    closed = app.view.closed,
    long = ['why', 'did', 'left'].includes(f.id);
  const send = (/** @type {string} */ v) => {
    if (v.trim() !== (f.value ?? '')) app.do(line('order', f.id, word(v.trim() || '-')));
  };
  const label = h('label', { for: `hs-${key}` }, h('b', {}, f.title));
  if (f.choices) {
    return h(
      'div',
      { class: 'hs-field' },
      label,
      h(
        'div',
        {},
        h(
          'select',
          { id: `hs-${key}`, key, disabled: closed, onchange: (/** @type {any} */ e) => send(e.target.value) },
          h('option', { value: '' }, 'Choose'),
          f.choices.map((/** @type {any} */ c) => {
            const [id, t] = Array.isArray(c) ? c : [c, c];
            return h('option', { value: id, selected: f.value === id || f.value === t }, t);
          }),
        ),
      ),
    );
  }
  const props = {
    id: `hs-${key}`,
    key,
    disabled: closed,
    value: drafts[key] ?? f.value ?? '',
    oninput: (/** @type {any} */ e) => {
      drafts[key] = e.target.value;
    },
    onchange: (/** @type {any} */ e) => {
      const v = e.target.value;
      delete drafts[key];
      send(v);
    },
  };
  const usual =
    (f.offers ?? []).length && !closed
      ? h(
          'select',
          {
            key: `${key}:usual`,
            class: 'hs-usual',
            'aria-label': `Usual words for: ${f.title}`,
            onchange: (/** @type {any} */ e) => {
              if (e.target.value) {
                delete drafts[key];
                send(e.target.value);
              }
            },
          },
          h('option', { value: '' }, 'Usual'),
          f.offers.map((/** @type {string} */ t) => h('option', { value: t }, t)),
        )
      : null;
  return h(
    'div',
    { class: 'hs-field' },
    label,
    h('div', {}, h(long ? 'textarea' : 'input', { ...props, ...(long ? { rows: 2 } : { type: 'text' }) }), usual),
  );
}

/** Readings pinned to the order as proof, by their numbers. @param {App} app @param {any} f */
function evidence(app, f) {
  const { view, ui } = app,
    pinned = String(f.value ?? '')
      .split(/[\s,]+/)
      .filter((x) => /^\d+$/.test(x))
      .map(Number);
  const of = (/** @type {number} */ n) => view.readings.find((/** @type {any} */ r) => r.n === n);
  const send = (/** @type {number[]} */ list) => app.do(line('order', 'evidence', word(list.join(' ') || '-')));
  const chip = (/** @type {number} */ n) => {
    const r = of(n);
    return r
      ? h(
          'li',
          {},
          h('span', {}, r.title),
          h('b', {}, r.shown ? inUnits(r.shown, r.unit, ui.system).join(' ') : r.sub),
          h('small', {}, r.clock),
          view.closed
            ? null
            : h(
                'button',
                {
                  type: 'button',
                  key: `unpin:${n}`,
                  'aria-label': `Take off ${r.title}`,
                  onclick: () => send(pinned.filter((x) => x !== n)),
                },
                '×',
              ),
        )
      : null;
  };
  const rest = padRows(view.readings)
    .reverse()
    .filter((/** @type {any} */ r) => !pinned.includes(r.n) && !['pad', 'time'].includes(r.kind))
    .slice(0, 80);
  return h(
    'div',
    { class: 'hs-field' },
    h('b', {}, f.title),
    h(
      'div',
      { class: 'hs-evidence' },
      h('ul', { class: 'hs-boxes' }, pinned.map(chip)),
      view.closed
        ? null
        : h(
            'select',
            {
              key: 'evidence',
              'aria-label': 'Add a reading as proof',
              onchange: (/** @type {any} */ e) => e.target.value && send([...pinned, Number(e.target.value)]),
            },
            h('option', { value: '' }, '+ reading'),
            rest.map((/** @type {any} */ r) =>
              h('option', { value: r.n }, `${r.clock} ${r.title} ${r.shown || r.sub} ${r.shown ? r.unit : ''}`),
            ),
          ),
    ),
  );
}

/** @param {App} app */
export function orderFoot(app) {
  const { view, ui } = app,
    open = view.open ?? [];
  if (view.closed)
    return [
      h('small', { class: 'hs-grow' }, 'Closed out. The pad stays as you left it.'),
      button('debrief', 'Debrief', () => app.debrief(), { class: 'hs-btn hs-go' }),
    ];
  if (ui.picks.sure) {
    return [
      h('small', { class: 'hs-grow', role: 'alert' }, 'Close out for good? Nothing can be changed afterwards.'),
      button('close:no', 'Not yet', () => app.set({ picks: { ...ui.picks, sure: false } }), { class: 'hs-btn' }),
      button(
        'close:yes',
        'Close out',
        () => {
          ui.picks.sure = false;
          app.do('close-out');
        },
        { class: 'hs-btn hs-go' },
      ),
    ];
  }
  return [
    h(
      'small',
      { class: 'hs-grow' },
      open.length ? `Open: ${open.join(', ')}.` : 'Nothing is left empty.',
      h('br'),
      'Closing out ends the call for good.',
    ),
    button('close', 'Close out', () => {
      app.set({ picks: { ...ui.picks, sure: true } });
      app.focus('key:close:no');
    }),
  ];
}
