"""How it is noticed that somebody has changed a file since it was read.

Invariant: a file that was written again has another stamp, or its stamp is not settled yet and is
not relied on.
"""

from __future__ import annotations

import os
import time
from typing import TYPE_CHECKING

from readiness.desk.files import DIARY_FOLDER

if TYPE_CHECKING:
    from pathlib import Path

SETTLED_NS = 50_000_000
"""Two writings within one tick of a disk's clock look alike; ticks are 10 ms at most."""

_Facts = tuple[str, int, int, int, int]

Stamp = tuple[_Facts, ...]
"""What the disk says about files, without their content."""


def is_settled(stamp: Stamp) -> bool:
    """Say whether the last change is old enough for the next one to look different.

    Args:
        stamp: Taken just now.
    """
    newest = max(max(one[1], one[2]) for one in stamp)
    return time.time_ns() - newest > SETTLED_NS


def stamp_of(*files: Path) -> Stamp:
    """Return the stamp of files; one that is not there has one too."""
    return tuple(_facts(str(file)) for file in files)


def stamp_of_job(file: Path) -> Stamp:
    """Return the stamp of a job file and the diary beside it."""
    found = [_facts(str(file))]
    folder = str(file.parent / DIARY_FOLDER)
    found.append(_facts(folder))
    try:
        with os.scandir(folder) as entries:
            names = sorted(entry.path for entry in entries if entry.name.endswith(".jsonl"))
    except OSError:
        names = []
    found += [_facts(name) for name in names]
    return tuple(found)


def _facts(path: str) -> _Facts:
    try:
        state = os.stat(path)  # noqa: PTH116  a third of the time, several times for each request
    except OSError:
        return (path, 0, 0, 0, 0)
    return (path, state.st_mtime_ns, state.st_ctime_ns, state.st_size, state.st_ino)
