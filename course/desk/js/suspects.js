// @ts-check
/** Suspects: part, what is wrong, where on it. Your list; nobody else crosses it off. */
import { button, choice, h } from './dom.js';
import { matching } from './lists.js';
import { node } from './words.js';

/** @typedef {import('./app.js').App} App */
/** @typedef {{part: string|null, mode: string|null, at: string|null, typed: string, open: boolean, active: number}} Naming */

/** @returns {Naming} */
export const emptyNaming = () => ({ part: null, mode: null, at: null, typed: '', open: false, active: 0 });

/** @param {App} app */
export function suspectsPage(app) {
  const { view, ui } = app;
  if (ui.naming) return namingForm(app);
  const rows = view.suspects ?? [];
  if (!rows.length)
    return h('div', { class: 'hs-empty' }, h('p', {}, 'Nobody is suspected yet. Name the first one when you have an idea.'));
  return [
    h('p', { class: 'hs-lead-in' }, 'Your list. Nobody else crosses it off.'),
    h(
      'ul',
      { class: 'hs-suspects hs-scroll', 'data-scroll': 'suspects', tabindex: 0, 'aria-label': 'Suspects' },
      rows.map((/** @type {any} */ x) => suspectRow(app, x)),
    ),
  ];
}

/** @param {App} app @param {any} x */
function suspectRow(app, x) {
  const name = `${x.title}: ${x.words.toLowerCase()}${x.spot ? ` at ${x.spot}` : ''}`;
  return h(
    'li',
    { class: x.crossed ? 'hs-crossed' : null },
    h(
      'button',
      {
        type: 'button',
        role: 'checkbox',
        key: `cross:${x.part}:${x.mode}:${x.at ?? ''}`,
        'aria-checked': String(!!x.crossed),
        'aria-label': `Crossed off: ${name}`,
        class: 'hs-check',
        disabled: app.view.closed,
        onclick: () => app.suspect(x.crossed ? 'suspect' : 'cross', x),
      },
      h('span', { 'aria-hidden': 'true' }),
    ),
    h('div', {}, h('b', {}, name), x.why ? h('small', {}, x.why) : x.clock ? h('small', {}, x.clock) : null),
    h('small', {}, x.crossed ? 'crossed off' : 'open'),
  );
}

/** @param {App} app */
export function suspectsFoot(app) {
  const { ui, view } = app,
    n = ui.naming;
  if (view.closed) return null;
  if (!n)
    return [
      button(
        'name',
        'Name a suspect',
        () => {
          app.set({ naming: { ...emptyNaming(), open: true } });
          app.focus('combo');
        },
        { class: 'hs-btn hs-grow' },
      ),
    ];
  return [
    button('add', 'Add', () => add(app), { class: 'hs-btn hs-grow', disabled: !n.part || !n.mode }),
    h(
      'small',
      { class: 'hs-keys' },
      h('kbd', {}, '↑'),
      ' ',
      h('kbd', {}, '↓'),
      ' choose · ',
      h('kbd', {}, 'Enter'),
      ' take ',
      h('kbd', {}, 'Esc'),
      ' close',
    ),
  ];
}

/** @param {App} app */
function add(app) {
  const n = app.ui.naming;
  app.ui.naming = null;
  app.suspect('suspect', n);
}

/** @param {App} app */
function namingForm(app) {
  const n = app.ui.naming;
  return h(
    'div',
    { class: 'hs-naming hs-scroll', 'data-scroll': 'naming', tabindex: -1 },
    h(
      'div',
      { class: 'hs-naminghead' },
      h('h2', {}, 'Name a suspect'),
      button('name:no', 'Cancel', () => app.set({ naming: null }), { class: 'hs-btn hs-quietbtn' }),
    ),
    faultFields(app, n, (patch) => app.set({ naming: { ...app.ui.naming, ...patch } }), 'combo'),
  );
}

/**
 * The three fields of a fault, for a suspect and for the work order alike.
 * @param {App} app
 * @param {Naming} n
 * @param {(patch: Partial<Naming>) => void} change
 * @param {string} key
 */
export function faultFields(app, n, change, key) {
  const part = app.view.names?.find((/** @type {any} */ x) => x.part === n.part);
  return [
    h('h3', { id: `hs-${key}-1` }, '1 Part'),
    combo(app, n, change, key),
    h('h3', {}, '2 What is wrong ', h('small', {}, '· the same twelve in every call')),
    choice(
      `${key}:mode`,
      'What is wrong',
      (app.view.modes ?? []).map((/** @type {string[]} */ [id, title]) => ({
        id,
        title: title.charAt(0).toUpperCase() + title.slice(1),
      })),
      n.mode ?? '',
      (id) => change({ mode: id }),
      'hs-twelve',
    ),
    h('h3', {}, '3 Where on it'),
    part ? whereField(part, n, change, key) : h('div', { class: 'hs-waitfield' }, 'Choose a part first'),
  ];
}

/** @param {any} part @param {Naming} n @param {(patch: Partial<Naming>) => void} change @param {string} key */
function whereField(part, n, change, key) {
  const { ends } = part;
  if (!ends.length) return h('div', { class: 'hs-waitfield' }, 'The part as a whole');
  return h(
    'select',
    {
      key: `${key}:where`,
      'aria-label': 'Where on it',
      onchange: (/** @type {any} */ e) => change({ at: e.target.value || null }),
    },
    h('option', { value: '' }, 'The part as a whole'),
    ends.map((/** @type {string[]} */ [t, short]) => h('option', { value: node(t), selected: node(t) === n.at }, short)),
  );
}

/**
 * A combobox with a list of its own.
 * @param {App} app
 * @param {Naming} n
 * @param {(patch: Partial<Naming>) => void} change
 * @param {string} key
 */
function combo(app, n, change, key) {
  const all = app.view.names ?? [],
    fits = matching(all, n.typed).slice(0, 40),
    active = Math.min(n.active, fits.length - 1);
  const pick = (/** @type {any} */ x) => change({ part: x.part, typed: `${x.part} ${x.says}`, open: false, at: null, active: 0 });
  const keys = (/** @type {KeyboardEvent} */ e) => {
    if (e.key === 'ArrowDown' || e.key === 'ArrowUp') {
      e.preventDefault();
      change({ open: true, active: (active + (e.key === 'ArrowDown' ? 1 : -1) + fits.length) % Math.max(1, fits.length) });
    } else if (e.key === 'Enter' && n.open && fits[active]) {
      e.preventDefault();
      pick(fits[active]);
    } else if (e.key === 'Escape' && n.open) {
      e.preventDefault();
      e.stopPropagation();
      change({ open: false });
    }
  };
  const input = h('input', {
    type: 'text',
    role: 'combobox',
    key,
    value: n.typed,
    autocomplete: 'off',
    spellcheck: 'false',
    'aria-labelledby': `hs-${key}-1`,
    'aria-expanded': String(n.open && fits.length > 0),
    'aria-controls': `hs-${key}-list`,
    'aria-autocomplete': 'list',
    'aria-activedescendant': n.open && fits[active] ? `hs-${key}-${active}` : null,
    placeholder: 'Type a mark or a name',
    oninput: (/** @type {any} */ e) => change({ typed: e.target.value, open: true, active: 0, part: null, at: null }),
    onkeydown: keys,
    onclick: () => {
      if (!n.open) change({ open: true });
    },
  });
  const sheetsOf = (/** @type {string} */ p) =>
    (app.where[p] ?? []).map((id) => app.sheets.find((x) => x.id === id)?.number ?? null).filter((x) => x !== null);
  const where = (/** @type {string} */ p) => {
    const s = sheetsOf(p);
    return s.length ? `sheet ${s.join(', ')}` : '';
  };
  return h(
    'div',
    { class: 'hs-combo' },
    input,
    h('small', { class: 'hs-count', 'aria-live': 'polite' }, n.part ? '' : `${fits.length} of the ${all.length} you have seen`),
    h(
      'ul',
      { role: 'listbox', id: `hs-${key}-list`, 'aria-label': 'Parts', hidden: !(n.open && fits.length) },
      fits.slice(0, n.open ? 40 : 0).map((x, i) =>
        h(
          'li',
          {
            role: 'option',
            id: `hs-${key}-${i}`,
            'aria-selected': String(i === active),
            class: i === active ? 'hs-on' : null,
            onpointerdown: (/** @type {any} */ e) => {
              e.preventDefault();
              pick(x);
            },
          },
          h('b', {}, x.part),
          h('span', {}, x.says),
          h('small', {}, where(x.part)),
        ),
      ),
    ),
  );
}

/** The part under the arrow in an open list, so that the drawing can mark it. @param {App} app */
export function highlighted(app) {
  const n = app.ui.naming;
  if (!n) return null;
  if (n.part) return n.part;
  return n.open && n.typed ? (matching(app.view.names ?? [], n.typed)[n.active]?.part ?? null) : null;
}
