"""The course inside Jupyter: a page of calls, quick messages, notebooks that run themselves.

Installed nowhere; `halfsplit` switches it on for its own process.
"""

from typing import Any


def _jupyter_server_extension_points() -> list[dict[str, Any]]:
    """Tell Jupyter Server where the extension is."""
    return [{"module": "course.jupyter.server"}]
