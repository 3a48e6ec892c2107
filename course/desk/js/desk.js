// @ts-check
/** The entry: builds the regions, joins them to the model, redraws them. */
import { App } from './app.js';
import { Surface } from './surface.js';
import { arrows, button, h, remember, restore } from './dom.js';
import { circuits } from './floor.js';
import { debriefPage, popover } from './popovers.js';
import { head, showsHistory } from './head.js';
import { highlighted } from './suspects.js';
import { history } from './history.js';
import { isolationLine } from './isolation.js';
import { lift } from './hold.js';
import { openTab, pad } from './pad.js';
import { orderPage, orderFoot } from './order.js';
import { patch } from './patch.js';
import { sumsPage } from './sums.js';
import { stops } from './walk.js';
import { strip } from './strip.js';
import { takeScreen } from './screen.js';
import { tablist } from './head.js';
import { tray } from './tray.js';
import { warning } from './warnings.js';
import { watchEngine } from './guard.js';

/** @type {WeakMap<any, Desk>} one overlay for one model, however many views a notebook makes */
const overlays = new WeakMap();

class Desk {
  /** @param {any} model @param {HTMLElement} host */
  constructor(model, host) {
    this.model = model;
    this.root = h('div', { class: 'hs-desk' });
    this.regions = {
      strip: h('header', { class: 'hs-strip' }),
      line: h('div', { class: 'hs-working', 'aria-hidden': 'true' }),
      main: h('main', { class: 'hs-main', 'aria-label': 'The place' }),
      pad: h('section', { class: 'hs-pad', 'aria-label': 'Pad' }),
      over: h('div', { class: 'hs-over' }),
      live: h('div', { class: 'hs-sr', role: 'status', 'aria-live': 'polite' }),
    };
    this.root.append(...Object.values(this.regions));
    this.pop = h('div', { class: 'hs-slot' });
    this.page = h('div', { class: 'hs-slot' });
    this.regions.over.append(this.pop, this.page);
    this.guard = watchEngine(
      model,
      (gone) => this.stopped(gone),
      (how) => this.working(how),
    );
    this.app = new App(
      (msg) => this.guard.send(msg),
      () => this.draw(),
    );
    this.surface = new Surface(this.app);
    /** @type {HTMLElement|null} */ this.floor = null;
    this.hooks();
    this.message = (/** @type {any} */ msg) => {
      this.guard.heard();
      this.app.receive(msg);
    };
    model.on('msg:custom', this.message);
    this.theme();
    this.resized = () => {
      this.root.classList.toggle('hs-short', window.innerHeight < 700);
      this.draw();
    };
    window.addEventListener('resize', this.resized);
    this.root.classList.toggle('hs-short', window.innerHeight < 700);
    this.root.addEventListener('keydown', (e) => this.key(e));
    this.root.addEventListener('pointerdown', (e) => this.outside(e));
    this.screen = takeScreen(host, this.root);
    this.draw();
    this.app.post({ kind: 'hello' });
  }

  hooks() {
    const { app } = this;
    app.liftAt = (id) => {
      app.hold = lift(app.hold, id);
      app.say('Lifted.');
      app.redraw();
    };
    app.surfaceStops = () => (this.surface.sheet ? stops(this.surface.sheet) : []);
    app.cursorMoved = () => this.draw();
    app.ready = () => app.lookAhead(window.innerHeight < 700 ? 'short' : 'laptop');
    app.waits = () => {
      this.root.dataset.busy = 'yes';
    };
    app.focus = (what) => this.focusOn(what);
    app.again = () => document.dispatchEvent(new CustomEvent('course:run-again', { bubbles: true }));
    app.calls = () => {
      window.location.assign(`${baseUrl()}halfsplit/calls`);
    };
    app.debrief = () => app.post({ kind: 'debrief' });
    app.leave = () => this.screen.leave();
  }

  /** @param {string} what */
  focusOn(what) {
    const find =
      { drawing: '.hs-sheet [tabindex="0"]', combo: '[data-key="combo"]', pop: '[data-key="pop"] button' }[what] ??
      `[data-key="${what.replace(/^key:/, '')}"]`;
    /** @type {HTMLElement|null} */ (this.root.querySelector(find))?.focus({ preventScroll: true });
  }

  /**
   * A line while the engine takes its time, words when it takes longer; an answer that comes at once is the only redraw.
   * @param {string} how
   */
  working(how) {
    this.root.classList.toggle('hs-busy', how !== '');
    if (how === 'line') this.draw();
    if ((how === 'words') !== this.app.ui.slow) this.app.set({ slow: how === 'words' });
  }

  /** @param {boolean} gone */
  stopped(gone) {
    if (gone !== this.app.ui.stopped) {
      Object.assign(this.app.ui, { busy: false, judging: 0 });
      this.app.set({ stopped: gone });
      this.focusOn('caution:no');
    }
  }

  /** Dark where the notebook or the system says so, as the list of calls is: the notebook is light unless somebody has chosen. */
  theme() {
    const system = window.matchMedia('(prefers-color-scheme: dark)');
    const set = () => {
      this.root.dataset.theme = system.matches || document.body.dataset.jpThemeLight === 'false' ? 'dark' : 'light';
    };
    set();
    system.addEventListener('change', set);
    this.watch = new MutationObserver(set);
    this.watch.observe(document.body, { attributes: true, attributeFilter: ['data-jp-theme-light'] });
  }

  draw() {
    const { app, regions } = this;
    if (!app.view) {
      this.slots = null;
      regions.main.replaceChildren(h('p', { class: 'hs-loading' }, app.ui.notice?.text ?? 'The call is being opened.'));
      return;
    }
    const kept = remember(this.root),
      opened = this.was?.popover !== app.ui.popover,
      warned = !!(app.ui.caution || app.ui.incident || app.ui.stopped);
    patch(regions.strip, strip(app));
    this.drawMain(warned);
    patch(regions.pad, this.spread() ? this.spreadRight() : pad(app));
    this.root.classList.toggle('hs-spread', this.spread());
    const page = debriefPageOnce(this);
    patch(this.pop, [popover(app)]);
    if (this.page.firstChild !== page) this.page.replaceChildren(...(page ? [page] : []));
    this.root.classList.toggle('hs-stopped', app.ui.stopped);
    this.root.dataset.busy = app.ui.busy || !app.view || app.asked.size > app.drawn.size ? 'yes' : 'no';
    if (regions.live.textContent !== app.says) regions.live.textContent = app.says;
    restore(this.root, kept);
    if (opened && app.ui.popover) this.focusOn('pop');
    if (warned && !this.was?.warned) this.focusOn('caution:no');
    this.was = { popover: app.ui.popover, warned };
  }

  spread() {
    return this.app.ui.spread && ['sums', 'order'].includes(this.app.ui.tab) && !this.app.ui.phone;
  }

  /** The left page of a two-page spread takes the place of the surface. */
  spreadLeft() {
    const { app } = this,
      list = tablist(
        app,
        'tab',
        'Pad',
        [
          ['ticket', 'Ticket'],
          ['readings', 'Readings'],
          ['suspects', 'Suspects'],
          ['sums', 'Sums'],
        ].map(([id, title]) => ({ id, title })),
        'sums',
        (id) => openTab(app, id),
      );
    return [
      h('div', { class: 'hs-head hs-padhead' }, h('h1', {}, 'Sums'), h('div', { class: 'hs-right' }, list)),
      h('div', { class: 'hs-spreadpage' }, sumsPage(app), noticeBar(app)),
    ];
  }

  spreadRight() {
    const { app } = this;
    return [
      h(
        'div',
        { class: 'hs-tabs hs-ordertab' },
        h('h2', {}, 'Work order'),
        button('fold', 'Fold the pad ›', () => openTab(app, 'readings'), { class: 'hs-btn hs-quietbtn' }),
      ),
      h('div', { class: 'hs-page' }, orderPage(app)),
      h('div', { class: 'hs-foot' }, orderFoot(app)),
    ];
  }

  /** @param {boolean} warned */
  drawMain(warned) {
    const { app, regions } = this,
      short = this.root.classList.contains('hs-short');
    if (this.spread()) {
      if (this.slots) regions.main.replaceChildren();
      this.slots = null;
      patch(regions.main, this.spreadLeft());
      return;
    }
    const iso = isolationLine(app),
      plain = showsHistory(app);
    const high =
      window.innerHeight -
      (short ? 92 : 118) -
      (plain && !warned ? 0 : short ? 74 : app.hold.tool === 'gauges' && !warned ? 160 : 138) -
      (iso && !plain ? 42 : 0);
    if (!this.slots) {
      this.slots = {
        head: h('div', { class: 'hs-head' }),
        place: h('div', { class: 'hs-surface' }),
        notice: h('div', { class: 'hs-slot' }),
        iso: h('div', { class: 'hs-slot' }),
        tray: h('div', { class: 'hs-slot' }),
      };
      regions.main.replaceChildren(this.slots.head, this.slots.place, this.slots.iso, this.slots.tray);
    }
    const { slots } = this,
      picture = this.picture(high, short || !!iso || app.hold.tool === 'gauges');
    const put = (/** @type {HTMLElement} */ slot, /** @type {any} */ node) => patch(slot, [node]);
    patch(slots.head, head(app));
    if (slots.place.firstChild !== picture) slots.place.replaceChildren(picture, slots.notice); // drawings are kept whole
    put(slots.notice, noticeBar(app));
    put(slots.iso, plain ? null : iso);
    put(
      slots.tray,
      warned
        ? warning(app)
        : plain || app.view.closed
          ? null
          : h('section', { class: `hs-tray hs-tray-${app.hold.tool}`, 'aria-label': 'In hand' }, tray(app, short)),
    );
  }

  /** @param {number} high @param {boolean} low */
  picture(high, low) {
    const { app } = this;
    if (showsHistory(app)) return history(app, Math.max(700, this.regions.main.clientWidth || window.innerWidth - 404), high);
    const sheet = app.geometry(low ? 'short' : 'laptop');
    const about = app.sheet();
    if (!about) return h('p', { class: 'hs-loading' }, 'Nothing is drawn of this place. Look around, or go on to the next one.');
    if (!sheet) return h('p', { class: 'hs-loading' }, 'The drawing is on its way.');
    const marked = highlighted(app),
      chosen = app.ui.chosen;
    if (marked) app.ui.chosen = marked;
    this.surface.update(sheet);
    app.ui.chosen = chosen;
    if (!about.circuits) return this.surface.svg;
    this.floor ??= h('div', { class: 'hs-floor' });
    if (this.floor.lastChild !== this.surface.svg) this.floor.replaceChildren(h('div', { class: 'hs-slot' }), this.surface.svg);
    patch(/** @type {HTMLElement} */ (this.floor.firstChild), [circuits(app)]);
    return this.floor;
  }

  /** @param {KeyboardEvent} e */
  key(e) {
    const { app } = this;
    if (arrows(e)) {
      e.preventDefault();
      return;
    }
    if (e.key === 'F6') {
      e.preventDefault();
      this.nextRegion(e.shiftKey ? -1 : 1);
    }
    if (e.key === 'Escape') {
      if (app.ui.popover) {
        const from = app.ui.popover === 'wait' ? 'clock' : 'menu';
        app.set({ popover: null });
        this.focusOn(from);
      } else if (app.ui.caution) app.set({ caution: null });
      else if (app.ui.naming) app.set({ naming: null });
      else if (app.ui.phone) {
        app.set({ phone: false });
        this.focusOn('phone');
      } else if (app.ui.notice) app.set({ notice: null });
    }
  }

  /** @param {number} way */
  nextRegion(way) {
    const stopsAt = [
      '.hs-strip [aria-current], .hs-strip button:not([disabled])',
      '.hs-sheet [tabindex="0"]',
      '.hs-tray [tabindex="0"], .hs-tray button, .hs-warnbtns button',
      '.hs-pad [tabindex="0"]',
    ];
    const at = ['.hs-strip', '.hs-surface', '.hs-tray, .hs-warning', '.hs-pad'].findIndex((q) =>
      document.activeElement?.closest(q),
    );
    for (let k = 1; k <= 4; k += 1) {
      const to = /** @type {HTMLElement|null} */ (this.root.querySelector(stopsAt[(at + way * k + 8) % 4]));
      if (to) {
        to.focus({ preventScroll: true });
        return;
      }
    }
  }

  /** @param {Event} e */
  outside(e) {
    const at = /** @type {Element} */ (e.target),
      { app } = this;
    if (app.ui.popover && !at.closest('.hs-pop, .hs-clock, .hs-menu')) app.set({ popover: null });
  }

  dispose() {
    this.guard.dispose();
    this.model.off('msg:custom', this.message);
    window.removeEventListener('resize', this.resized);
    this.watch?.disconnect();
    this.screen.dispose();
  }
}

/** Where this Jupyter server's addresses begin. */
function baseUrl() {
  try {
    return JSON.parse(document.getElementById('jupyter-config-data')?.textContent ?? '').baseUrl ?? '/';
  } catch {
    return '/';
  }
}

/**
 * The debrief's frame is kept between redraws so that it does not load again.
 * @param {Desk & {made?: any, html?: string|null}} desk
 */
function debriefPageOnce(desk) {
  if (desk.html !== desk.app.ui.debrief) {
    desk.html = desk.app.ui.debrief;
    desk.made = debriefPage(desk.app);
  }
  return desk.made ?? null;
}

/** One sentence over the foot of the drawing: a refusal, or what came of an act. @param {App} app */
function noticeBar(app) {
  const seconds = app.ui.judging ? Math.round((Date.now() - app.ui.judging) / 1000) : 0;
  if (seconds)
    return h(
      'div',
      { class: 'hs-notice hs-notice-time' },
      h(
        'p',
        {},
        `Your call is being judged: every step done again in your store, and in one store for each suspect. ${seconds} s so far.`,
      ),
    );
  const notice =
    app.ui.slow && app.ui.busy ? { kind: 'time', text: 'The plant is being worked out; your step is on its way.' } : app.ui.notice;
  if (!notice) return null;
  return h(
    'div',
    { class: `hs-notice hs-notice-${notice.kind}` },
    h('p', {}, notice.text),
    h(
      'button',
      { type: 'button', key: 'notice', 'aria-label': 'Put this note away', onclick: () => app.set({ notice: null }) },
      '×',
    ),
  );
}

/** @param {{model: any, el: HTMLElement}} context */
function render({ model, el }) {
  const back = button('open', 'Open the desk', () => overlays.get(model)?.screen.open());
  el.append(h('div', { class: 'hs-desk hs-closed' }, back));
  if (overlays.has(model)) return () => {};
  const desk = new Desk(model, el);
  overlays.set(model, desk);
  return () => {
    desk.dispose();
    overlays.delete(model);
  };
}

export default { render };
