// @ts-check
/** The drawing of a place: a fixed layer that is built once, and what hangs on it, redrawn after each step. */
import { s, say, still } from './dom.js';
import { clampRing, hidden, lead, loose, padlock, ringed, shape, tagBox, wiresAt, zones } from './pieces.js';
import { node } from './words.js';
import { rounding } from './hold.js';
import { drag } from './dragging.js';
import { patch } from './patch.js';
import { jump, step, stops } from './walk.js';
import { regions } from './regions.js';

/** @typedef {import('./app.js').App} App */
const FINGER = 40; // least size of what is touched, in pixels of the screen

export class Surface {
  /** @param {App} app */
  constructor(app) {
    this.app = app;
    /** @type {any} */ this.sheet = null;
    /** @type {import('./walk.js').Stop[]} */ this.stops = [];
    /** @type {Map<string, SVGElement>} */ this.nodes = new Map();
    /** @type {number[][]} */ this.tagRects = [];
    /** @type {Map<string, any>} what each node draws */ this.things = new Map();
    this.fixed = s('g', { 'aria-hidden': 'true' });
    this.lifted = s('g', { 'aria-hidden': 'true' });
    this.zones = s('g', { 'aria-hidden': 'true', class: 'hs-zones' });
    this.hung = s('g', { 'aria-hidden': 'true' });
    this.held = s('g', { 'aria-hidden': 'true', class: 'hs-held' });
    this.touchable = s('g', {});
    this.lists = s('g', {});
    this.svg = s(
      'svg',
      { class: 'hs-sheet', role: 'group', preserveAspectRatio: 'xMidYMid meet' },
      this.zones,
      this.fixed,
      this.lifted,
      this.lists,
      this.touchable,
      this.hung,
      this.held,
    );
    /** @type {Record<string, number[]>} */ this.was = {};
    this.svg.addEventListener('keydown', (e) => this.key(/** @type {KeyboardEvent} */ (e)));
    this.svg.addEventListener('click', (e) => this.click(/** @type {MouseEvent} */ (e)));
    this.pressed = false;
    this.svg.addEventListener('pointerdown', (e) => {
      if (this.app.plant().blocked) {
        e.preventDefault();
        return;
      }
      this.pressed = true;
      this.grab(/** @type {PointerEvent} */ (e));
    });
    window.addEventListener(
      'pointerup',
      () => {
        this.pressed = false;
      },
      true,
    );
    this.svg.addEventListener('mousedown', (e) => {
      if (this.app.plant().blocked) e.preventDefault();
    });
    this.svg.addEventListener('focusin', (e) => this.stand(/** @type {Element} */ (e.target)));
    this.dragged = false;
    this.scale = 1;
    new ResizeObserver(() => {
      if (this.sheet) this.fit();
    }).observe(this.svg);
  }

  /** @param {any} sheet */
  update(sheet) {
    if (sheet !== this.sheet) this.build(sheet);
    const { app } = this;
    const shut = app.plant().shut;
    this.svg.setAttribute(
      'aria-label',
      `Drawing: ${sheet.title}. Arrow keys follow the wires, letters and digits jump, Enter places, Backspace lifts.`,
    );
    this.svg.classList.toggle('hs-shut', shut);
    const at = app.ui.cursor && this.stops.some((p) => p.id === app.ui.cursor) ? app.ui.cursor : this.stops[0]?.id;
    for (const [id, dom] of this.nodes) {
      const p = this.things.get(id),
        away = !!p.place && p.place !== app.view.place;
      say(dom, 'tabindex', id === at ? '0' : '-1');
      dom.classList.toggle('hs-away', away);
      if (away) say(dom, 'aria-disabled', 'true');
      else dom.removeAttribute('aria-disabled');
      if (id.startsWith('[')) {
        const on = p.id === app.ui.chosen && (!p.aspect || !app.ui.aspect || p.aspect === app.ui.aspect);
        dom.classList.toggle('hs-chosen', on);
        say(dom, 'aria-pressed', String(on));
      }
    }
    patch(this.lists, regions(app, sheet));
    this.fit();
    this.drawLifted();
    this.drawTags();
    this.drawHeld();
  }

  /** @param {any} sheet */
  build(sheet) {
    this.sheet = sheet;
    this.was = {};
    this.stops = stops(sheet);
    this.nodes = new Map();
    this.things = new Map();
    this.scale = 0;
    const beside = sheet.regions?.circuits?.w ?? 0; // a list of the desk's own stands there
    this.svg.setAttribute('viewBox', `${beside} 0 ${sheet.width - beside} ${sheet.height}`);
    this.zones.replaceChildren(...zones(sheet));
    this.fixed.replaceChildren(
      ...(sheet.shapes ?? []).map(shape),
      ...sheet.lines.map((/** @type {any} */ l) => s('path', { d: l.d, class: `hs-line hs-line-${l.kind}` })),
      ...sheet.texts.map((/** @type {any} */ t) =>
        s('text', { x: t.x, y: t.y, 'text-anchor': t.anchor ?? 'start', class: `hs-text hs-text-${t.kind}` }, t.t),
      ),
    );
    const parts = sheet.parts.map((/** @type {any} */ p, /** @type {number} */ i) => this.partBox(p, i));
    const points = sheet.points.map((/** @type {any} */ p) => this.pointDot(p));
    this.touchable.replaceChildren(...parts, ...points);
  }

  /** @param {any} p @param {number} i */
  partBox(p, i) {
    const id = `[${i}]${p.id}`;
    const label = p.label ?? p.id;
    const dom = s(
      'g',
      {
        class: `hs-part${p.bare ? ' hs-bare' : ''}`,
        role: 'button',
        'data-key': `dot:${id}`,
        'data-part': p.id,
        'data-aspect': p.aspect || null,
        'data-place': p.place || null,
        'aria-label': `${label}, ${p.says ?? ''}`.replace(/, $/, ''),
        'aria-pressed': 'false',
        tabindex: -1,
      },
      s('rect', { class: 'hs-hit' }),
      s('rect', { class: 'hs-box', x: p.x - p.w / 2, y: p.y - p.h / 2, width: p.w, height: p.h, rx: 2 }),
      p.dial
        ? null
        : s('text', { x: p.x, y: p.y + 4.5, 'text-anchor': 'middle', class: 'hs-text hs-text-mark', 'aria-hidden': 'true' }, label),
    );
    this.nodes.set(id, dom);
    this.things.set(id, p);
    return dom;
  }

  /** @param {any} p */
  pointDot(p) {
    const dom = s(
      'g',
      {
        class: 'hs-point',
        role: 'button',
        'data-key': `dot:${p.id}`,
        'data-point': p.id,
        'aria-label': p.says ?? p.id,
        tabindex: -1,
        transform: `translate(${p.x} ${p.y})`,
      },
      s('circle', { class: 'hs-hit' }),
      s('circle', { class: 'hs-focus', r: 15 }),
      s('circle', { class: 'hs-dot', r: 6 }),
    );
    this.nodes.set(p.id, dom);
    this.things.set(p.id, p);
    return dom;
  }

  /** @param {string} id */
  point(id) {
    return (
      this.sheet.points.find((/** @type {any} */ p) => p.id === id) ??
      this.sheet.points.find((/** @type {any} */ p) => node(p.id) === node(id))
    );
  }

  /** Targets stay as large as a finger where a small window draws the sheet smaller. */
  fit() {
    const scale = Math.min(1, /** @type {SVGSVGElement} */ (this.svg).getScreenCTM()?.a || 1);
    if (scale === this.scale) return;
    this.scale = scale;
    const least = FINGER / scale;
    for (const [id, dom] of this.nodes) {
      const p = this.things.get(id),
        hit = /** @type {SVGElement} */ (dom.querySelector('.hs-hit'));
      const [w, high] = [Math.max(least, p.w ?? 0), Math.max(least, p.h ?? 0)];
      const size = id.startsWith('[') ? { x: p.x - w / 2, y: p.y - high / 2, width: w, height: high } : { r: least / 2 };
      for (const [name, value] of Object.entries(size)) hit.setAttribute(name, String(value));
    }
  }

  /** Wires that were taken off their screws: a gap at the screw, and the end bent aside. */
  drawLifted() {
    const off = (this.app.view.lifted ?? []).flatMap((/** @type {string} */ t) =>
      wiresAt(this.sheet, t).map((/** @type {any} */ l) => loose(l, this.point(t))),
    );
    this.lifted.replaceChildren(...off);
  }

  /** Tags of readings, and the locks that hang on parts. */
  drawTags() {
    const all = this.app.tags(this.sheet),
      locks = this.app.view.locks ?? {};
    this.tagRects = all.map((t) => t.frame);
    const locked = this.sheet.parts.filter((/** @type {any} */ p) => locks[p.id]);
    patch(this.hung, [all.map(tagBox), locked.map((/** @type {any} */ p) => padlock(p.x, p.y - p.h / 2 - 12, locks[p.id]))]);
  }

  /** Leads, probes, hoses and clamps with their ends. */
  drawHeld() {
    const { hold, view } = this.app;
    const ends = [];
    if (hold.tool === 'meter' || hold.tool === 'insulation')
      ends.push(['red', hold.leads.red, 'R'], ['black', hold.leads.black, 'B']);
    if (hold.tool === 'thermometer') ends.push(['probe1', hold.probes[1], '1'], ['probe2', hold.probes[2], '2']);
    for (const side of ['high', 'low'])
      if (view.gauges?.[side]) ends.push([side, view.gauges[side].point, side === 'high' ? 'H' : 'L']);
    const out = [];
    /** @type {Record<string, number[]>} */ const now = {};
    for (const [kind, id, letter] of ends) {
      const p = id && this.point(id);
      if (!p) continue;
      now[kind] = [p.x, p.y];
      out.push(this.slide(lead(p, kind, letter, this.direction(p)), this.was[kind], [p.x, p.y]));
    }
    if (rounding(hold))
      hold.round.forEach((id, i) => {
        const p = this.point(id);
        if (p) out.push(ringed(p, i + 1));
      });
    for (const c of view.clamps ?? []) {
      const p = c.terminal && this.point(c.terminal);
      if (p) out.push(clampRing(p, c.n, this.sheet));
    }
    this.was = now;
    this.held.replaceChildren(...out);
  }

  /**
   * The way of a handle, of those that the layout found free, that hides no other point and the fewest tags on show.
   * @param {any} p
   */
  direction(p) {
    const ways = p.handles?.length ? p.handles : p.handle ? [p.handle] : [[43, 58]];
    const unit = ways.map((/** @type {number[]} */ [x, y]) => {
      const size = Math.hypot(x, y) || 1;
      return [x / size, y / size];
    });
    const near = this.sheet.points
      .filter((/** @type {any} */ q) => q !== p && Math.hypot(q.x - p.x, q.y - p.y) < 110)
      .map((/** @type {any} */ q) => [q.x - 4, q.y - 4, 8, 8]);
    const cost = (/** @type {number[]} */ w) => 10 * hidden(p, w, near) + hidden(p, w, this.tagRects) + 0.01 * unit.indexOf(w);
    return unit.reduce((/** @type {number[]} */ a, /** @type {number[]} */ b) => (cost(b) < cost(a) ? b : a));
  }

  /** Moves a lead from its last place in 120 ms. @param {SVGElement} dom @param {number[]|undefined} from @param {number[]} to */
  slide(dom, from, to) {
    if (from && !still() && (from[0] !== to[0] || from[1] !== to[1])) {
      dom.animate([{ transform: `translate(${from[0] - to[0]}px, ${from[1] - to[1]}px)` }, { transform: 'none' }], {
        duration: 120,
        easing: 'ease-out',
      });
    }
    return dom;
  }

  /** @param {MouseEvent} e */
  click(e) {
    if (this.dragged) {
      this.dragged = false;
      return;
    }
    const at = /** @type {Element} */ (e.target);
    if (at.closest('.hs-region')) return;
    const part = this.boxUnder(e) ?? at.closest('[data-part]'),
      dot = this.nearest(e, part ? FINGER / 2 / this.scale : 28);
    if (dot && !this.boxUnder(e)) this.app.touchPoint(this.point(/** @type {any} */ (dot).dataset.point));
    else if (part) {
      const { part: id, aspect, place } = /** @type {any} */ (part).dataset;
      this.app.touchPart(id, aspect, place);
    }
  }

  /** Where on the sheet a touch was. @param {MouseEvent} e */
  spot(e) {
    const m = /** @type {SVGSVGElement} */ (this.svg).getScreenCTM()?.inverse();
    return m ? [m.a * e.clientX + m.e, m.d * e.clientY + m.f] : [NaN, NaN];
  }

  /** The box that is drawn under a touch, however large the targets around it are. @param {MouseEvent} e */
  boxUnder(e) {
    if (/** @type {Element} */ (e.target).closest('.hs-lead')) return null;
    const [x, y] = this.spot(e),
      at = this.sheet.parts.findIndex((/** @type {any} */ p) => Math.abs(x - p.x) <= p.w / 2 && Math.abs(y - p.y) <= p.h / 2);
    return at < 0 ? null : (this.nodes.get(`[${at}]${this.sheet.parts[at].id}`) ?? null);
  }

  /** The nearest circle within `reach` of a touch. @param {MouseEvent} e @param {number} reach */
  nearest(e, reach) {
    const [x, y] = this.spot(e);
    const away = (/** @type {any} */ p) => Math.hypot(p.x - x, p.y - y);
    const best = [...this.sheet.points].sort((a, b) => away(a) - away(b))[0];
    return best && away(best) <= reach ? (this.nodes.get(best.id) ?? null) : null;
  }

  /** Dragging a lead to another point; a short press is a click. @param {PointerEvent} e */
  grab(e) {
    drag(this, e);
  }

  /** A press on a lead makes it the one that moves next. @param {string} kind */
  mark(kind) {
    const { app } = this;
    if (kind === 'red' || kind === 'black') app.hold = { ...app.hold, lead: kind };
    else if (kind === 'high' || kind === 'low') app.hold = { ...app.hold, hose: kind };
    else app.hold = { ...app.hold, probe: kind.slice(-1) };
    app.redraw();
  }

  /** @param {Element} dom */
  stand(dom) {
    const id = /** @type {any} */ (dom).dataset?.key?.slice(4);
    if (!id || id === this.app.ui.cursor) return;
    this.app.ui.cursor = id;
    for (const [k, other] of this.nodes) say(other, 'tabindex', k === id ? '0' : '-1');
    if (!this.pressed) this.app.cursorMoved();
  }

  /** @param {KeyboardEvent} e */
  key(e) {
    const at = this.app.ui.cursor ?? this.stops[0]?.id,
      { app } = this;
    if (!at || /** @type {Element} */ (e.target).closest('.hs-region')) return;
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (e.key.startsWith('Arrow')) {
      app.ui.typed = '';
      this.go(step(this.stops, at, e.key));
    } else if (e.key === 'Enter') this.enter(at);
    else if (e.key === 'Backspace') this.back(at);
    else if (e.key === 'Escape' && app.ui.typed) {
      app.ui.typed = '';
      app.cursorMoved();
    } else if (e.key.length === 1 && (/[a-z0-9.:]/i.test(e.key) || (e.key === ' ' && app.ui.typed))) {
      app.ui.typed += e.key;
      app.cursorMoved();
    } else if (e.key === ' ') this.enter(at);
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  /** @param {string} id */
  go(id) {
    this.nodes.get(id)?.focus({ preventScroll: true });
  }

  /** Enter after typing jumps; otherwise it places or chooses. @param {string} at */
  enter(at) {
    const { app } = this;
    if (app.ui.typed) {
      const to = jump(this.stops, app.ui.typed);
      const typed = app.ui.typed;
      app.ui.typed = '';
      if (to) this.go(to);
      else {
        app.say(`Nothing named ${typed} on this sheet.`);
        app.set({ notice: { kind: 'refused', text: `Nothing named ${typed} on this sheet.` } });
        return;
      }
      app.cursorMoved();
      return;
    }
    if (at.startsWith('[')) {
      const p = this.sheet.parts[Number(at.slice(1, at.indexOf(']')))];
      app.touchPart(p.id, p.aspect, p.place);
    } else app.touchPoint(this.point(at));
  }

  /** @param {string} at */
  back(at) {
    const { app } = this;
    if (app.ui.typed) {
      app.ui.typed = app.ui.typed.slice(0, -1);
      app.cursorMoved();
      return;
    }
    app.liftAt(at);
  }
}
