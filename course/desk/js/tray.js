// @ts-check
/** The tray under the drawing: what is in hand, where its ends are, what it reads; cautions take its place. */
import { button, choice, h } from './dom.js';
import { dial } from './dial.js';
import { handsTray } from './hands.js';
import { icon, plug } from './icons.js';
import { TOOLS, lift, meterLine, nextTouch, pairs, rounding } from './hold.js';
import { inUnits, line, minutes, node, word } from './words.js';
import { figure } from './rows.js';
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

/** @param {App} app */
function clampTray(app) {
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
function gaugeTray(app) {
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
