// @ts-check
/** What is in hand and what the next touch does. Pure: takes a state, gives a new state and perhaps a step. */
import { line, node, word } from './words.js';

/**
 * @typedef {{tool: string, mode: string, how: string, leads: Record<string, string|null>, lead: string,
 *   probes: Record<string, string|null>, probe: string, clamp: number, hose: string, round: string[], read: boolean}} Hold
 *   `round`: points to be read each to each; `read`: whether that round was read, so that the next touch begins another
 * @typedef {{hold: Hold, line: string|null, refusal: string|null}} Touched
 */

/** @returns {Hold} */
export const emptyHold = () => ({
  tool: 'meter',
  mode: 'volts',
  how: 'pipe',
  leads: { red: null, black: null },
  lead: 'red',
  probes: { 1: null, 2: null },
  probe: '1',
  clamp: 1,
  hose: 'high',
  round: [],
  read: false,
});

export const TOOLS = [
  { id: 'meter', title: 'Meter' },
  { id: 'clamp', title: 'Clamp' },
  { id: 'insulation', title: 'Insulation' },
  { id: 'thermometer', title: 'Thermometer' },
  { id: 'gauges', title: 'Gauges' },
  { id: 'hands', title: 'Bare hands' },
];
const TAKES = { meter: 'meter', insulation: 'meter', clamp: 'meter', thermometer: 'thermometer', gauges: 'gauge' };
const CALLED = { meter: 'the meter, the clamp or the insulation tester', thermometer: 'the thermometer', gauge: 'the gauges' };
const WORDS = { volts: 'volts', low: 'low-volts', ohms: 'ohms' };

/** The kind of tool a point takes. @param {any} point @returns {'meter'|'thermometer'|'gauge'} */
export const takes = (point) => point.tool ?? 'meter';

/** The step that reads what the two leads are on. @param {Hold} hold */
export function meterLine(hold) {
  const { red, black } = hold.leads;
  if (rounding(hold)) return null;
  if (!red || !black || node(red) === node(black)) return null;
  const verb = hold.tool === 'insulation' ? 'insulation' : WORDS[/** @type {keyof typeof WORDS} */ (hold.mode)];
  return line(verb, word(node(red)), word(node(black)));
}

/** Whether points are being gathered for one reading of each to each. @param {Hold} hold */
export const rounding = (hold) => hold.tool === 'meter' && hold.mode === 'round';
const MOST = 4;

/** The step that reads a round of points, every pair of them. @param {Hold} hold */
export const roundLine = (hold) => (hold.round.length > 1 ? line('volts', ...hold.round.map((id) => word(node(id)))) : null);

/** How many pairs a round has. @param {Hold} hold */
export const pairs = (hold) => (hold.round.length * (hold.round.length - 1)) / 2;

/** A point of a round: taken in, or out again. @param {Hold} hold @param {any} point @returns {Touched} */
function gather(hold, point) {
  const had = hold.read ? [] : hold.round,
    out = had.filter((id) => node(id) !== node(point.id));
  if (out.length === had.length && had.length === MOST)
    return { hold, line: null, refusal: `A round takes ${MOST} points at most. Read it, or take one off.` };
  return { hold: { ...hold, read: false, round: out.length < had.length ? out : [...had, point.id] }, line: null, refusal: null };
}

/**
 * A touch of a probe point.
 * @param {Hold} hold @param {any} point @param {{shut: boolean, clamps: any[], gauges: any}} plant
 * @returns {Touched}
 */
export function touch(hold, point, plant) {
  /** @type {(refusal: string) => Touched} */
  const no = (refusal) => ({ hold, line: null, refusal });
  if (hold.tool === 'hands') return no('Round points take a tool. Pick one up first.');
  const need = takes(point);
  if (TAKES[/** @type {keyof typeof TAKES} */ (hold.tool)] !== need) return no(`${node(point.id)} takes ${CALLED[need]}.`);
  if (plant.shut && need === 'meter') return no('The door is shut. Open it first.');
  if (hold.tool === 'clamp') return hang(hold, point, plant.clamps);
  if (hold.tool === 'gauges') return join(hold, point, plant.gauges);
  if (hold.tool === 'thermometer') return probe(hold, point);
  if (rounding(hold)) return gather(hold, point);
  return place(hold, hold.lead, point.id);
}

/**
 * A lead on a point: first red, then black; with both down red moves.
 * @param {Hold} hold
 * @param {string} lead
 * @param {string} id
 */
export function place(hold, lead, id) {
  const leads = { ...hold.leads, [lead]: id };
  const next = { ...hold, leads, lead: leads.red && !leads.black ? 'black' : 'red' };
  return { hold: next, line: meterLine(next), refusal: null };
}

/** @param {Hold} hold @param {any} point @returns {Touched} */
function probe(hold, point) {
  const probes = { ...hold.probes, [hold.probe]: point.id };
  const other = hold.probe === '1' ? '2' : '1';
  return { hold: { ...hold, probes, probe: other }, line: line('temp', word(node(point.id)), `how=${hold.how}`), refusal: null };
}

/** @param {Hold} hold @param {any} point @param {any[]} clamps @returns {Touched} */
function hang(hold, point, clamps) {
  const n = hold.clamp;
  const free = [1, 2, 3].find((k) => k !== n && !clamps.find((c) => c.n === k)?.terminal);
  return { hold: { ...hold, clamp: free ?? (n % 3) + 1 }, line: line('clamp', String(n), word(node(point.id))), refusal: null };
}

/** @param {Hold} hold @param {any} point @param {any} gauges @returns {Touched} */
function join(hold, point, gauges) {
  const side = hold.hose,
    other = side === 'high' ? 'low' : 'high';
  const next = gauges?.[other] ? side : other;
  return { hold: { ...hold, hose: next }, line: line('gauge', side, word(node(point.id))), refusal: null };
}

/** Lifts the lead that is on a point, or the one named. @param {Hold} hold @param {string} what a lead, a probe or a point id */
export function lift(hold, what) {
  const leads = { ...hold.leads },
    probes = { ...hold.probes };
  let lead = hold.lead;
  for (const k of ['red', 'black'])
    if (k === what || leads[k] === what) {
      leads[k] = null;
      lead = k;
    }
  if (!leads.red && !leads.black) lead = 'red'; // with both in hand it is red first again
  for (const k of ['1', '2']) if (k === what || probes[k] === what) probes[k] = null;
  return { ...hold, leads, probes, lead };
}

/** Another tool in hand; leads come off when the meter is put away. @param {Hold} hold @param {string} tool */
export function take(hold, tool) {
  const both = ['meter', 'insulation'];
  const keep = hold.tool === tool || (both.includes(hold.tool) && both.includes(tool));
  const next = { ...hold, tool };
  if (!keep)
    Object.assign(next, { leads: { red: null, black: null }, lead: 'red', probes: { 1: null, 2: null }, probe: '1', round: [] });
  return next;
}

/** Leads and probes as the last readings left them, for a desk that was loaded anew. @param {Hold} hold @param {any[]} readings */
export function recall(hold, readings) {
  const last = readings[readings.length - 1];
  if (!last || last.fresh !== 'now') return hold;
  const points = last.points ?? [];
  const verb = String(last.line ?? '').split(' ')[0];
  const mode = { 'low-volts': 'low', ohms: 'ohms' }[verb] ?? 'volts';
  if (['volts', 'ohms'].includes(last.kind) && points.length === 2)
    return { ...hold, tool: 'meter', mode, leads: { red: points[0], black: points[1] } };
  if (last.kind === 'insulation' && points.length === 2)
    return { ...hold, tool: 'insulation', leads: { red: points[0], black: points[1] } };
  if (last.kind === 'temperature' && points.length === 1)
    return { ...hold, tool: 'thermometer', probes: { 1: points[0], 2: null }, probe: '2' };
  return hold;
}

/**
 * The one line above the tools, as plain text and the words to stress.
 * @param {Hold} hold
 * @param {{shut: boolean, blocked: boolean}} plant
 */
export function nextTouch(hold, plant) {
  if (plant.blocked) return ['Next touch:', 'nothing until you choose'];
  if (plant.shut && ['meter', 'insulation', 'clamp'].includes(hold.tool)) return ['Next touch: door is shut,', 'open it first'];
  if (hold.tool === 'hands') return ['Next touch picks', 'a part'];
  if (hold.tool === 'clamp') return ['Next touch hangs', `clamp ${hold.clamp}`];
  if (hold.tool === 'gauges') return ['Next touch of a P point:', `hose ${hold.hose === 'high' ? 'H' : 'L'}`];
  if (hold.tool === 'thermometer') return ['Next touch moves', `probe ${hold.probe}`];
  if (rounding(hold)) return ['Next touch adds', `point ${hold.read ? 1 : hold.round.length + 1} of the round`];
  return ['Next touch moves', hold.lead];
}
