// @ts-check
/** The tray under the drawing: what is in hand, where its ends are, what it reads; cautions take its place. */
import { button, choice, h } from './dom.js';
import { handsTray } from './hands.js';
import { clampTray, gaugeTray } from './hung.js';
import { icon, plug } from './icons.js';
import { TOOLS, lift, meterLine, nextTouch, pairs, rounding } from './hold.js';
import { inUnits, line, minutes, node, word } from './words.js';
import { jump } from './walk.js';

/** @typedef {import('./app.js').App} App */

const MODES = [
  { id: 'volts', title: 'Volts ac' },
  { id: 'low', title: 'Volts ac, low impedance' },
  { id: 'ohms', title: 'Ohms' },
  { id: 'round', title: 'Volts, each to each' },
];
const HOW = [
  { id: 'air', title: 'Air' },
  { id: 'packs', title: 'Between packs' },
  { id: 'pipe', title: 'Clamped on pipe' },
  { id: 'wick', title: 'Wet wick' },
];
const IDLE = { volts: 'V ac', low: 'V ac', ohms: 'Ω', round: 'V ac', insulation: 'MΩ' };

/** @param {App} app @param {boolean} short */
export function tray(app, short) {
  const { hold } = app;
  const inner =
    { meter: meterTray, insulation: meterTray, thermometer: thermoTray, clamp: clampTray, gauges: gaugeTray, hands: handsTray }[
      hold.tool
    ] ?? meterTray;
  return [...inner(app, short), shelf(app, short)];
}

/** Tools one carries, under the line that says what the next touch does. @param {App} app @param {boolean} short */
function shelf(app, short) {
  const { hold, ui } = app;
  const [say, what] = nextTouch(hold, app.plant());
  const lead =
    ['meter', 'insulation'].includes(hold.tool) && (what === 'red' || what === 'black')
      ? h('span', { class: `hs-chip hs-chip-${what}`, 'aria-hidden': 'true' }, what === 'red' ? 'R' : 'B')
      : null;
  const extra = hold.tool === 'hands' && !short ? ' · leads are lifted' : '';
  const line1 = h(
    'div',
    { class: 'hs-next', id: 'hs-next' },
    ui.typed ? typedHint(app) : [`${say} `, h('b', {}, what), extra, lead],
  );
  if (short) {
    return h(
      'div',
      { class: 'hs-shelf hs-shelf-short' },
      line1,
      h(
        'select',
        { key: 'tool', 'aria-label': 'Tool in hand', onchange: (/** @type {any} */ e) => app.pick(e.target.value) },
        TOOLS.map((t) => h('option', { value: t.id, selected: t.id === hold.tool }, t.title)),
      ),
    );
  }
  return h(
    'div',
    { class: 'hs-shelf' },
    line1,
    choice(
      'tool',
      'Tool in hand',
      TOOLS.map((t) => ({ id: t.id, title: [icon(t.id, 23), h('span', {}, t.title)] })),
      hold.tool,
      (id) => app.pick(id),
      'hs-tools',
    ),
  );
}

/** What was typed and where Enter would jump. @param {App} app */
function typedHint(app) {
  const to = jump(app.surfaceStops(), app.ui.typed);
  return [
    'Typed ',
    h('b', {}, app.ui.typed.toUpperCase()),
    to ? [' · ', h('kbd', {}, 'Enter'), ` goes to ${to.replace(/^\[\d+\]/, 'box ').split('@')[0]}`] : ' · nothing so named here',
  ].flat();
}

/** @param {App} app @param {string} label @param {any} reading @param {string} unit @param {string} foot @param {any} again */
function display(app, label, reading, unit, foot, again) {
  const [shown, sign] = reading ? inUnits(reading.shown, reading.unit, app.ui.system) : ['–', unit];
  return h(
    'div',
    { class: 'hs-disp' },
    h('small', {}, label),
    h('div', { class: `hs-num${shown.length > 5 ? ' hs-long' : ''}` }, shown, h('span', {}, sign)),
    again ?? h('small', {}, foot),
  );
}

/** @param {App} app @param {boolean} short */
function meterTray(app, short) {
  const { hold } = app,
    reading = app.meterReading(),
    both = !!meterLine(hold);
  const insulation = hold.tool === 'insulation';
  const label = insulation
    ? 'Insulation · 500 V dc'
    : hold.mode === 'ohms'
      ? 'Meter · ohms'
      : `Meter · ${hold.mode === 'low' ? 'low' : 'high'} impedance`;
  const held = app.view.held ? `${app.view.held} held in · ` : '';
  const again =
    both && !reading && !app.ui.busy
      ? button('again', 'Read', () => app.do(meterLine(hold) ?? ''), { class: 'hs-btn hs-slim hs-again' })
      : null;
  const foot = rounding(hold)
    ? hold.read
      ? 'Written on the pad, pair by pair'
      : 'Two to four points, each to each'
    : reading
      ? `${reading.line === 'prove-meter' ? 'Proving unit' : 'Red to black'} · written ${reading.clock}`
      : both
        ? 'Reading'
        : hold.leads.red && hold.leads.black
          ? 'Both leads are on one point: move one'
          : 'Both leads down make a reading';
  const cursor = short && !rounding(hold) ? cursorCell(app) : null;
  const modes = insulation
    ? [
        h(
          'div',
          { class: 'hs-dial4 hs-words' },
          h('p', {}, 'Puts 500 V on what it touches. Dead circuits only, electronics taken off.'),
        ),
      ]
    : [
        h(
          'div',
          { class: 'hs-dial4 hs-five' },
          choice('mode', 'Function of the meter', MODES, hold.mode, (id) => app.mode(id), 'hs-modes'),
          provingUnit(app),
        ),
      ];
  return [
    display(
      app,
      `${held}${label}`,
      reading,
      IDLE[/** @type {keyof typeof IDLE} */ (insulation ? 'insulation' : hold.mode)],
      foot,
      again,
    ),
    h('div', { class: 'hs-leads' }, rounding(hold) ? roundRows(app) : [leadRow(app, 'red', 'R'), leadRow(app, 'black', 'B')]),
    cursor,
    ...(short && !insulation ? [modeSelect(app)] : modes),
  ];
}

/** @param {App} app */
const modeSelect = (app) =>
  h(
    'div',
    { class: 'hs-fold' },
    h(
      'select',
      {
        key: 'modes',
        'aria-label': 'Function of the meter',
        onchange: (/** @type {any} */ e) => (e.target.value === 'prove' ? app.prove() : app.mode(e.target.value)),
      },
      MODES.map((m) => h('option', { value: m.id, selected: m.id === app.hold.mode }, m.title)),
      h('option', { value: 'prove' }, 'Proving unit · ½ min'),
    ),
  );

/** The meter on a source of one's own, so that a dead reading means dead. @param {App} app */
const provingUnit = (app) =>
  button('prove', [h('span', {}, 'Proving unit'), h('small', {}, '½ min')], () => app.prove(), { class: 'hs-prove' });

/** Where the keyboard stands and what Enter does there, for short windows. @param {App} app */
function cursorCell(app) {
  const at = app.ui.cursor;
  if (!at || at.startsWith('[')) return null;
  return h(
    'div',
    { class: 'hs-cursor' },
    h('div', {}, place(app, at)),
    h('small', {}, h('kbd', {}, 'Enter'), ` puts ${app.hold.lead} here`),
  );
}

/** "96 at F5" of a drawn point. @param {App} app @param {string} id */
function place(app, id) {
  const { part, short } = app.named(id);
  return short === node(id) ? [h('b', {}, short)] : [h('b', {}, short), ` at ${part}`];
}

/** The points of a round, and the button that reads them. @param {App} app */
function roundRows(app) {
  const { hold } = app,
    n = pairs(hold);
  const names = hold.round.length
    ? hold.round.map((id, i) => [i ? ' · ' : '', h('b', {}, app.named(id).short)]).flat()
    : ['No point yet'];
  return [
    h('p', { class: 'hs-round' }, names),
    h(
      'div',
      { class: 'hs-rowish' },
      button('round:read', n ? `Read ${n} pair${n > 1 ? 's' : ''} · ${minutes(n / 2)}` : 'Read', () => app.readRound(), {
        class: 'hs-btn hs-slim',
        disabled: !n || app.ui.busy,
      }),
      button(
        'round:clear',
        'Clear',
        () => {
          app.hold = { ...hold, round: [], read: false };
          app.redraw();
        },
        { class: 'hs-btn hs-slim', disabled: !hold.round.length },
      ),
    ),
  ];
}

/** @param {App} app @param {string} which @param {string} letter */
function leadRow(app, which, letter) {
  const at = app.hold.leads[which],
    next = app.hold.lead === which;
  const mark = () => {
    app.hold = { ...app.hold, lead: which };
    app.redraw();
  };
  return endRow(
    `lead:${which}`,
    plug(letter, which),
    at ? place(app, at) : ['not placed'],
    next,
    at ? 'touch to move' : 'in your hand',
    mark,
    at
      ? button(
          `lift:${which}`,
          'Lift',
          () => {
            app.hold = lift(app.hold, which);
            app.redraw();
          },
          { class: 'hs-btn hs-slim', 'aria-label': `Lift ${which}` },
        )
      : null,
  );
}

/**
 * @param {string} key
 * @param {Node} picture
 * @param {any[]} where
 * @param {boolean} next
 * @param {string} otherwise
 * @param {() => void} mark
 * @param {any} end
 */
function endRow(key, picture, where, next, otherwise, mark, end) {
  return h(
    'div',
    { class: `hs-lead-row${next ? ' hs-next-lead' : ''}` },
    h(
      'button',
      { type: 'button', key, 'aria-pressed': String(next), onclick: mark },
      picture,
      h('span', {}, h('span', {}, ...where), h('small', {}, next ? 'moves next' : otherwise)),
    ),
    end,
  );
}

/** @param {App} app */
function thermoTray(app) {
  const { hold, view, ui } = app;
  const of = (/** @type {string|null} */ id) =>
    id
      ? [...view.readings].reverse().find((r) => r.kind === 'temperature' && r.points?.[0] === node(id) && r.fresh !== 'before')
      : null;
  const last = hold.probe === '1' ? '2' : '1';
  const shownProbe = hold.probes[last] ? last : hold.probes[1] ? '1' : '2';
  const reading = of(hold.probes[shownProbe]);
  const row = (/** @type {string} */ n) => {
    const at = hold.probes[n],
      r = of(at);
    const text = r ? ` ${inUnits(r.shown, r.unit, ui.system).join(' ')}` : '';
    return endRow(
      `probe:${n}`,
      plug(n, 'probe'),
      at ? [h('b', {}, app.named(at).short), text] : ['not placed'],
      hold.probe === n,
      at ? 'touch to move' : 'in your hand',
      () => {
        app.hold = { ...app.hold, probe: n };
        app.redraw();
      },
      at
        ? button(
            `lift:${n}`,
            'Lift',
            () => {
              app.hold = lift(app.hold, n);
              app.redraw();
            },
            { class: 'hs-btn hs-slim', 'aria-label': `Lift probe ${n}` },
          )
        : null,
    );
  };
  const at = hold.probes[shownProbe];
  const again =
    at && !reading && !ui.busy
      ? button('again', 'Read', () => app.do(line('temp', word(node(at)), `how=${hold.how}`)), { class: 'hs-btn hs-slim hs-again' })
      : null;
  return [
    display(
      app,
      `Thermometer, probe ${shownProbe}`,
      reading,
      inUnits('0', 'F', ui.system)[1],
      reading ? `Settled · written ${reading.clock}` : 'Touch a T point to read',
      again,
    ),
    h('div', { class: 'hs-leads' }, row('1'), row('2')),
    choice(
      'how',
      'How the probe is put on',
      HOW,
      hold.how,
      (id) => {
        app.hold = { ...app.hold, how: id };
        app.redraw();
      },
      'hs-dial4',
    ),
  ];
}
