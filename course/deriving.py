"""The derived file of a call, worked out, compared and written: an author's command."""

import difflib
import os
from collections.abc import Callable

from scenarios.errors import BadRequest
from scenarios.files.yamlfile import FOLDERS


def derived(call: str, check: bool, say: Callable[[str], None]) -> list[str]:
    """Lines by which what follows from a call is another than its file says; unless it only checks, the file is written.

    Raises
    ------
    BadRequest
        The file cannot be written; or what `graders.deriving.derive` raises.
    """
    from graders.deriving import derive

    path = FOLDERS["derived"] / f"{call}.yaml"
    before = path.read_text("utf-8") if path.is_file() else ""
    now = derive(call, say)
    changed = list(difflib.unified_diff(before.splitlines(), now.splitlines(), lineterm="", n=0))[2:]
    if changed and not check:
        try:
            path.parent.mkdir(exist_ok=True)
            draft = path.with_suffix(".draft")
            draft.write_text(now, "utf-8", newline="\n")
            os.replace(draft, path)
        except OSError as error:
            raise BadRequest(f"{path}: cannot be written ({error.strerror}); derive in a copy that is yours") from error
    return [line for line in changed if not line.startswith("@@")]
