// Browser side of the course, written by hand in the form that JupyterLab loads: a container with one plugin.
// A notebook that says {"course": {"autorun": true}} in its metadata runs when it opens and shows no code;
// the page event `course:run-again` runs the open one again after its engine has been restarted.
(() => {
  const LOOK_AGAIN = 300; // ms; the shell does not announce every way in which a notebook can appear
  const TRIES = 3, PATIENCE = 30000, SILENT = 15000; // ms; an engine that dies while a call opens is spoken of if it is not back by then
  const LOST = new Set(['restarting', 'autorestarting', 'dead', 'terminating']); // what was asked of such a kernel is never done
  const STYLE = `
.halfsplit-call .jp-CodeCell .jp-Cell-inputWrapper,
.halfsplit-call .jp-Notebook-footer,
.halfsplit-call .jp-NotebookPanel-toolbar { display: none !important; }
.halfsplit-call .jp-InputPrompt,
.halfsplit-call .jp-OutputPrompt,
.halfsplit-call .jp-Collapser { visibility: hidden; }
`;

  const marked = widget => {
    const model = widget?.content?.model;
    const course = model?.getMetadata ? model.getMetadata('course') : null;
    return Boolean(course && course.autorun);
  };

  const plugin = {
    id: 'halfsplit-course:plugin',
    autoStart: true,
    activate: app => {
      const style = document.createElement('style');
      style.textContent = STYLE;
      document.head.append(style);

      const steady = async kernel => { // a restarted kernel takes requests once it is idle
        for (const end = Date.now() + PATIENCE; kernel() !== 'idle' && Date.now() < end;) await new Promise(done => setTimeout(done, LOOK_AGAIN));
      };
      const running = new WeakSet(); // notebooks that are being run, and run again should their engine die meanwhile
      const run = async widget => {
        running.add(widget);
        let done = false;
        try {
          for (let tries = TRIES; !done && tries > 0 && !widget.isDisposed; tries--) done = await once(widget);
        } finally {
          running.delete(widget);
        }
        if (!done && !widget.isDisposed) widget._onSessionStatusChanged?.(widget.sessionContext, 'autorestarting');
      };
      const once = async widget => { // whether it was run to its end
        const session = widget.sessionContext, status = () => session?.session?.kernel?.status;
        await session?.ready;
        if (status() === 'dead') await session.restartKernel();
        const model = widget.context.model, clean = !model.dirty;
        let lost = false;
        const watch = (_, now) => { lost = lost || LOST.has(now); };
        session?.statusChanged.connect(watch);
        app.shell.activateById(widget.id);
        await Promise.resolve(app.commands.execute('notebook:run-all-cells')).catch(() => { lost = true; });
        session?.statusChanged.disconnect(watch);
        if (lost) await steady(status);
        else if (clean) model.dirty = false; // outputs are made anew at every opening: nothing to save, to ask about, or to quarrel over between tabs
        return !lost;
      };
      // while the desk covers the page it says itself that its engine has stopped, and before that it is asked again by itself
      const hush = widget => {
        const changed = widget.sessionContext?.statusChanged, told = widget._onSessionStatusChanged;
        if (typeof told !== 'function' || !changed?.disconnect(told, widget)) return;
        changed.connect((from, status) => {
          const tell = () => told.call(widget, from, status), covered = () => document.querySelector('.hs-whole');
          if (status !== 'autorestarting') tell();
          else if (running.has(widget)) setTimeout(() => { if (running.has(widget) && !covered() && !widget.isDisposed) tell(); }, SILENT);
          else if (!covered()) tell();
        });
      };
      const seen = new WeakSet();
      const meet = async widget => {
        if (!widget?.context || !widget.content || seen.has(widget)) return;
        seen.add(widget);
        await widget.context.ready;
        if (!marked(widget)) return;
        widget.node.classList.add('halfsplit-call');
        hush(widget);
        await run(widget);
      };
      const look = () => { for (const widget of app.shell.widgets('main')) meet(widget); };
      const again = () => {
        const current = app.shell.currentWidget;
        const widget = marked(current) ? current : [...app.shell.widgets('main')].find(marked);
        if (widget) run(widget);
      };

      document.addEventListener('course:run-again', again);
      window.addEventListener('course:run-again', event => { if (event.target === window) again(); });
      app.restored.then(() => { look(); setInterval(look, LOOK_AGAIN); });
    }
  };

  const known = (window._JUPYTERLAB = window._JUPYTERLAB || {});
  // without __esModule the whole page stays blank
  known['halfsplit-course'] = { init: () => {}, get: () => Promise.resolve(() => ({ __esModule: true, default: plugin })) };
})();
