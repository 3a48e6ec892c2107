// @ts-check
/** Small helpers to build elements. Keys (`data-key`) let a redraw give the focus back. */

const SVG = 'http://www.w3.org/2000/svg';

/** @typedef {any} Child a node, a text, nothing, or lists of these */

/**
 * An HTML element. Names that begin with `on` are listeners, `key` becomes `data-key`; false, null and undefined are left out.
 * @param {string} tag @param {Record<string, any>} [props] @param {...Child} children
 * @returns {HTMLElement}
 */
export function h(tag, props = {}, ...children) {
  const node = document.createElement(tag);
  dress(node, props);
  fill(node, children);
  return node;
}

/**
 * An SVG element.
 * @param {string} tag @param {Record<string, any>} [props] @param {...Child} children
 * @returns {SVGElement}
 */
export function s(tag, props = {}, ...children) {
  const node = /** @type {SVGElement} */ (document.createElementNS(SVG, tag));
  dress(node, props);
  fill(node, children);
  return node;
}

/** @param {Element} node @param {Record<string, any>} props */
function dress(node, props) {
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) listen(node, name.slice(2), value);
    else if (name === 'key') /** @type {any} */ (node).dataset.key = value;
    else if (name === 'value') /** @type {any} */ (node).value = value;
    else node.setAttribute(name, value === true ? '' : String(value));
  }
}

/**
 * Handlers of a node by event: one listener looks them up, so that a redraw can change them.
 * @type {WeakMap<EventTarget, Record<string, (e: Event) => void>>}
 */
const heard = new WeakMap();

/** @param {Event} e */
const relay = (e) => heard.get(/** @type {EventTarget} */ (e.currentTarget))?.[e.type]?.(e);

/** @param {EventTarget} node @param {string} type @param {(e: Event) => void} handler */
function listen(node, type, handler) {
  heard.set(node, { ...heard.get(node), [type]: handler });
  node.addEventListener(type, relay);
}

/** A node takes over the handlers of another one. @param {EventTarget} node @param {EventTarget} other */
export function handlers(node, other) {
  const theirs = heard.get(other) ?? {};
  if (heard.has(node)) heard.set(node, {});
  for (const [type, handler] of Object.entries(theirs)) listen(node, type, handler);
}

/** Children as nodes: texts become text nodes, lists are opened, nothing is left out. @param {Child[]} children @returns {any[]} */
export const nodes = (children) =>
  children
    .flat(Infinity)
    .filter((c) => c !== null && c !== undefined && c !== false && c !== '')
    .map((c) => (c instanceof Node ? c : document.createTextNode(String(c))));

/** @param {Element} node @param {Child[]} children */
const fill = (node, children) => node.append(...nodes(children));

/**
 * A push button.
 * @param {string} key @param {Child} label @param {(e: Event) => void} act @param {Record<string, any>} [props]
 */
export function button(key, label, act, props = {}) {
  return h('button', { type: 'button', class: 'hs-btn', key, onclick: act, ...props }, ...[label].flat());
}

/**
 * One choice of several: a row of radio buttons with a single tab stop (arrow keys are handled by `arrows`).
 * @param {string} key @param {string} label @param {{id: string, title: Child, off?: boolean}[]} choices
 * @param {string} chosen @param {(id: string) => void} choose @param {string} style
 */
export function choice(key, label, choices, chosen, choose, style) {
  const stop = choices.some((c) => c.id === chosen) ? chosen : choices[0]?.id;
  return h(
    'div',
    { role: 'radiogroup', 'aria-label': label, class: style },
    choices.map((c) =>
      h(
        'button',
        {
          type: 'button',
          role: 'radio',
          key: `${key}:${c.id}`,
          'aria-checked': String(c.id === chosen),
          tabindex: c.id === stop ? 0 : -1,
          class: c.id === chosen ? 'hs-on' : null,
          disabled: c.off,
          onclick: () => choose(c.id),
        },
        ...[c.title].flat(),
      ),
    ),
  );
}

/**
 * Arrow keys inside radio groups and tab lists move the focus; tab lists and radio groups choose at once.
 * @param {KeyboardEvent} event
 * @returns {boolean} whether the key was used
 */
export function arrows(event) {
  const from = /** @type {HTMLElement} */ (event.target);
  const group = from.closest?.('[role=radiogroup],[role=tablist]');
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  if (!group || !step) return false;
  const all = /** @type {HTMLElement[]} */ ([...group.querySelectorAll('[role=radio]:not([disabled]),[role=tab]')]);
  const at = all.indexOf(from);
  if (at < 0) return false;
  const to = all[(at + step + all.length) % all.length];
  to.focus();
  to.click();
  return true;
}

/** What had the focus before a redraw. @param {HTMLElement} root */
export function remember(root) {
  const at = /** @type {any} */ (document.activeElement);
  const scrolls = [...root.querySelectorAll('[data-scroll]')].map((n) => [n, /** @type {any} */ (n).dataset.scroll, n.scrollTop]);
  if (!at || !root.contains(at)) return { key: null, scrolls };
  const text = at.tagName === 'INPUT' || at.tagName === 'TEXTAREA';
  return { key: at.dataset.key ?? null, from: text ? at.selectionStart : null, to: text ? at.selectionEnd : null, scrolls };
}

/** Gives the focus and the scroll positions back, where a redraw took them. @param {HTMLElement} root @param {any} kept */
export function restore(root, kept) {
  for (const [was, name, top] of kept.scrolls) {
    const node = root.contains(was) ? null : root.querySelector(`[data-scroll="${name}"]`);
    if (node) node.scrollTop = top;
  }
  if (!kept.key || (document.activeElement && root.contains(document.activeElement))) return;
  const node = /** @type {any} */ (root.querySelector(`[data-key="${CSS.escape(kept.key)}"]`));
  if (!node) return;
  node.focus({ preventScroll: true });
  if (kept.from !== null && node.setSelectionRange) {
    try {
      node.setSelectionRange(kept.from, kept.to);
    } catch {
      /* number fields have no selection */
    }
  }
}

/** @returns {boolean} whether the reader asked for less motion */
export const still = () => window.matchMedia?.('(prefers-reduced-motion: reduce)').matches ?? false;

/**
 * Sets an attribute unless it says so already: even the same value would make the browser lay out again.
 * @param {Element} dom
 * @param {string} name
 * @param {string} value
 */
export const say = (dom, name, value) => {
  if (dom.getAttribute(name) !== value) dom.setAttribute(name, value);
};
