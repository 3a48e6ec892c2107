"""Content of files by its digest, whatever order its keys stand in."""

import hashlib
import json
from typing import Any


def seal_of(*parts: Any) -> str:
    """SHA-256 over the content of files, or over what was taken from them."""
    text = json.dumps(parts, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
