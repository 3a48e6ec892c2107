// @ts-check
/**
 * The desk over the whole viewport. It is moved out of the notebook to the body, because a cell's output contains fixed
 * children; the page behind it is made inert. It hides while its notebook is behind another tab.
 * @typedef {{open: () => void, leave: () => void, dispose: () => void}} Screen
 */

const page = () => document.getElementById('main');
const anyWhole = () => document.querySelector('.hs-whole') !== null;

/** @param {HTMLElement} host the output in the cell @param {HTMLElement} desk @returns {Screen} */
export function takeScreen(host, desk) {
  let wanted = true,
    shown = false;
  /** @type {HTMLElement|null} */ let last = null;
  const goHome = () => {
    const to =
      last && last.isConnected && desk.contains(last)
        ? last
        : /** @type {HTMLElement|null} */ (desk.querySelector('[tabindex="0"]'));
    (to ?? desk).focus({ preventScroll: true });
  };
  const put = () => {
    const panel = /** @type {HTMLElement} */ (host.closest('.jp-NotebookPanel, .jp-LinkedOutputView') ?? host);
    const visible = wanted && panel.isConnected && panel.offsetParent !== null;
    if (visible !== shown) {
      shown = visible;
      if (shown) document.body.append(desk);
      else desk.remove();
      desk.classList.toggle('hs-whole', shown);
      if (shown) goHome();
    }
    const main = page();
    if (main && !main.contains(desk)) main.inert = anyWhole();
  };
  const note = (/** @type {FocusEvent} */ e) => {
    last = /** @type {HTMLElement} */ (e.target);
  };
  const guard = (/** @type {KeyboardEvent} */ e) => {
    if (shown && e.target === document.body) {
      e.stopImmediatePropagation();
      goHome();
    }
    if (shown && e.key.toLowerCase() === 's' && (e.ctrlKey || e.metaKey)) e.preventDefault();
  };
  desk.tabIndex = -1;
  desk.dataset.lmSuppressShortcuts = 'true';
  desk.addEventListener('focusin', note);
  window.addEventListener('keydown', guard, true);
  const timer = setInterval(put, 250);
  put();
  return {
    open() {
      wanted = true;
      put();
    },
    leave() {
      wanted = false;
      put();
    },
    dispose() {
      clearInterval(timer);
      window.removeEventListener('keydown', guard, true);
      desk.removeEventListener('focusin', note);
      desk.remove();
      const main = page();
      if (main && !anyWhole()) main.inert = false;
    },
  };
}
