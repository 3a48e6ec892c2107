// @ts-check
/** The drawing of a place: a fixed layer that is built once, and what hangs on it, redrawn after each step. */
import { s, still } from './dom.js';
import { node, tail } from './words.js';
import { patch } from './patch.js';
import { jump, step, stops } from './walk.js';
import { regions } from './regions.js';

/** @typedef {import('./app.js').App} App */

export class Surface {
  /** @param {App} app */
  constructor(app) {
    this.app = app;
    /** @type {any} */ this.sheet = null;
    /** @type {import('./walk.js').Stop[]} */ this.stops = [];
    /** @type {Map<string, SVGElement>} */ this.nodes = new Map();
    /** @type {number[][]} */ this.tagRects = [];
    this.fixed = s('g', { 'aria-hidden': 'true' });
    this.zones = s('g', { 'aria-hidden': 'true', class: 'hs-zones' });
    this.hung = s('g', { 'aria-hidden': 'true' });
    this.held = s('g', { 'aria-hidden': 'true', class: 'hs-held' });
    this.touchable = s('g', {});
    this.lists = s('g', {});
    this.svg = s('svg', { class: 'hs-sheet', role: 'group', preserveAspectRatio: 'xMidYMid meet' }, this.zones, this.fixed, this.lists, this.touchable, this.hung, this.held);
    /** @type {Record<string, number[]>} */ this.was = {};
    this.svg.addEventListener('keydown', (e) => this.key(/** @type {KeyboardEvent} */ (e)));
    this.svg.addEventListener('click', (e) => this.click(/** @type {MouseEvent} */ (e)));
    this.pressed = false;
    this.svg.addEventListener('pointerdown', (e) => { if (this.app.plant().blocked) { e.preventDefault(); return; } this.pressed = true; this.grab(/** @type {PointerEvent} */ (e)); });
    window.addEventListener('pointerup', () => { this.pressed = false; }, true);
    this.svg.addEventListener('mousedown', (e) => { if (this.app.plant().blocked) e.preventDefault(); });
    this.svg.addEventListener('focusin', (e) => this.stand(/** @type {Element} */ (e.target)));
    this.dragged = false;
  }

  /** @param {any} sheet */
  update(sheet) {
    if (sheet !== this.sheet) this.build(sheet);
    const { app } = this;
    const shut = app.plant().shut;
    this.svg.setAttribute('aria-label', `Drawing: ${sheet.title}. Arrow keys follow the wires, letters and digits jump, Enter places, Backspace lifts.`);
    this.svg.classList.toggle('hs-shut', shut);
    const at = app.ui.cursor && this.stops.some((p) => p.id === app.ui.cursor) ? app.ui.cursor : this.stops[0]?.id;
    for (const [id, dom] of this.nodes) {
      say(dom, 'tabindex', id === at ? '0' : '-1');
      if (id.startsWith('[')) {
        const p = sheet.parts[Number(id.slice(1, id.indexOf(']')))];
        const on = p.id === app.ui.chosen && (!p.aspect || !app.ui.aspect || p.aspect === app.ui.aspect);
        dom.classList.toggle('hs-chosen', on);
        say(dom, 'aria-pressed', String(on));
      }
    }
    patch(this.lists, regions(app, sheet));
    this.drawTags();
    this.drawHeld();
  }

  /** @param {any} sheet */
  build(sheet) {
    this.sheet = sheet;
    this.was = {};
    this.stops = stops(sheet);
    this.nodes = new Map();
    const beside = sheet.regions?.circuits?.w ?? 0;   // a list of the desk's own stands there
    this.svg.setAttribute('viewBox', `${beside} 0 ${sheet.width - beside} ${sheet.height}`);
    this.zones.replaceChildren(...zones(sheet));
    this.fixed.replaceChildren(
      ...(sheet.shapes ?? []).map(shape),
      ...sheet.lines.map((/** @type {any} */ l) => s('path', { d: l.d, class: `hs-line hs-line-${l.kind}` })),
      ...sheet.texts.map((/** @type {any} */ t) => s('text', { x: t.x, y: t.y, 'text-anchor': t.anchor ?? 'start', class: `hs-text hs-text-${t.kind}` }, t.t)));
    const parts = sheet.parts.map((/** @type {any} */ p, /** @type {number} */ i) => this.partBox(p, i));
    const points = sheet.points.map((/** @type {any} */ p) => this.pointDot(p));
    this.touchable.replaceChildren(...parts, ...points);
  }

  /** @param {any} p @param {number} i */
  partBox(p, i) {
    const id = `[${i}]${p.id}`;
    const label = p.label ?? p.id;
    const dom = s('g', { class: `hs-part${p.bare ? ' hs-bare' : ''}`, role: 'button', 'data-key': `dot:${id}`, 'data-part': p.id, 'data-aspect': p.aspect || null, 'aria-label': `${label}, ${p.says ?? ''}`.replace(/, $/, ''), 'aria-pressed': 'false', tabindex: -1 },
      s('rect', { class: 'hs-hit', x: p.x - Math.max(40, p.w) / 2, y: p.y - Math.max(40, p.h) / 2, width: Math.max(40, p.w), height: Math.max(40, p.h) }),
      s('rect', { class: 'hs-box', x: p.x - p.w / 2, y: p.y - p.h / 2, width: p.w, height: p.h, rx: 2 }),
      p.dial ? null : s('text', { x: p.x, y: p.y + 4.5, 'text-anchor': 'middle', class: 'hs-text hs-text-mark', 'aria-hidden': 'true' }, label));
    this.nodes.set(id, dom);
    return dom;
  }

  /** @param {any} p */
  pointDot(p) {
    const dom = s('g', { class: 'hs-point', role: 'button', 'data-key': `dot:${p.id}`, 'data-point': p.id, 'aria-label': p.says ?? p.id, tabindex: -1, transform: `translate(${p.x} ${p.y})` },
      s('circle', { class: 'hs-hit', r: 20 }), s('circle', { class: 'hs-focus', r: 15 }), s('circle', { class: 'hs-dot', r: 6 }));
    this.nodes.set(p.id, dom);
    return dom;
  }

  /** @param {string} id */
  point(id) { return this.sheet.points.find((/** @type {any} */ p) => p.id === id) ?? this.sheet.points.find((/** @type {any} */ p) => node(p.id) === node(id)); }

  /** Tags of readings, and the locks that hang on parts. */
  drawTags() {
    const all = this.app.tags(this.sheet), locks = this.app.view.locks ?? {};
    this.tagRects = all.map((t) => t.frame);
    const locked = this.sheet.parts.filter((/** @type {any} */ p) => locks[p.id]);
    patch(this.hung, [all.map(tagBox), locked.map((/** @type {any} */ p) => padlock(p.x, p.y - p.h / 2 - 12, locks[p.id]))]);
  }

  /** Leads, probes, hoses and clamps with their ends. */
  drawHeld() {
    const { hold, view } = this.app;
    const ends = [];
    if (hold.tool === 'meter' || hold.tool === 'insulation') ends.push(['red', hold.leads.red, 'R'], ['black', hold.leads.black, 'B']);
    if (hold.tool === 'thermometer') ends.push(['probe1', hold.probes[1], '1'], ['probe2', hold.probes[2], '2']);
    for (const side of ['high', 'low']) if (view.gauges?.[side]) ends.push([side, view.gauges[side].point, side === 'high' ? 'H' : 'L']);
    const out = [];
    /** @type {Record<string, number[]>} */ const now = {};
    for (const [kind, id, letter] of ends) {
      const p = id && this.point(id);
      if (!p) continue;
      now[kind] = [p.x, p.y];
      out.push(this.slide(lead(p, kind, letter, this.direction(p)), this.was[kind], [p.x, p.y]));
    }
    for (const c of view.clamps ?? []) {
      const p = c.terminal && this.point(c.terminal);
      if (p) out.push(clampRing(p, c.n, this.sheet));
    }
    this.was = now;
    this.held.replaceChildren(...out);
  }

  /** The way of a handle, of those that the layout found free, that hides no other point and the fewest tags on show. @param {any} p */
  direction(p) {
    const ways = p.handles?.length ? p.handles : p.handle ? [p.handle] : [[43, 58]];
    const unit = ways.map((/** @type {number[]} */ [x, y]) => { const size = Math.hypot(x, y) || 1; return [x / size, y / size]; });
    const near = this.sheet.points.filter((/** @type {any} */ q) => q !== p && Math.hypot(q.x - p.x, q.y - p.y) < 110).map((/** @type {any} */ q) => [q.x - 4, q.y - 4, 8, 8]);
    const cost = (/** @type {number[]} */ w) => 10 * hidden(p, w, near) + hidden(p, w, this.tagRects) + 0.01 * unit.indexOf(w);
    return unit.reduce((/** @type {number[]} */ a, /** @type {number[]} */ b) => (cost(b) < cost(a) ? b : a));
  }

  /** Moves a lead from its last place in 120 ms. @param {SVGElement} dom @param {number[]|undefined} from @param {number[]} to */
  slide(dom, from, to) {
    if (from && !still() && (from[0] !== to[0] || from[1] !== to[1])) {
      dom.animate([{ transform: `translate(${from[0] - to[0]}px, ${from[1] - to[1]}px)` }, { transform: 'none' }], { duration: 120, easing: 'ease-out' });
    }
    return dom;
  }

  /** @param {MouseEvent} e */
  click(e) {
    if (this.dragged) { this.dragged = false; return; }
    const at = /** @type {Element} */ (e.target);
    if (at.closest('.hs-region')) return;
    const part = at.closest('[data-part]'), dot = at.closest('[data-point]') ?? (part ? null : this.nearest(e, 28));
    if (dot) this.app.touchPoint(this.point(/** @type {any} */ (dot).dataset.point));
    else if (part) this.app.touchPart(/** @type {any} */ (part).dataset.part, /** @type {any} */ (part).dataset.aspect);
  }

  /** The nearest circle within `reach` of a touch. @param {MouseEvent} e @param {number} reach */
  nearest(e, reach) {
    const m = /** @type {SVGSVGElement} */ (this.svg).getScreenCTM()?.inverse();
    if (!m) return null;
    const x = m.a * e.clientX + m.e, y = m.d * e.clientY + m.f;
    const away = (/** @type {any} */ p) => Math.hypot(p.x - x, p.y - y);
    const best = [...this.sheet.points].sort((a, b) => away(a) - away(b))[0];
    return best && away(best) <= reach ? this.nodes.get(best.id) ?? null : null;
  }

  /** Dragging a lead to another point; a short press is a click. @param {PointerEvent} e */
  grab(e) {
    const dom = /** @type {Element} */ (e.target).closest('.hs-lead');
    if (!dom || this.app.plant().blocked) return;
    const kind = /** @type {any} */ (dom).dataset.lead, x = e.clientX, y = e.clientY;
    const scale = /** @type {SVGSVGElement} */ (this.svg).getScreenCTM()?.a ?? 1;
    let moved = false;
    const move = (/** @type {PointerEvent} */ m) => {
      moved ||= Math.hypot(m.clientX - x, m.clientY - y) > 6;
      if (moved) dom.setAttribute('transform', `translate(${(m.clientX - x) / scale} ${(m.clientY - y) / scale})`);
    };
    const drop = (/** @type {PointerEvent} */ m) => {
      window.removeEventListener('pointermove', move);
      window.removeEventListener('pointerup', drop);
      this.dragged = moved;
      setTimeout(() => { this.dragged = false; }, 0);
      dom.removeAttribute('transform');
      const to = this.nearest(m, moved ? 40 : 12);   // a point that a lead lies over can still be pressed
      if (to) { if (moved) this.mark(kind); this.app.touchPoint(this.point(/** @type {any} */ (to).dataset.point)); }
      else if (!moved) this.mark(kind);
    };
    window.addEventListener('pointermove', move);
    window.addEventListener('pointerup', drop);
    e.preventDefault();
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
    const at = this.app.ui.cursor ?? this.stops[0]?.id, { app } = this;
    if (!at || /** @type {Element} */ (e.target).closest('.hs-region')) return;
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (e.key.startsWith('Arrow')) { app.ui.typed = ''; this.go(step(this.stops, at, e.key)); }
    else if (e.key === 'Enter') this.enter(at);
    else if (e.key === 'Backspace') this.back(at);
    else if (e.key === 'Escape' && app.ui.typed) { app.ui.typed = ''; app.cursorMoved(); }
    else if (e.key.length === 1 && (/[a-z0-9.:]/i.test(e.key) || (e.key === ' ' && app.ui.typed))) { app.ui.typed += e.key; app.cursorMoved(); }
    else if (e.key === ' ') this.enter(at);
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  /** @param {string} id */
  go(id) { this.nodes.get(id)?.focus({ preventScroll: true }); }

  /** Enter after typing jumps; otherwise it places or chooses. @param {string} at */
  enter(at) {
    const { app } = this;
    if (app.ui.typed) {
      const to = jump(this.stops, app.ui.typed);
      const typed = app.ui.typed;
      app.ui.typed = '';
      if (to) this.go(to);
      else { app.say(`Nothing named ${typed} on this sheet.`); app.set({ notice: { kind: 'refused', text: `Nothing named ${typed} on this sheet.` } }); return; }
      app.cursorMoved();
      return;
    }
    if (at.startsWith('[')) { const p = this.sheet.parts[Number(at.slice(1, at.indexOf(']')))]; app.touchPart(p.id, p.aspect); }
    else app.touchPoint(this.point(at));
  }

  /** @param {string} at */
  back(at) {
    const { app } = this;
    if (app.ui.typed) { app.ui.typed = app.ui.typed.slice(0, -1); app.cursorMoved(); return; }
    app.liftAt(at);
  }
}

/** Sets an attribute unless it says so already: even the same value would make the browser lay out again. @param {Element} dom @param {string} name @param {string} value */
const say = (dom, name, value) => { if (dom.getAttribute(name) !== value) dom.setAttribute(name, value); };

/** Marks of the sheet's zones at its edges. @param {any} sheet */
function zones(sheet) {
  const { cols = [], rows = [] } = sheet.zones ?? {};
  /** @type {SVGElement[]} */ const out = [];
  const step = sheet.width / Math.max(1, cols.length), rise = sheet.height / Math.max(1, rows.length);
  cols.forEach((/** @type {any} */ c, /** @type {number} */ i) => {
    out.push(s('text', { x: c.x ?? step * (i + 0.5), y: 12, 'text-anchor': 'middle' }, c.t ?? c));
    if (i) out.push(s('path', { d: `M${(c.from ?? step * i).toFixed(1)} 0v5` }));
  });
  rows.forEach((/** @type {any} */ r, /** @type {number} */ i) => {
    out.push(s('text', { x: 5, y: (r.y ?? rise * (i + 0.5)) + 4 }, r.t ?? r));
    if (i) out.push(s('path', { d: `M0 ${(r.from ?? rise * i).toFixed(1)}h5` }));
  });
  return out;
}

/** @param {any} x */
function shape(x) {
  const cls = `hs-shape hs-shape-${x.kind ?? 'path'} hs-fill-${x.fill ?? 'none'}`;
  if (x.d) return s('path', { d: x.d, class: cls });
  if (x.r !== undefined && x.w === undefined && x.width === undefined) return s('circle', { cx: x.x, cy: x.y, r: x.r, class: cls });
  return s('rect', { x: x.x, y: x.y, width: x.w ?? x.width, height: x.h ?? x.height, rx: x.rx ?? 0, class: cls });
}

/** How much of the tags a handle would hide. @param {any} p @param {number[]} way @param {number[][]} rects */
function hidden(p, [dx, dy], rects) {
  let n = 0;
  for (let d = 16; d <= 76; d += 10) for (const [x, y, w, hgt] of rects) if (p.x + d * dx > x - 8 && p.x + d * dx < x + w + 8 && p.y + d * dy > y - 8 && p.y + d * dy < y + hgt + 8) n += 1;
  return n;
}

/** @param {import('./tags.js').Tag} tag */
function tagBox(tag) {
  const [x, y, w, hgt] = tag.frame;
  const stem = tag.lead ? s('path', { class: 'hs-stem', d: tag.lead }) : null;
  const box = s('rect', { x, y, width: w, height: hgt, rx: 2 });
  if (tag.rail) return s('g', { class: `hs-tag hs-${tag.age === 'now' ? 'since' : tag.age}` }, stem, box, tag.lines.map((l) => railLine(l, x, l.y + 4.5, w)));
  return s('g', { class: `hs-tag hs-${tag.age}` }, stem, box, tag.lines.map((l) => s('text', { x: x + w / 2, y: l.y + 4.5, 'text-anchor': 'middle' }, l.label ? [l.text, s('tspan', { class: 'hs-thin' }, ` ${l.label}`)] : l.text)));
}

/** @param {any} l @param {number} x @param {number} y @param {number} w */
function railLine(l, x, y, w) {
  const sign = l.earth ? s('path', { class: 'hs-earth', d: `M${x + 22} ${y - 9}v4m-4 0h8m-6.5 2.3h5m-3.5 2.3h2` }) : null;
  return s('g', { class: `hs-railline hs-${l.age}` }, s('text', { x: x + 5, y, class: 'hs-thin' }, l.label), l.label.length > 2 ? null : sign, s('text', { x: x + w - 4, y, 'text-anchor': 'end' }, l.text));
}

/** @param {number} x @param {number} y @param {number} n */
const padlock = (x, y, n) => s('g', { class: 'hs-padlock' }, s('path', { d: `M${x - 6} ${y - 12}v-5a6 6 0 0 1 12 0v5` }), s('rect', { x: x - 11, y: y - 13, width: 22, height: 17, rx: 2 }),
  s('text', { x, y: y, 'text-anchor': 'middle' }, n));

/** @param {any} p @param {string} kind @param {string} letter @param {number[]} way */
function lead(p, kind, letter, way) {
  const [dx, dy] = way, turn = (Math.atan2(dy, dx) * 180) / Math.PI;
  const flip = dx < 0 ? 180 : 0;
  return s('g', { class: `hs-lead hs-lead-${kind.replace(/\d/, '')}`, 'data-lead': kind },
    s('circle', { cx: p.x, cy: p.y, r: 11, class: 'hs-ring' }), s('circle', { cx: p.x, cy: p.y, r: 4.500, class: 'hs-core' }),
    s('g', { transform: `translate(${p.x} ${p.y}) rotate(${turn})` },
      s('path', { class: 'hs-tip', d: 'M0 0H26' }), s('path', { class: 'hs-collar', d: 'M25 -8v16' }),
      s('path', { class: 'hs-cord', d: 'M72 0c10 0 16 3 22 10' }), s('rect', { class: 'hs-grip', x: 27, y: -10, width: 46, height: 20, rx: 7 }),
      s('text', { x: 50, y: 4.500, 'text-anchor': 'middle', transform: `rotate(${-turn + (Math.abs(turn) > 90 && flip === 0 ? 180 : 0)} 50 0)` }, letter)));
}

/** A ring with a gap round the wire beside a terminal. @param {any} p @param {number} n @param {any} sheet */
function clampRing(p, n, sheet) {
  const beyond = (p.next ?? []).map((/** @type {string} */ id) => sheet.points.find((/** @type {any} */ q) => q.id === id)).filter(Boolean)
    .find((/** @type {any} */ q) => tail(q.id) !== tail(p.id) && Math.hypot(q.x - p.x, q.y - p.y) < 160 && q.part !== p.part);
  const x = beyond ? (p.x + beyond.x) / 2 : p.x, y = beyond ? (p.y + beyond.y) / 2 : p.y + 24;
  return s('g', { class: 'hs-clampring', transform: `translate(${x} ${y})` }, s('path', { d: 'M4 -10.500a11 11 0 1 0 0 21' }), s('path', { d: 'M7 -8.500a11 11 0 0 1 0 17' }),
    s('rect', { x: 11, y: -9, width: 24, height: 18, rx: 6 }), s('text', { x: 23, y: 4.500, 'text-anchor': 'middle' }, n));
}
