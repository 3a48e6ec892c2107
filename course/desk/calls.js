// @ts-check
/** The list of calls: what the store says, level, time, skills, own best mark. Data from `api/calls`. */

export {};

const LEVELS = /** @type {Record<string, string>} */ ({ first: 'First nights', own: 'On your own', hard: 'Hard' });

/**
 * @type {{calls: any[], preparing: any, gate: string, scored: string[][], level: string, short: boolean, skill: string,
 *   chosen: string|null}}
 */
const state = {
  calls: [],
  preparing: { ready: false, begun: 0 },
  gate: '',
  scored: [],
  level: 'all',
  short: false,
  skill: '',
  chosen: null,
};

/** @param {string} tag @param {Record<string, any>} [props] @param {...any} children */
function h(tag, props = {}, ...children) {
  const node = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (v === null || v === undefined || v === false) continue;
    if (k.startsWith('on')) node.addEventListener(k.slice(2), v);
    else node.setAttribute(k, v === true ? '' : String(v));
  }
  node.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

/** @param {string} id */
const at = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** The open call first, then easiest and shortest. @param {any[]} calls */
const ordered = (calls) => [...calls].sort((a, b) => Number(b.state === 'open') - Number(a.state === 'open'));

const shown = () =>
  ordered(state.calls).filter(
    (c) =>
      (state.level === 'all' || c.level === state.level) &&
      (!state.short || c.minutes <= 40) &&
      (!state.skill || (c.skills ?? []).includes(state.skill)),
  );

/** @param {string} label @param {[string, string][]} choices @param {string} on @param {(id: string) => void} choose */
function choice(label, choices, on, choose) {
  const step = (/** @type {KeyboardEvent} */ e) => {
    const way = { ArrowRight: 1, ArrowLeft: -1 }[e.key];
    if (!way) return;
    e.preventDefault();
    const next = choices[(choices.findIndex(([id]) => id === on) + way + choices.length) % choices.length][0];
    choose(next);
    /** @type {HTMLElement|null} */ (document.querySelector(`[data-key="${label}:${next}"]`))?.focus();
  };
  return h(
    'div',
    { role: 'radiogroup', 'aria-label': label, class: 'hs-seg', onkeydown: step },
    choices.map(([id, title]) =>
      h(
        'button',
        {
          type: 'button',
          role: 'radio',
          'aria-checked': String(id === on),
          tabindex: id === on ? 0 : -1,
          'data-key': `${label}:${id}`,
          onclick: () => choose(id),
        },
        title,
      ),
    ),
  );
}

/** A mark in the words of list, ticket and debrief. @param {any} c */
function mark(c) {
  if (c.state === 'open') return [h('b', { class: 'hs-goon' }, 'Go on'), h('small', {}, 'begun')];
  if (!c.best) return [h('b', {}, '–'), h('small', {}, c.state === 'closed' ? 'closed, not graded yet' : 'not tried')];
  const why = c.best.passed ? 'passed' : `not passed${c.best.why ? `: ${c.best.why}` : ''}`;
  return [h('b', {}, Number(c.best.score.toFixed?.(1) ?? c.best.score)), h('small', {}, why)];
}

function draw() {
  const focus = /** @type {any} */ (document.activeElement)?.dataset?.key ?? null;
  const rows = shown(),
    chosen = rows.find((c) => c.id === state.chosen) ?? rows[0] ?? null;
  const skills = [...new Set(state.calls.flatMap((c) => c.skills ?? []))].sort();
  at('count').textContent =
    `${rows.length} of ${state.calls.length} calls${rows[0]?.state === 'open' ? ', the open one first' : ''}`;
  const set = (/** @type {Partial<typeof state>} */ patch) => {
    Object.assign(state, patch);
    draw();
  };
  at('filters').replaceChildren(
    choice('Level', [['all', 'All levels'], ...Object.entries(LEVELS)], state.level, (level) => set({ level })),
    choice(
      'Time',
      [
        ['any', 'Any time'],
        ['short', 'Under 40 min'],
      ],
      state.short ? 'short' : 'any',
      (id) => set({ short: id === 'short' }),
    ),
    h(
      'select',
      { 'aria-label': 'Skill', 'data-key': 'skill', onchange: (/** @type {any} */ e) => set({ skill: e.target.value }) },
      h('option', { value: '' }, 'Any skill'),
      skills.map((s) => h('option', { value: s, selected: s === state.skill }, s)),
    ),
  );
  at('table').replaceChildren(
    rows.length
      ? table(rows, chosen, (id) => set({ chosen: id }))
      : h('p', { class: 'hs-empty' }, 'No call fits these filters. Choose all levels and any time.'),
  );
  detail(chosen);
  if (focus)
    /** @type {HTMLElement|null} */ (document.querySelector(`[data-key="${CSS.escape(focus)}"]`))?.focus({ preventScroll: true });
}

/** @param {any[]} rows @param {any} chosen @param {(id: string) => void} choose */
function table(rows, chosen, choose) {
  const head = ['What the store says', 'Level', 'Time', 'Skills', 'Your best of 100'];
  return h(
    'table',
    {},
    h(
      'thead',
      {},
      h(
        'tr',
        {},
        head.map((t) => h('th', { scope: 'col' }, t)),
      ),
    ),
    h(
      'tbody',
      {},
      rows.map((c) =>
        h(
          'tr',
          { class: c === chosen ? 'hs-on' : null, onclick: () => choose(c.id), ondblclick: () => window.location.assign(c.url) },
          h('td', {}, h('button', { type: 'button', 'data-key': `call:${c.id}`, 'aria-pressed': String(c === chosen) }, c.title)),
          h('td', {}, LEVELS[c.level] ?? c.level),
          h('td', {}, `${c.minutes} min`),
          h('td', { class: 'hs-skills' }, (c.skills ?? []).join(', ')),
          h('td', {}, mark(c)),
        ),
      ),
    ),
  );
}

/** Where a call cannot be taken yet: how far the simulator is. @param {any} p */
function waiting(p) {
  if (p.failed) return h('p', { role: 'alert' }, p.failed);
  if (!p.begun) return h('p', { role: 'status' }, 'Looking whether the simulator is ready.');
  return h(
    'div',
    { class: 'hs-wait' },
    h('progress', { max: p.of, value: p.begun - 0.5, 'aria-label': 'Preparing the simulator' }),
    h(
      'p',
      { role: 'status' },
      `Preparing the simulator, once for this computer: part ${p.begun} of ${p.of}, ${p.part}. Read the tickets meanwhile.`,
    ),
  );
}

/** Ask until it is ready, or failed. */
async function watch() {
  for (let last = ''; ; ) {
    try {
      const answer = await fetch('api/preparing', { headers: { Accept: 'application/json' } });
      if (!answer.ok) throw new Error(String(answer.status));
      state.preparing = await answer.json();
    } catch {
      state.preparing = {
        ready: false,
        begun: 0,
        failed: 'The course does not answer. Start halfsplit again, then load this page again.',
      };
    }
    const rows = shown(),
      chosen = rows.find((c) => c.id === state.chosen) ?? rows[0];
    const now = JSON.stringify(state.preparing);
    if (chosen && now !== last) foot(chosen);
    last = now;
    if (state.preparing.ready || state.preparing.failed) return;
    await new Promise((done) => setTimeout(done, 700));
  }
}

/** @param {any} c */
function detail(c) {
  if (!c) {
    at('detail').replaceChildren();
    at('go').replaceChildren();
    return;
  }
  const begun =
    { open: 'Your call, begun', closed: 'Your call, closed out', new: 'Not begun' }[/** @type {string} */ (c.state)] ?? '';
  at('detail').replaceChildren(
    h('small', {}, begun),
    h('h2', {}, c.title),
    h('p', { class: 'hs-says' }, c.ticket.says ? `“${c.ticket.says}”` : ''),
    h(
      'dl',
      {},
      [
        ['From', c.ticket.who],
        ['Way in', c.ticket.access],
        ['Weather', c.ticket.weather_says],
      ].map(([t, d]) => d && h('div', {}, h('dt', {}, t), h('dd', {}, d))),
      h('div', {}, h('dt', {}, 'Time'), h('dd', {}, `about ${c.minutes} min of yours`)),
      h('div', {}, h('dt', {}, 'Level'), h('dd', {}, LEVELS[c.level] ?? c.level)),
      h('div', {}, h('dt', {}, 'Skills'), h('dd', {}, (c.skills ?? []).join(', '))),
      c.best ? h('div', {}, h('dt', {}, 'Best'), h('dd', {}, mark({ ...c, state: 'closed' }))) : null,
    ),
    h('h3', {}, 'What is scored'),
    h(
      'div',
      { class: 'hs-scored' },
      state.scored.map(([n, t]) => h('div', {}, h('b', {}, n), h('small', {}, t))),
    ),
    h('p', { class: 'hs-quiet' }, state.gate),
    h(
      'p',
      { class: 'hs-last' },
      'Training only. On a real job, local code, the maker’s instructions and a licensed person come first.',
    ),
  );
  foot(c);
}

/** The way into a call, once there is one. @param {any} c */
function foot(c) {
  const word =
    { open: 'Go on with the call', closed: 'Open the debrief', new: 'Take the call' }[/** @type {string} */ (c.state)] ??
    'Take the call';
  if (!state.preparing.ready) {
    at('go').replaceChildren(waiting(state.preparing));
    return;
  }
  at('go').replaceChildren(
    h('a', { class: 'hs-go', href: c.url, 'data-key': 'go' }, word),
    ...(c.practice_url ? [h('a', { href: c.practice_url }, 'Practise it')] : []),
  );
}

try {
  const answer = await fetch('api/calls', { headers: { Accept: 'application/json' } });
  if (!answer.ok) throw new Error(String(answer.status));
  ({ calls: state.calls, gate: state.gate, scored: state.scored } = await answer.json());
  draw();
  void watch();
} catch {
  at('table').replaceChildren(
    h(
      'p',
      { class: 'hs-empty' },
      'The list of calls could not be read. Load the page again; if it stays so, start halfsplit again.',
    ),
  );
}
