// @ts-check
/**
 * Lays what a region should show over what it shows: whatever is alike stays the same node, with its focus, its scrolling and
 * what is being typed, and only what differs is touched. Keys (`data-key`) tell alike from look-alike in lists.
 */
import { handlers, nodes } from './dom.js';

const FIELDS = new Set(['INPUT', 'TEXTAREA', 'SELECT']);

/** @param {any} node */
const nameOf = (node) => node.dataset?.key ?? node.dataset?.scroll ?? '';

/** @param {any} a @param {any} b */
const alike = (a, b) => a.nodeName === b.nodeName && nameOf(a) === nameOf(b);

/** The children of a parent, as they should be. @param {Element} parent @param {import('./dom.js').Child[]} children */
export function patch(parent, children) {
  const wanted = nodes(children),
    names = new Set(wanted.map(nameOf)),
    before = [...parent.childNodes];
  const named = new Map(before.map((n) => [nameOf(n), n])),
    kept = new Set();
  let at = /** @type {ChildNode|null} */ (before[0] ?? null);
  for (const want of wanted) {
    while (at && nameOf(at) && !names.has(nameOf(at))) at = at.nextSibling;
    const have = want.parentNode === parent ? want : nameOf(want) ? named.get(nameOf(want)) : at;
    const same = have && !kept.has(have) && (have === want || alike(have, want)) ? have : null;
    if (at && same === at) at = at.nextSibling;
    else parent.insertBefore(same ?? want, at);
    kept.add(same ?? want);
    if (same && same !== want) become(same, want);
  }
  for (const node of before) if (!kept.has(node)) node.remove();
}

/** One node takes on what another one says. @param {any} have @param {any} want */
function become(have, want) {
  if (have.nodeType === Node.TEXT_NODE) {
    if (have.data !== want.data) have.data = want.data;
    return;
  }
  for (const { name } of [...have.attributes]) if (!want.hasAttribute(name)) have.removeAttribute(name);
  for (const { name, value } of want.attributes) if (have.getAttribute(name) !== value) have.setAttribute(name, value);
  handlers(have, want);
  patch(have, [...want.childNodes]);
  if (FIELDS.has(have.nodeName) && have.value !== want.value) have.value = want.value;
}
