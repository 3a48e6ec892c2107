// @ts-check
/** Scales, ticks and paths of our own small charts. Pure. */

/** A linear scale. @param {number} a @param {number} b @param {number} from @param {number} to */
export const scale = (a, b, from, to) => (/** @type {number} */ v) => from + ((v - a) / (b - a || 1)) * (to - from);

/** Round ticks inside a range, at most about `many`. @param {number} low @param {number} high @param {number} many */
export function ticks(low, high, many) {
  const rough = (high - low) / Math.max(1, many) || 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const size = [1, 2, 5, 10].map((m) => m * power).find((m) => m >= rough) ?? 10 * power;
  const out = [];
  for (let v = Math.ceil(low / size) * size; v <= high + 1e-9; v += size) out.push(Number(v.toFixed(6)));
  return out;
}

/**
 * Path of evenly spaced values; holes (null) break the line.
 * @param {(number|null)[]} values
 * @param {(i: number) => number} x
 * @param {(v: number) => number} y
 */
export function path(values, x, y) {
  let d = '',
    pen = false;
  values.forEach((v, i) => {
    if (v === null || !Number.isFinite(v)) {
      pen = false;
      return;
    }
    d += `${pen ? 'L' : 'M'}${x(i).toFixed(1)} ${y(v).toFixed(1)}`;
    pen = true;
  });
  return d;
}

/** Thins a series to about one value a pixel, keeping lows and highs. @param {number[]} values @param {number} pixels */
export function thin(values, pixels) {
  const group = Math.ceil(values.length / Math.max(1, pixels));
  if (group < 2) return values.map((v, i) => ({ i, v }));
  const out = [];
  for (let i = 0; i < values.length; i += group) {
    const part = values.slice(i, i + group).map((v, k) => ({ i: i + k, v }));
    const low = part.reduce((a, b) => (b.v < a.v ? b : a)),
      high = part.reduce((a, b) => (b.v > a.v ? b : a));
    out.push(...(low.i < high.i ? [low, high] : low.i === high.i ? [low] : [high, low]));
  }
  return out;
}

/**
 * The times of full steps between two moments, in seconds.
 * @param {number} from
 * @param {number} to
 * @param {number} offset seconds to a full hour
 */
export function timeTicks(from, to, offset) {
  const span = (to - from) / 3600;
  const size = span <= 5 ? 1800 : span <= 14 ? 3600 : 14400;
  const out = [];
  for (let t = Math.ceil((from + offset) / size) * size - offset; t <= to; t += size) out.push(t);
  return out;
}

/**
 * An alarm's words at the right: on since, came back when, or how often.
 * @param {(number|null)[][]} spans
 * @param {number} now
 * @param {(t: number) => string} clock
 * @param {(m: number) => string} long
 */
export function alarmWords(spans, now, clock, long) {
  const last = spans[spans.length - 1];
  if (!last) return '';
  if (last[1] === null) return `on ${long(Math.round((now - Number(last[0])) / 60))}`;
  return spans.length > 1 ? `${spans.length} times` : `back ${clock(Number(last[1]))}`;
}
