// @ts-check
/**
 * Notices when the engine has gone: status signals, an error on sending, and a timer. Only an answer clears the notice.
 * @typedef {{send: (msg: any) => void, heard: () => void, dispose: () => void}} Guard
 */

const GONE = new Set(['dead', 'terminating', 'autorestarting', 'restarting', 'disconnected', 'unknown', 'connecting']);
const LIMIT = 3000;

/**
 * @param {any} model
 * @param {(gone: boolean) => void} tell
 * @param {(how: string) => void} working '' idle, 'line' over 300 ms, 'words' over 2 s
 * @returns {Guard}
 */
export function watchEngine(model, tell, working) {
  /** @type {any} */ let timer = null;
  /** @type {any} */ let slowTimer = null;
  /** @type {any} */ let wordsTimer = null;
  let waiting = 0;
  const session = model?.widget_manager?.context?.sessionContext;
  const status = () => session?.session?.kernel?.status ?? session?.kernelDisplayStatus ?? null;
  const stop = () => {
    clearTimeout(timer);
    clearTimeout(slowTimer);
    clearTimeout(wordsTimer);
  };
  const late = () => {
    if (waiting) {
      if (status() === 'busy') {
        working('words');
        timer = setTimeout(late, LIMIT);
      } else tell(true);
    }
  };
  const changed = (/** @type {any} */ _, /** @type {any} */ s) => {
    if (GONE.has(s) && !['unknown', 'connecting'].includes(s)) tell(true);
    else if (waiting && GONE.has(s)) tell(true);
  };
  const lost = () => tell(true);
  session?.statusChanged?.connect?.(changed);
  model.on?.('comm_live_update', lost);
  return {
    send(msg) {
      waiting += 1;
      stop();
      timer = setTimeout(late, LIMIT);
      slowTimer = setTimeout(() => working('line'), 300);
      wordsTimer = setTimeout(() => working('words'), 2000);
      try {
        model.send(msg);
      } catch {
        tell(true);
      }
    },
    heard() {
      waiting = 0;
      stop();
      working('');
    },
    dispose() {
      stop();
      session?.statusChanged?.disconnect?.(changed);
      model.off?.('comm_live_update', lost);
    },
  };
}
