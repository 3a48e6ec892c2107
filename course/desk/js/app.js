// @ts-check
/** The desk's state and its talk with the engine. Holds no physics: everything shown came in a message or lies in hand. */
import { connectedNow, tags } from './tags.js';
import { emptyHold, meterLine, nextTouch, recall, roundLine, rounding, take, touch } from './hold.js';
import { actsAt, actsOf } from './lists.js';
import { tidy } from './rows.js';
import { freshUi } from './ui.js';
import { dueReminders, line, node, spoken, word } from './words.js';

/** @typedef {import('./hold.js').Hold} Hold */

export class App {
  /** @param {(msg: any) => void} send @param {() => void} redraw */
  constructor(send, redraw) {
    this.post = send;
    this.redraw = redraw;
    /** @type {any} */ this.view = null;
    /** @type {any[]} */ this.raw = [];
    /** @type {any[]} */ this.sheets = [];
    /** @type {Record<string, string[]>} */ this.where = {};
    /** @type {Map<string, any>} */ this.drawn = new Map();
    /** @type {Set<string>} */ this.asked = new Set();
    /** @type {Map<string, {part: string, short: string}>} */ this.known = new Map();
    /** @type {Hold} */ this.hold = emptyHold();
    this.ui = freshUi();
    this.says = '';
    this.reminded = new Set();
    /** @type {Record<string, string>} */ this.under = {};
    /** @type {any} */ this.next = null;
    // what only the entry can do: it fills these in
    /** @type {(focus: string) => void} */ this.focus = () => {};
    /** @type {(id: string) => void} */ this.liftAt = () => {};
    /** @type {() => import('./walk.js').Stop[]} */ this.surfaceStops = () => [];
    /** @type {() => void} */ this.cursorMoved = () => {};
    /** @type {() => void} */ this.waits = () => {};
    /** @type {() => void} */ this.ready = () => {};
    /** @type {() => void} */ this.again = () => {};
    /** @type {() => void} */ this.calls = () => {};
    /** @type {() => void} */ this.debrief = () => {};
    /** @type {() => void} */ this.leave = () => {};
  }

  /** Changes what the screen shows. @param {Partial<ReturnType<typeof freshUi>>} patch */
  set(patch) {
    Object.assign(this.ui, patch);
    this.redraw();
  }

  /** Says a sentence to a screen reader. @param {string} text */
  say(text) {
    this.says = text;
  }

  /** A step of work: sent, answered by `changed`. @param {string} text */
  do(text) {
    if (this.ui.busy || this.ui.stopped) return;
    Object.assign(this.ui, { busy: true, notice: null, popover: null, caution: null });
    this.post({ kind: 'step', line: text });
    this.waits();
  }

  /** Things that the plant allows just now. */
  plant() {
    const v = this.view;
    const blocked = !!(this.ui.caution || this.ui.incident || this.ui.stopped);
    return { shut: !!this.place()?.door && v.door === 'shut', clamps: v.clamps ?? [], gauges: v.gauges ?? {}, blocked };
  }

  /** The place one is at, as the view tells of it. */
  place() {
    return this.view.places.find((/** @type {any} */ p) => p.id === this.view.place);
  }

  /** What is known of a drawn point, by its id: what it belongs to and what it is called there. @param {string} id */
  named(id) {
    return this.known.get(node(id)) ?? { part: node(id), short: node(id) };
  }

  /** A touch of a round point on the drawing. @param {any} point */
  touchPoint(point) {
    if (this.plant().blocked) return;
    if (this.ui.busy) {
      this.next = point;
      return;
    } // a quick hand: taken up when the engine has answered
    const away = this.away(point);
    if (away) {
      this.say(away);
      this.set({ cursor: point.id, notice: { kind: 'refused', text: away } });
      return;
    }
    const wire = this.wireEnd(point);
    if (wire) {
      this.say(`Wire end at ${wire.terminal}. ${wire.choices.length} acts in the tray.`);
      this.set({ sub: wire, cursor: point.id, notice: null });
      return;
    }
    const done = touch(this.hold, point, this.plant());
    this.hold = done.hold;
    Object.assign(this.ui, { cursor: point.id, notice: null });
    if (done.refusal) {
      this.ui.notice = { kind: 'refused', text: done.refusal };
      this.say(done.refusal);
      this.redraw();
      return;
    }
    if (done.line) this.do(done.line);
    else {
      this.say(`${point.says}. ${nextTouch(this.hold, this.plant()).join(' ')}.`);
      this.redraw();
    }
  }

  /** Where a point is instead, if it is drawn here and stands elsewhere. @param {any} point */
  away(point) {
    if (!point.place || point.place === this.view.place) return '';
    const where = `${point.part}, ${this.title(point.place)}`;
    return `${node(point.id)} is out of reach: it is at ${where}. Go there and take its cover off.`;
  }

  /** What hands can do to the wire end at a terminal of the chosen part. @param {any} point */
  wireEnd(point) {
    if (this.hold.tool !== 'hands' || !this.ui.chosen) return null;
    const terminal = node(point.id),
      acts = actsAt(this.view, this.ui.chosen, terminal);
    return acts.length
      ? { terminal, title: `Wire end at ${terminal}`, choices: acts.map((a) => ({ ...a, short: a.title, note: a.minutes })) }
      : null;
  }

  /**
   * A touch of a square box: hands.
   * @param {string} part
   * @param {string} [aspect] the side of it that was touched
   * @param {string} [place] where the part stands, if the drawing knows
   */
  touchPart(part, aspect = '', place = '') {
    if (this.plant().blocked) return;
    this.hold = take(this.hold, 'hands');
    const facts = this.view.parts?.[part];
    this.say(`${part} ${facts?.title ?? ''}, chosen. ${actsOf(this.view, part).length} acts in the tray.`);
    this.set({ chosen: part, aspect, stands: place, page: 0, sub: null, notice: null });
  }

  /** Another tool. @param {string} tool */
  pick(tool) {
    this.hold = take(this.hold, tool);
    this.set({ notice: null, sub: null });
  }

  /** Another function of the meter: with both leads down it reads at once. @param {string} mode */
  mode(mode) {
    const leads = mode === 'round' ? { red: null, black: null } : this.hold.leads;
    this.hold = { ...this.hold, mode, leads, round: [] };
    const text = meterLine(this.hold);
    if (text) this.do(text);
    else this.redraw();
  }

  /** Reads the points of a round, each to each. */
  readRound() {
    const text = roundLine(this.hold);
    if (!text) return;
    this.hold = { ...this.hold, read: true };
    this.do(text);
  }

  /** The leads on the proving unit: a reading known to be live. */
  prove() {
    this.hold = {
      ...this.hold,
      leads: { red: null, black: null },
      lead: 'red',
      mode: this.hold.mode === 'ohms' ? 'volts' : this.hold.mode,
      round: [],
    };
    this.do('prove-meter');
  }

  /** The sheets of this place: its own, and one for every part here whose cover is off. */
  here() {
    return this.sheets.filter((x) => x.place === this.view.place && (!x.part || (this.view.covers ?? []).includes(x.part)));
  }

  /** Another sheet of this place. @param {string} id */
  turnTo(id) {
    this.set({ sheet: { ...this.ui.sheet, [this.view.place]: id }, cursor: null, typed: '' });
  }

  /** The sheet to draw at this place. */
  sheet() {
    const here = this.here();
    const id = this.ui.sheet[this.view.place];
    return here.find((x) => x.id === id) ?? here[0] ?? null;
  }

  /** Geometry of the sheet on show; asks for it once when it is not there. @param {string} viewport */
  geometry(viewport) {
    const sheet = this.sheet();
    return sheet ? (this.drawn.get(this.ask(sheet, viewport)) ?? null) : null;
  }

  /** Asks for a drawing once; returns the name under which it will lie. @param {any} sheet @param {string} viewport */
  ask(sheet, viewport) {
    const circuit = this.circuit(sheet),
      key = `${sheet.id}/${viewport}/${circuit ?? ''}`;
    if (!this.asked.has(key)) {
      this.asked.add(key);
      this.post({ kind: 'geometry', sheet: sheet.id, viewport, ...(circuit ? { circuit } : {}) });
    }
    return key;
  }

  /** The first drawing of every place, so that walking there waits for nothing. @param {string} viewport */
  lookAhead(viewport) {
    const places = new Set(this.sheets.map((x) => x.place));
    for (const place of places)
      this.ask(
        this.sheets.find((x) => x.place === place && !x.part),
        viewport,
      );
  }

  /** The circuit drawn on a sheet that shows one of several. @param {any} sheet */
  circuit(sheet) {
    if (!sheet.circuits) return null;
    return sheet.circuits.includes(this.ui.circuit) ? this.ui.circuit : sheet.circuits[0];
  }

  /** Another circuit of the sales floor, on whichever sheet draws it. @param {string} id */
  openCircuit(id) {
    const sheet = this.sheets.find((x) => x.place === this.view.place && x.circuits?.includes(id));
    const { place } = this.view;
    this.set({ circuit: id, cursor: null, chosen: null, sheet: sheet ? { ...this.ui.sheet, [place]: sheet.id } : this.ui.sheet });
  }

  /** @param {any} sheet */
  tags(sheet) {
    return tags(sheet, this.view.readings ?? [], connectedNow(this.hold, this.view), this.ui.system);
  }

  /** A message of the engine. @param {any} msg */
  receive(msg) {
    this.ui.stopped = false;
    if (msg.kind === 'full') this.full(msg);
    else if (msg.kind === 'changed') this.changed(msg);
    else if (msg.kind === 'geometry') this.draw(msg);
    else if (msg.kind === 'judging') {
      this.ui.judging = Date.now();
      this.say('Your call is being judged.');
      this.judged();
    } else if (msg.kind === 'refused')
      Object.assign(this.ui, { busy: false, judging: 0, notice: { kind: 'refused', text: msg.text } });
    else if (msg.kind === 'debrief') Object.assign(this.ui, { busy: false, judging: 0, debrief: msg.html });
    this.redraw();
    const { next } = this;
    if (msg.kind === 'geometry' || !next) return;
    this.next = null;
    if (msg.kind === 'changed' && msg.saw?.kind === 'reading') this.touchPoint(next);
  }

  /** A drawing has come. @param {any} msg */
  draw(msg) {
    this.drawn.set(`${msg.sheet}/${msg.viewport}/${msg.circuit ?? ''}`, msg.data);
    for (const p of msg.data.points) this.known.set(p.node, { part: p.part, short: p.short });
  }

  /** While the call is judged the seconds are told, once a second. */
  judged() {
    setTimeout(() => {
      if (this.ui.judging) {
        this.redraw();
        this.judged();
      }
    }, 1000);
  }

  /** @param {any} msg */
  full(msg) {
    const first = this.view === null;
    this.raw = msg.view.readings ?? [];
    Object.assign(this, { view: { ...msg.view, readings: tidy(msg.view) }, sheets: msg.sheets ?? [], where: msg.where ?? {} });
    this.ui.busy = false;
    if (first) {
      this.hold = recall(this.hold, this.view.readings ?? []);
      this.ui.tab = this.view.phase === 'dispatch' ? 'ticket' : 'readings';
      this.ui.circuit = (this.view.circuits ?? []).find((/** @type {any} */ c) => c.over)?.id ?? '';
      if (this.view.closed) this.post({ kind: 'debrief' });
      else this.ready();
    }
  }

  /** @param {any} msg */
  changed(msg) {
    const before = this.view;
    const { facts, ...patch } = msg.patch ?? {};
    this.view = { ...before, ...patch };
    if (facts) this.view.parts = { ...before.parts, ...facts };
    if (msg.readings) this.raw = [...this.raw.slice(0, msg.readings.from), ...msg.readings.items];
    this.view.readings = tidy({ ...this.view, readings: this.raw });
    this.ui.busy = false;
    const saw = msg.saw ?? {};
    if (saw.kind === 'caution') this.ui.caution = { text: saw.text, line: msg.line };
    else if (saw.kind === 'incident') this.ui.incident = { text: saw.text };
    else if (saw.kind === 'refused') this.ui.notice = { kind: 'refused', text: saw.text };
    else if (
      saw.text &&
      !['reading', 'pad', 'closed', 'sight', 'smell'].includes(saw.kind) &&
      !String(msg.line).startsWith('go ') &&
      !(saw.kind === 'act' && this.ui.chosen && saw.text.length < 40)
    )
      this.ui.notice = { kind: saw.kind, text: saw.text };
    if (this.view.place !== before.place) this.arrive();
    else this.uncover(before.covers ?? []);
    this.tell(saw, before);
    if (saw.kind === 'refused' || saw.kind === 'caution') this.hold = this.unread(msg.line);
    for (const due of dueReminders(this.view.readings, this.view.clock.now, this.reminded)) {
      this.reminded.add(due.key);
      this.ui.notice = { kind: 'said', text: `You wanted a reminder at ${due.clock}: ${due.what}.` };
    }
    if (this.view.closed && !before.closed) this.post({ kind: 'debrief' });
  }

  /** Leads do not walk along; a first arrival turns the pad to the readings. */
  arrive() {
    this.hold = {
      ...this.hold,
      leads: { red: null, black: null },
      lead: 'red',
      probes: { 1: null, 2: null },
      probe: '1',
      round: [],
    };
    Object.assign(this.ui, { chosen: null, cursor: null, sub: null, page: 0, history: false, typed: '' });
    if (this.ui.tab === 'ticket') this.ui.tab = 'readings';
  }

  /**
   * A part just opened shows its terminals; one just shut goes back to the drawing of the place.
   * @param {string[]} before covers that were off
   */
  uncover(before) {
    const { place, covers = [] } = this.view,
      { sheet } = this.ui;
    const opened = this.sheets.find((x) => x.place === place && x.part && covers.includes(x.part) && !before.includes(x.part));
    const shut = this.sheets.find((x) => x.id === sheet[place] && x.part && !covers.includes(x.part));
    if (opened) this.ui.sheet = { ...sheet, [place]: opened.id };
    else if (shut) this.ui.sheet = { ...sheet, [place]: this.under[place] ?? '' };
    if (opened && !this.sheets.find((x) => x.id === sheet[place])?.part) this.under[place] = sheet[place];
  }

  /** A refused clamp, hose or probe did not move. @param {string} text */
  unread(text) {
    const [verb, which] = String(text).split(' ');
    if (verb === 'clamp') return { ...this.hold, clamp: Number(which) };
    if (verb === 'gauge') return { ...this.hold, hose: which };
    if (verb === 'temp') {
      const last = this.hold.probe === '1' ? '2' : '1';
      return { ...this.hold, probe: last, probes: { ...this.hold.probes, [last]: null } };
    }
    return this.hold;
  }

  /** @param {any} saw @param {any} before */
  tell(saw, before) {
    const fresh = this.view.readings.slice(before.readings.length).filter((/** @type {any} */ r) => r.shown !== '');
    const moved = this.view.place !== before.place ? `${this.title()}. ` : '';
    this.say(
      moved +
        (fresh.length && saw.kind === 'reading'
          ? fresh.map((/** @type {any} */ r) => spoken(r, this.ui.system)).join('. ')
          : (saw.text ?? '')),
    );
  }

  /** What a place is called. @param {string} [id] */
  title(id = this.view.place) {
    return this.view.places.find((/** @type {any} */ p) => p.id === id)?.title ?? id;
  }

  /** Adds a suspect, or crosses one off. @param {string} verb @param {any} x */
  suspect(verb, x) {
    this.do(line(verb, word(x.part), x.mode, x.at ? `at=${word(x.at)}` : ''));
  }

  /** The last meter reading while the leads stay where they gave it. */
  meterReading() {
    const { red, black } = this.hold.leads;
    const newest = this.view.readings?.[this.view.readings.length - 1];
    if (newest?.line === 'prove-meter' && !red && !black) return newest;
    const last = [...(this.view.readings ?? [])].reverse().find((r) => ['volts', 'ohms', 'insulation'].includes(r.kind));
    if (!last || rounding(this.hold) || !red || !black || last.fresh === 'before') return null;
    const text = meterLine(this.hold);
    const same = text && (!last.line || last.line === text) && [red, black].every((p) => last.points.includes(node(p)));
    return same ? last : null;
  }
}
