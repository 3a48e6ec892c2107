// @ts-check
/** Line icons of our own, 24 by 24, drawn with the current colour. */
import { s } from './dom.js';

const PATHS = {
  meter: [
    'M8 3h8v12H8z',
    'M10 5.5h4v3h-4z',
    'M12 11.5a1.2 1.2 0 1 1 0 2.4 1.2 1.2 0 0 1 0-2.4',
    'M9.5 15c0 3-3.5 2-4 5.5',
    'M14.5 15c0 3 3.5 2 4 5.5',
  ],
  clamp: ['M9.6 10.6a5 5 0 1 1 4.8 0', 'M9.5 11.5h5v9h-5z', 'M11 14h2'],
  insulation: ['M4 4h16v10H4z', 'M8 11.5a4 4 0 0 1 8 0', 'M12 11l2-3', 'M15.5 14v4', 'M12.5 18h6', 'M13.8 20h3.4'],
  thermometer: ['M10.5 4a1.5 1.5 0 0 1 3 0v10.2a3.4 3.4 0 1 1-3 0z', 'M12 9v8'],
  gauges: [
    'M12 8.5a4.4 4.4 0 1 1-8.8 0 4.4 4.4 0 0 1 8.8 0',
    'M20.8 8.5a4.4 4.4 0 1 1-8.8 0 4.4 4.4 0 0 1 8.8 0',
    'M7.6 8.5l1.8-2',
    'M16.4 8.5l1.8-2',
    'M5 15.5h14',
    'M7.5 12.9v7.6',
    'M12 15.5v5',
    'M16.5 12.9v7.6',
  ],
  hands: [
    'M8 12V6.2a1.3 1.3 0 0 1 2.6 0V11',
    'M10.6 10.5V4.3a1.3 1.3 0 0 1 2.6 0v6.2',
    'M13.2 10.8V5.4a1.3 1.3 0 0 1 2.6 0v6',
    'M15.8 11.6V8a1.3 1.3 0 0 1 2.6 0v6.2c0 4-2 6.8-5.8 6.8-3.2 0-4.6-1.6-6-4.6l-1.9-4c.9-1.2 2.3-.7 2.9.5l.4.9',
  ],
  phone: [
    'M6.2 3.5l2.9-.6 2 4.4-1.9 1.7c1 2.3 2.6 3.9 4.9 5l1.8-1.9 4.3 2-.6 3' +
      'c-.2 1.2-1.2 2-2.4 1.9C10.6 18.6 5.4 13.3 4.4 6.700c-.1-1.300.6-3 1.800-3.200',
  ],
  lock: ['M7.500 11V7.500a4.500 4.500 0 0 1 9 0V11'],
};

/** @param {string} name @param {number} [size] */
export function icon(name, size = 24) {
  const paths = PATHS[/** @type {keyof typeof PATHS} */ (name)] ?? [];
  const extra = name === 'lock' ? [s('path', { d: 'M5 10.500h14v9.500H5z', fill: 'currentColor' })] : [];
  return s(
    'svg',
    { viewBox: '0 0 24 24', width: size, height: size, class: 'hs-icon', 'aria-hidden': 'true' },
    paths.map((d) => s('path', { d })),
    extra,
  );
}

/** The red or black lead, a numbered probe, clamp or hose, lying on its side. @param {string} label @param {string} kind */
export function plug(label, kind) {
  return s(
    'svg',
    { viewBox: '0 0 42 20', width: 42, height: 20, class: `hs-plug hs-plug-${kind}`, 'aria-hidden': 'true' },
    s('path', { class: 'hs-plug-tip', d: 'M0 10h12' }),
    s('path', { class: 'hs-plug-collar', d: 'M11 4v12' }),
    s('rect', { class: 'hs-plug-body', x: 13, y: 1.5, width: 27, height: 17, rx: 6 }),
    s('text', { x: 26.5, y: 14.3, 'text-anchor': 'middle' }, label),
  );
}
