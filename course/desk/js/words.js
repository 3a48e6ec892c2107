// @ts-check
/** Lines of steps, clock times, units and spoken words. Pure: no document. */

/** The word of a step as the grammar wants it, quoted where it holds a blank. @param {string} text */
export function word(text) {
  const t = String(text).replaceAll('\n', ' ').trim();
  return t !== '' && /^[\w.:=+\-|,/]+$/.test(t) ? t : `"${t.replaceAll('\\', '').replaceAll('"', "'")}"`;
}

/** A step from its words. @param {...string} words */
export const line = (...words) => words.filter((w) => w !== '' && w !== null && w !== undefined).join(' ');

/** The network's name of a drawn point: a sheet may show one node twice (`X1@7`). @param {string} id */
export const node = (id) => id.split('@')[0];

/** "1 min", "½ min", "1 h 05". @param {number} minutes */
export function minutes(minutes) {
  if (minutes < 60) {
    const whole = Math.floor(minutes),
      half = minutes - whole >= 0.25 && minutes - whole < 0.75;
    if (half) return `${whole === 0 ? '' : whole}½ min`;
    return `${Math.round(minutes)} min`;
  }
  const all = Math.round(minutes);
  return `${Math.floor(all / 60)} h ${String(all % 60).padStart(2, '0')}`;
}

/** Clock time `HH:MM` of `t` seconds after a ticket that came at `start`. @param {string} start @param {number} t */
export function clockAt(start, t) {
  const [hh, mm] = start.split(':').map(Number);
  const all = ((Math.floor(hh * 60 + mm + t / 60) % 1440) + 1440) % 1440;
  return `${String(Math.floor(all / 60)).padStart(2, '0')}:${String(all % 60).padStart(2, '0')}`;
}

/** Minutes of a clock time, counted past midnight from noon so that a night sorts. @param {string} clock */
export function nightMinutes(clock) {
  const [hh, mm] = clock.split(':').map(Number);
  return ((hh + 12) % 24) * 60 + mm;
}

const SIGNS = { F: '°F', C: '°C', 'F-difference': '°F', '-': '', ohm: 'Ω', ohms: 'Ω', Mohm: 'MΩ', V: 'V ac', percent: '%' };

/** How a unit is written. @param {string} unit */
export const unitSign = (unit) =>
  SIGNS[/** @type {keyof typeof SIGNS} */ (unit)] ?? unit;

/**
 * A reading in the units chosen on the desk. Words and readings of other kinds pass unchanged.
 * @param {string} shown @param {string} unit @param {string} system `field` or `si`
 * @returns {[string, string]} what is shown and its unit
 */
export function inUnits(shown, unit, system) {
  const sign = unitSign(unit),
    value = Number(shown);
  if (system !== 'si' || shown === '' || Number.isNaN(value)) return [shown, sign];
  if (sign === '°F' && unit !== 'F-difference') return [((value - 32) / 1.8).toFixed(1), '°C'];
  if (sign === '°F') return [(value / 1.8).toFixed(1), 'K'];
  if (sign === 'psig') return [(value * 6.894757).toFixed(0), 'kPa'];
  return [shown, sign];
}

const SPOKEN = {
  'V ac': 'volts ac',
  'V dc': 'volts dc',
  A: 'amps',
  Ω: 'ohms',
  MΩ: 'megohms',
  '°F': 'degrees Fahrenheit',
  '°C': 'degrees Celsius',
};

/** What a new reading sounds like: "96 to X2, 0.2 volts ac, 04:33". @param {any} reading @param {string} system */
export function spoken(reading, system) {
  const [shown, unit] = inUnits(reading.shown ?? '', reading.unit ?? '', system);
  const value = shown === '' ? reading.sub : `${shown} ${SPOKEN[/** @type {keyof typeof SPOKEN} */ (unit)] ?? unit}`.trim();
  return [reading.title, value, reading.clock].filter(Boolean).join(', ');
}

/** A reminder is a note, so that it comes back from the record. @param {string} clock @param {string} what */
export const reminderNote = (clock, what) => `Remind me at ${clock}: ${what}`;

/** Reminders that are due and were not shown before. @param {any[]} readings @param {string} now @param {Set<string>} shown */
export function dueReminders(readings, now, shown) {
  const found = [];
  for (const r of readings) {
    const text = `${r.title} ${r.sub ?? ''} ${r.shown ?? ''}`;
    const m = /Remind me at (\d\d:\d\d): ([^"”]*)/.exec(text);
    if (m && !shown.has(`${r.n}`) && nightMinutes(m[1]) <= nightMinutes(now))
      found.push({ key: `${r.n}`, clock: m[1], what: m[2].trim() });
  }
  return found;
}
