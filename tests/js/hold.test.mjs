// What is in hand: first red, then black; with both down red moves; a refusal costs nothing.
import assert from 'node:assert/strict';
import test from 'node:test';
import { emptyHold, lift, meterLine, nextTouch, pairs, place, recall, roundLine, take, touch } from '../../course/desk/js/hold.js';

const free = { shut: false, clamps: [], gauges: {}, blocked: false };
const meter = (id) => ({ id, tool: 'meter' });

test('first red, then black, then red again, and each pair is one step', () => {
  let done = touch(emptyHold(), meter('Q5:1'), free);
  assert.equal(done.line, null);
  assert.equal(done.hold.lead, 'black');
  done = touch(done.hold, meter('X2@7'), free);
  assert.equal(done.line, 'volts Q5:1 X2', 'a rail drawn twice is named once');
  assert.equal(done.hold.lead, 'red');
  done = touch(done.hold, meter('F5:95'), free);
  assert.equal(done.line, 'volts F5:95 X2');
});

test('both leads on one point are no reading', () => {
  const first = place(emptyHold(), 'red', 'X1');
  assert.equal(place(first.hold, 'black', 'X1@9').line, null);
});

test('the function of the meter is the verb', () => {
  const hold = { ...emptyHold(), leads: { red: 'K5:1', black: 'K5:2' } };
  assert.equal(meterLine({ ...hold, mode: 'low' }), 'low-volts K5:1 K5:2');
  assert.equal(meterLine({ ...hold, mode: 'ohms' }), 'ohms K5:1 K5:2');
  assert.equal(meterLine({ ...hold, tool: 'insulation' }), 'insulation K5:1 K5:2');
});

test('the wrong tool, bare hands and a shut door refuse without a step', () => {
  for (const [hold, plant, says] of [
    [emptyHold(), free, /takes the gauges/],
    [{ ...emptyHold(), tool: 'hands' }, free, /take a tool/],
    [{ ...emptyHold(), tool: 'gauges' }, { ...free, shut: true }, null],
  ]) {
    const done = touch(hold, { id: 'P1', tool: 'gauge' }, plant);
    if (says) { assert.match(done.refusal, says); assert.equal(done.line, null); assert.equal(done.hold, hold); } else assert.equal(done.line, 'gauge high P1');
  }
  assert.match(touch(emptyHold(), meter('K5:1'), { ...free, shut: true }).refusal, /door is shut/);
});

test('clamps go to the next free one, hoses and probes take turns', () => {
  const clamps = [{ n: 1, terminal: null }, { n: 2, terminal: 'K5:2' }, { n: 3, terminal: null }];
  const hung = touch({ ...emptyHold(), tool: 'clamp' }, meter('F5:2T1'), { ...free, clamps });
  assert.equal(hung.line, 'clamp 1 F5:2T1');
  assert.equal(hung.hold.clamp, 3);
  const probe = touch({ ...emptyHold(), tool: 'thermometer', how: 'wick' }, { id: 'T5', tool: 'thermometer' }, free);
  assert.equal(probe.line, 'temp T5 how=wick');
  assert.equal(probe.hold.probe, '2');
});

test('a lifted lead is the one that moves next, and other tools lift both', () => {
  const down = { ...emptyHold(), leads: { red: 'K5:1', black: 'PE@7' } };
  assert.deepEqual(lift(down, 'PE@7').leads, { red: 'K5:1', black: null });
  assert.equal(lift(down, 'PE@7').lead, 'black');
  assert.deepEqual(take(down, 'hands').leads, { red: null, black: null });
  assert.deepEqual(take(down, 'insulation').leads, down.leads);
});

test('a desk loaded anew finds its leads where the last reading left them, unless something has changed', () => {
  const last = { kind: 'volts', points: ['K5:1', 'PE'], fresh: 'now', line: 'volts K5:1 PE' };
  assert.deepEqual(recall(emptyHold(), [last]).leads, { red: 'K5:1', black: 'PE' });
  assert.deepEqual(recall(emptyHold(), [{ ...last, fresh: 'before' }]).leads, { red: null, black: null });
});

test('one line says what the next touch does', () => {
  assert.deepEqual(nextTouch(emptyHold(), free), ['Next touch moves', 'red']);
  assert.equal(nextTouch(emptyHold(), { shut: true, blocked: false })[1], 'open it first');
  assert.equal(nextTouch({ ...emptyHold(), tool: 'hands' }, free)[1], 'a part');
  assert.match(nextTouch(emptyHold(), { shut: false, blocked: true }).join(' '), /nothing/);
});

test('with both leads lifted it is red first again, whichever was lifted last', () => {
  const down = { ...emptyHold(), leads: { red: 'K5:1', black: 'K5:2' } };
  assert.equal(lift(lift(down, 'red'), 'black').lead, 'red');
  assert.equal(lift(down, 'black').lead, 'black');
});

test('a round gathers two to four points, each to each in one step; touched again a point goes out', () => {
  const press = (hold, ...ids) => ids.reduce((h, id) => touch(h, meter(id), free).hold, hold);
  const round = { ...emptyHold(), mode: 'round' };
  assert.equal(roundLine(press(round, 'K5:1')), null);
  const four = press(round, 'K5:1', 'K5:3', 'K5:5', 'PE@7');
  assert.equal(roundLine(four), 'volts K5:1 K5:3 K5:5 PE');
  assert.equal(pairs(four), 6);
  assert.match(touch(four, meter('Q5:1'), free).refusal, /4 points at most/);
  assert.equal(roundLine(press(four, 'PE@9')), 'volts K5:1 K5:3 K5:5', 'earth is earth wherever it is drawn');
  assert.deepEqual(press({ ...four, read: true }, 'Q5:1').round, ['Q5:1'], 'after a reading another round begins');
  assert.equal(meterLine({ ...four, leads: { red: 'K5:1', black: 'K5:2' } }), null);
  assert.deepEqual(take(four, 'hands').round, []);
});
