"""Opening the course in JupyterLab, set up for this one process: nothing is installed into a person's own Jupyter.

``python -m course.jupyter.launch FOLDER`` prints the words that make any JupyterLab server the course, one a line.
"""

import os
import sys
from pathlib import Path

import platformdirs

HERE = Path(__file__).resolve().parent
LAB_EXTENSIONS = HERE / "labextensions"
"""Holds the browser side of the course, ready built."""
FIRST_PAGE = "/halfsplit/calls"
EXTENSIONS = {"course.jupyter": True} | {
    f"nbgrader.server_extensions.{name}": False for name in ("assignment_list", "course_list", "formgrader", "validate_assignment")
}
"""Server extensions: the course's own, and none of the instructor's."""


def own_settings() -> dict[str, str]:
    """Environment that keeps the course's Jupyter apart from the person's own: settings, workspaces, trust and kernels."""
    own = Path(platformdirs.user_config_dir("halfsplit")) / "jupyter"
    return {
        "JUPYTER_CONFIG_DIR": str(own),
        "JUPYTERLAB_SETTINGS_DIR": str(own / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(own / "workspaces"),
        "JUPYTER_PREFER_ENV_PATH": "1",
    }


def course_words(folder: Path) -> list[str]:
    """The part of the server's command line that makes it the course, wherever it runs."""
    return [
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.default_url={FIRST_PAGE}",
        f"--LabApp.default_url={FIRST_PAGE}",
        f"--ServerApp.jpserver_extensions={EXTENSIONS}",
        f"--LabApp.extra_labextensions_path={LAB_EXTENSIONS}",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        "--LabApp.news_url=None",
        "--LabApp.extension_manager=readonly",
    ]


def server_words(folder: Path, port: int, *, browser: bool) -> list[str]:
    """Command line of the server on a person's own machine.

    Bound to this machine and guarded by a token; root may run it, since in a container there is nobody else.
    """
    return [
        *course_words(folder),
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.port={port}",
        "--ServerApp.allow_root=True",
        f"--ServerApp.open_browser={browser}",
        f"--LabApp.open_browser={browser}",
        "--ServerApp.log_level=WARN",
    ]


def launch(folder: Path, port: int, *, browser: bool) -> None:
    """Run the course's server until it is stopped.

    Parameters
    ----------
    folder : Path
        The person's folder of calls.
    port : int
        Port on this machine; the next free one is taken if it is busy.
    browser : bool
        Open a browser at the page of calls.
    """
    for name, value in own_settings().items():
        os.environ.setdefault(name, value)
    from jupyterlab.labapp import LabApp

    LabApp.launch_instance(server_words(folder, port, browser=browser))


if __name__ == "__main__":
    sys.stdout.write("\n".join(course_words(Path(sys.argv[1]).resolve())) + "\n")
