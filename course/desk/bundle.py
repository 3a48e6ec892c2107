"""The desk's JavaScript, joined into one module.

A widget's code arrives in the page as one blob, where relative imports fail. The sources stay plain ES modules that
node and a type checker read as they are; here each becomes a function scope, so that names may repeat between modules.
"""

from __future__ import annotations

import re
from pathlib import Path

HERE = Path(__file__).parent
IMPORT = re.compile(r"^import \{\s*([^}]*?)\s*\} from '\./([\w-]+)\.js';\n", re.M)
EXPORT = re.compile(r"^export (?:const|let|class|(?:async )?function) (\w+)", re.M)
DEFAULT = re.compile(r"^export default (.*);$", re.M)


def _order(name: str, folder: Path, seen: list[str]) -> None:
    """Append the modules that `name` needs, then itself, to `seen`."""
    if name in seen:
        return
    text = (folder / f"{name}.js").read_text("utf-8")
    for _, needed in IMPORT.findall(text):
        _order(needed, folder, seen)
    if name not in seen:
        seen.append(name)


def _scope(name: str, text: str) -> str:
    """One module as a function that returns what it exports."""
    exports = EXPORT.findall(text)
    text = IMPORT.sub(lambda m: f"const {{ {m[1]} }} = hs_{m[2]};\n", text)
    if re.search(r"^\s*import\b(?!\()", text, re.M):
        raise ValueError(f"{name}.js imports in a form that the join does not know; write import {{ a, b }} from './name.js';")
    default = DEFAULT.search(text)
    text = DEFAULT.sub("", text)
    text = re.sub(r"^export ", "", text, flags=re.M)
    gives = [*exports, *([f"default: {default[1]}"] if default else [])]
    return f"const hs_{name} = (() => {{\n{text}\nreturn {{ {', '.join(gives)} }};\n}})();\n"


def joined(entry: str = "desk", folder: Path = HERE / "js") -> str:
    """The module `entry` and all it imports as one ES module with the entry's default export."""
    names: list[str] = []
    _order(entry, folder, names)
    parts = [_scope(name, (folder / f"{name}.js").read_text("utf-8")) for name in names]
    return "\n".join([*parts, f"export default hs_{entry}.default;\n"])


def style() -> str:
    """The desk's style sheet."""
    return (HERE / "desk.css").read_text("utf-8")
