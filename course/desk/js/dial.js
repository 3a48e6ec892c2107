// @ts-check
/** A pressure gauge's face of our own: one plain scale over 270 degrees, no refrigerant scales. */
import { s } from './dom.js';
import { scale, ticks } from './plot.js';

/** The angle of a value, in degrees clockwise from the top. @param {number} value @param {number} top */
export const needleAngle = (value, top) => scale(0, top, -135, 135)(Math.max(-0.03 * top, Math.min(1.03 * top, value)));

/** @param {string} key @param {number|null} value @param {number} top end of the scale @param {string} unit */
export function dial(key, value, top, unit) {
  const c = 68,
    turn = (/** @type {number} */ v, /** @type {number} */ r) => {
      const a = ((needleAngle(v, top) - 90) * Math.PI) / 180;
      return [c + r * Math.cos(a), c + r * Math.sin(a)];
    };
  const marks = [],
    majors = ticks(0, top, 5),
    minor = (majors[1] - majors[0]) / 5;
  for (let v = 0; v <= top + 1e-6; v += minor) {
    const big = majors.some((m) => Math.abs(m - v) < 1e-6),
      [x1, y1] = turn(v, 59),
      [x2, y2] = turn(v, big ? 50 : 55);
    marks.push(
      s('path', {
        class: big ? 'hs-tick hs-big' : 'hs-tick',
        d: `M${x1.toFixed(1)} ${y1.toFixed(1)}L${x2.toFixed(1)} ${y2.toFixed(1)}`,
      }),
    );
    if (big) {
      const [tx, ty] = turn(v, 39);
      marks.push(s('text', { x: tx, y: ty + 4, 'text-anchor': 'middle' }, v));
    }
  }
  const angle = needleAngle(value ?? 0, top);
  const needle = s(
    'g',
    {
      class: value === null ? 'hs-needle hs-idle' : 'hs-needle',
      style: `transform:rotate(${angle}deg);transform-origin:${c}px ${c}px`,
    },
    s('path', { d: `M${c} ${c + 13}V${c - 33}` }),
    s('path', { class: 'hs-fat', d: `M${c} ${c}V${c - 24}` }),
  );
  return s(
    'svg',
    {
      class: 'hs-dial',
      viewBox: '0 0 136 136',
      role: 'img',
      'aria-label': value === null ? `${key} side gauge, not connected` : `${key} side gauge, ${value} ${unit}`,
    },
    s('circle', { class: 'hs-face', cx: c, cy: c, r: 66 }),
    marks,
    s('text', { x: c, y: c + 35, 'text-anchor': 'middle', class: 'hs-thin' }, unit),
    needle,
    s('circle', { class: 'hs-hub', cx: c, cy: c, r: 5.5 }),
  );
}
