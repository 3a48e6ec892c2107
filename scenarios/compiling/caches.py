"""The folder for what can be made again."""

import os
import tempfile
from pathlib import Path

import platformdirs


def home() -> Path:
    """A folder for caches that can be written: HALFSPLIT_CACHE, the user's cache folder, or else a temporary one."""
    for place in (os.environ.get("HALFSPLIT_CACHE"), platformdirs.user_cache_dir("halfsplit")):
        if place:
            folder = Path(place)
            try:
                folder.mkdir(parents=True, exist_ok=True)
                with tempfile.TemporaryFile(dir=folder):
                    return folder
            except OSError:
                continue
    return Path(tempfile.mkdtemp(prefix="halfsplit-"))
