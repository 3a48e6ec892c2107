// Browser side of the course, written by hand in the form that JupyterLab loads: a container with one plugin.
// A notebook that says {"course": {"autorun": true}} in its metadata runs when it opens and shows no code;
// the page event `course:run-again` runs the open one again after its engine has been restarted.
(() => {
  const LOOK_AGAIN = 300; // ms; the shell does not announce every way in which a notebook can appear
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

      const run = async widget => {
        await widget.sessionContext?.ready;
        app.shell.activateById(widget.id);
        await app.commands.execute('notebook:run-all-cells');
      };
      const seen = new WeakSet();
      const meet = async widget => {
        if (!widget?.context || !widget.content || seen.has(widget)) return;
        seen.add(widget);
        await widget.context.ready;
        if (!marked(widget)) return;
        widget.node.classList.add('halfsplit-call');
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
