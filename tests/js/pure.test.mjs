// Words, walking, tags, charts and lists of the desk.
import assert from 'node:assert/strict';
import test from 'node:test';
import { readFileSync } from 'node:fs';
import { alarmWords, path, ticks, timeTicks, thin } from '../../course/desk/js/plot.js';
import { cardRows, actsAt, actsOf, gathered, grouped, matching } from '../../course/desk/js/lists.js';
import { age, tags } from '../../course/desk/js/tags.js';
import { clockAt, dueReminders, inUnits, minutes, reminderNote, spoken, word } from '../../course/desk/js/words.js';
import { jump, step, stops } from '../../course/desk/js/walk.js';
import { needleAngle } from '../../course/desk/js/dial.js';
import { causeLine } from '../../course/desk/js/order.js';

const sheets = JSON.parse(readFileSync(new URL('../fixtures/desk_sheets.json', import.meta.url), 'utf-8'));
const pump = sheets.geometry['spray_pump|laptop'];

test('words of a step are quoted where they need it', () => {
  assert.equal(word('K5:1'), 'K5:1');
  assert.equal(word('lug never "tight"'), '"lug never \'tight\'"');
  assert.equal(word('two\nlines'), '"two lines"');
  assert.equal(word('how=pipe why'), '"how=pipe why"');
});

test('units change on the screen only, and differences are not temperatures', () => {
  assert.deepEqual(inUnits('32', 'F', 'si'), ['0.0', '°C']);
  assert.deepEqual(inUnits('18', 'F-difference', 'si'), ['10.0', 'K']);
  assert.deepEqual(inUnits('100', 'psig', 'si'), ['689', 'kPa']);
  assert.deepEqual(inUnits('OL', 'ohm', 'si'), ['OL', 'Ω']);
  assert.deepEqual(inUnits('32', 'F', 'field'), ['32', '°F']);
});

test('clock times run over midnight and minutes are said plainly', () => {
  assert.equal(clockAt('23:50', 15 * 60), '00:05');
  assert.equal(clockAt('00:10', -20 * 60), '23:50');
  assert.deepEqual([0.5, 1, 1.5, 22, 65].map(minutes), ['½ min', '1 min', '1½ min', '22 min', '1 h 05']);
});

test('a reading is announced with value, unit and time', () => {
  assert.equal(spoken({ title: '96 to X2', shown: '0.2', unit: 'V', clock: '04:33' }, 'field'), '96 to X2, 0.2 volts ac, 04:33');
});

test('a reminder comes back from its note, once', () => {
  const note = { n: 4, title: 'Note', sub: reminderNote('04:30', 'product again') };
  assert.equal(dueReminders([note], '04:29', new Set()).length, 0);
  assert.equal(dueReminders([note], '04:31', new Set())[0].what, 'product again');
  assert.equal(dueReminders([note], '04:31', new Set(['4'])).length, 0);
});

test('arrows follow the wire before they take the nearest', () => {
  const all = stops(pump);
  assert.equal(step(all, 'F5:95', 'ArrowRight'), 'F5:96');
  assert.equal(step(all, 'F5:96', 'ArrowRight'), 'K5:A1');
  assert.equal(step(all, 'Q5:2', 'ArrowDown'), 'K5:1');
  assert.equal(step(all, 'Q5:1', 'nothing'), 'Q5:1');
});

test('every stop of every sheet can be reached by arrows, boxes included', () => {
  for (const sheet of Object.values(sheets.geometry)) {
    const all = stops(sheet);
    if (!all.length) continue;
    const seen = new Set([all[0].id]), queue = [all[0].id];
    while (queue.length) {
      const at = queue.pop();
      for (const key of ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown']) {
        const to = step(all, at, key);
        if (!seen.has(to)) { seen.add(to); queue.push(to); }
      }
    }
    assert.deepEqual(all.map((s) => s.id).filter((id) => !seen.has(id)), [], sheet.id);
  }
});

test('typing jumps to a terminal, a rail or a box', () => {
  const all = stops(pump);
  assert.equal(jump(all, 'k5 a1'), 'K5:A1');
  assert.equal(jump(all, 'x2'), 'X2@7');
  assert.match(jump(all, 'K5'), /^\[\d+\]K5$/);
  assert.equal(jump(all, 'zz'), null);
});

const reading = (n, points, shown, more = {}) => ({ n, points, part: null, shown, unit: 'V', kind: 'volts', fresh: 'since', title: '', sub: '', clock: '', ...more });

test('the sheet keeps the latest reading of a pair, whichever lead was where', () => {
  const made = tags(pump, [reading(1, ['Q5:1', 'Q5:3'], '481.2'), reading(2, ['Q5:3', 'Q5:1'], '480.0')], [], 'field');
  assert.deepEqual(made.map((t) => t.lines[0].text), ['480.0']);
});

test('to earth stands on the rail with its pole, to the return above its point, another pair with its far end', () => {
  const [earth] = tags(pump, [reading(1, ['Q5:1', 'PE'], '277.9')], [], 'field');
  assert.equal(earth.rail, true);
  assert.deepEqual([earth.lines[0].label, earth.lines[0].earth], ['1', true]);
  const [one] = tags(pump, [reading(1, ['F5:95', 'X2'], '119.5')], [], 'field');
  assert.equal(one.lines[0].label, '');
  const [odd] = tags(pump, [reading(1, ['F5:95', 'K5:A1'], '3.1', { shorts: ['95', 'A1'] })], [], 'field');
  assert.equal(odd.lines[0].label, 'to A1');
});

test('what a look showed hangs at the box of its aspect, by what it is and not by its words', () => {
  const home = (x) => ({ x, y: 40, w: 90, h: 20, kind: 'look' });
  const sheet = { width: 962, homes: { C4: home(700), 'C4.fans': home(100), 'C4.frost': home(300) } };
  const look = { n: 1, part: 'C4', points: [], shown: '', sub: 'Fans: reworded. Frost: reworded.', kind: 'sight', fresh: 'since' };
  const made = tags(sheet, [{ ...look, glimpses: [['fans', 'turn'], ['frost', 'light frost'], ['state', 'waiting']] }], [], 'field');
  assert.deepEqual(made.map((t) => t.lines[0].text), ['turn', 'light frost']);
});

test('no tag leaves its sheet', () => {
  const sheet = { width: 962, homes: { SV9: { x: 925, y: 266, w: 66, h: 20, kind: 'look' } } };
  const [tag] = tags(sheet, [{ n: 1, part: 'SV9', points: [], shown: '', sub: 'Nothing to be seen from outside.', kind: 'sight', fresh: 'since' }], [], 'field');
  assert.ok(tag.frame[0] + tag.frame[2] < 962, `${tag.frame}`);
});

test('a cause may be named with its reason at once, or without one found', () => {
  const failed = { part: 'K5', mode: 'does_not_close', at: 'K5:3' }, why = { what: 'why', part: 'K5', mode: 'loose_burnt', at: 'K5:3', failed };
  assert.equal(causeLine(null, why), 'cause K5 does_not_close at=K5:3 why=K5:loose_burnt:K5:3');
  assert.equal(causeLine(null, { ...why, part: null, unknown: true }), 'cause K5 does_not_close at=K5:3 why=unknown');
  assert.equal(causeLine({ ...failed, why: 'unknown' }, { what: 'what', ...failed, at: null }), 'cause K5 does_not_close why=unknown');
});

test('three poles to earth share one box of their row', () => {
  const made = tags(pump, ['1', '3', '5'].map((t, n) => reading(n, [`Q5:${t}`, 'PE'], '277.0')), [], 'field');
  assert.equal(made.length, 1);
  assert.equal(made[0].lines.length, 3);
});

test('a tag is filled while connected, dashed once something was changed', () => {
  const r = reading(1, ['Q5:1', 'Q5:3'], '481.2');
  assert.equal(age(r, ['Q5:1|Q5:3']), 'now');
  assert.equal(age(r, []), 'since');
  assert.equal(age({ ...r, fresh: 'before' }, ['Q5:1|Q5:3']), 'before');
});

test('ticks are round and inside, holes break a line, thinning keeps the extremes', () => {
  assert.deepEqual(ticks(186, 318, 3), [200, 250, 300]);
  assert.equal(path([0, null, 2], (i) => i, (v) => v), 'M0.0 0.0M2.0 2.0');
  const values = Array.from({ length: 1000 }, (_, i) => (i === 477 ? 99 : i % 7));
  assert.equal(Math.max(...thin(values, 50).map((k) => k.v)), 99);
  assert.ok(timeTicks(-4 * 3600, 0, 12900).every((t) => (t + 12900) % 1800 === 0));
});

test('an alarm says that it is on, came back, or how often', () => {
  const clock = (t) => `${t}`;
  assert.equal(alarmWords([[0, null]], 3600, clock, minutes), 'on 1 h 00');
  assert.equal(alarmWords([[0, 60]], 3600, clock, minutes), 'back 60');
  assert.equal(alarmWords([[0, 60], [90, 120]], 3600, clock, minutes), '2 times');
});

test('acts on several terminals are one button, others stay as they are', () => {
  const made = gathered([{ line: 'look K5', title: 'Look', minutes: 1 }, ...['1', 'A1'].map((t) => ({ line: `lift K5:${t}`, title: `Lift the wire at ${t}`, verb: 'lift', at: `K5:${t}`, spot: t, minutes: 3 }))]);
  assert.deepEqual(made.map((g) => g.title), ['Look', 'Lift the wire']);
  assert.deepEqual(made[1].choices.map((c) => c.short), ['1', 'A1']);
});

test('acts on wire ends are told once and hold at every end of the part', () => {
  const view = { acts: { K5: [{ line: 'look K5', title: 'Look', minutes: 0.5 }] }, parts: { K5: { ends: ['K5:1', 'K5:A1'] } }, wire_acts: [{ line: 'tug {t}', title: 'Pull at it', minutes: 1 }] };
  assert.deepEqual(actsOf(view, 'K5').map((a) => a.line), ['look K5', 'tug K5:1', 'tug K5:A1']);
  assert.deepEqual(actsAt(view, 'K5', 'K5:2'), []);
  assert.deepEqual(actsOf(view, 'M5'), []);
});

test('names are found by mark or by words, the mark first', () => {
  const names = [{ part: 'M5', says: 'pump motor' }, { part: 'F5', says: 'pump overload of M5' }];
  assert.deepEqual(matching(names, 'm5').map((n) => n.part), ['M5', 'F5']);
  assert.deepEqual(matching(names, 'pump over').map((n) => n.part), ['F5']);
});

test('groups stand in order of their newest reading', () => {
  assert.deepEqual(grouped([{ p: 'a' }, { p: 'b' }, { p: 'a' }], (r) => r.p).map(([k, rs]) => [k, rs.length]), [['a', 2], ['b', 1]]);
});

test('the card shows the rows around a pressure, never past its ends', () => {
  const card = Array.from({ length: 40 }, (_, i) => [i * 10, 0, 0]);
  assert.equal(cardRows(card, 180, 7)[3][0], 180);
  assert.equal(cardRows(card, 999, 7)[6][0], 390);
  assert.equal(cardRows(card, 0, 7).length, 7);
});

test('a needle stays a little beyond its stops', () => {
  assert.equal(needleAngle(0, 500), -135);
  assert.equal(needleAngle(500, 500), 135);
  assert.ok(needleAngle(5000, 500) < 145);
});

test('a cause keeps its reason when its place changes', () => {
  const cause = { part: 'K5', mode: 'does_not_close', at: 'K5:1', why: { part: 'K5', mode: 'loose_burnt', at: 'K5:1' } };
  assert.equal(causeLine(cause, { what: 'what', part: 'K5', mode: 'does_not_close', at: 'K5:3' }), 'cause K5 does_not_close at=K5:3 why=K5:loose_burnt:K5:1');
  assert.equal(causeLine(cause, { what: 'why', part: 'Q5', mode: 'loose_burnt', at: null }), 'cause K5 does_not_close at=K5:1 why=Q5:loose_burnt');
});
