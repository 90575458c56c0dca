"""Writes files into a folder so that each is there whole or not at all.

Invariant: a file that was not written by us is never overwritten, and whatever goes wrong leaves
every file that stood there before as it was.
"""

from __future__ import annotations

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

LARGEST_HEAD_BYTES = 4_096
"""So much of a file tells whose it is."""


def write_files(
    folder: Path, files: Mapping[str, bytes], *, ours: Callable[[bytes], bool]
) -> tuple[str, ...]:
    """Write the files into the folder, which is made if it is not there.

    Args:
        folder: Where they go.
        files: Content by name.
        ours: Says by the beginning of a file whether it was written by us and may be replaced.

    Returns:
        The names of files of ours in the folder that were not among those written: what they say
        is older.

    Raises:
        JobFileError: The folder can't be used, or a file there is somebody else's; nothing was
            written.
    """
    made = _made_folder(folder)
    try:
        _refuse_foreign(folder, files, ours)
        _write_all(folder, files)
    except BaseException:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        raise
    return tuple(sorted(_older(folder, files, ours)))


def refuse_foreign(
    folder: Path, files: Mapping[str, bytes], *, ours: Callable[[bytes], bool]
) -> None:
    """Refuse, before anything else is written, what `write_files` would refuse.

    Raises:
        JobFileError: The folder is a file, or a file there is somebody else's.
    """
    if folder.exists() and not folder.is_dir():
        raise _problem(folder, "there is a file of that name, not a folder")
    _refuse_foreign(folder, files, ours)


def _made_folder(folder: Path) -> list[Path]:
    """Make the folder and what is missing above it; return what was made, outermost first."""
    missing: list[Path] = []
    try:
        above = folder
        while not above.exists():
            missing.append(above)
            above = above.parent
        missing.reverse()
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        raise _problem(folder, "there is a file of that name, not a folder") from None
    except OSError as error:
        raise _problem(folder, f"the folder can't be made ({_told(error)})") from None
    return missing


def _refuse_foreign(
    folder: Path, files: Mapping[str, bytes], ours: Callable[[bytes], bool]
) -> None:
    """Refuse before the first write whatever must not be overwritten, all of it at once."""
    problems = []
    folded: dict[str, str] = {}
    for name in files:
        twin = folded.setdefault(name.casefold(), name)
        hint = "move it away, or choose another folder; nothing was written"
        what = _foreign(folder / name, ours)
        if twin != name:
            what = f"some disks can't tell it from {twin}"
            hint = "rename one of the trades; nothing was written"
        if what is not None:
            problems.append(Problem(str(folder / name), None, "", what, hint=hint))
    if problems:
        raise JobFileError(problems)


def _foreign(path: Path, ours: Callable[[bytes], bool]) -> str | None:
    """Say what is wrong with overwriting a path, or None if it may be written."""
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return None
    except OSError as error:
        return f"it can't be looked at ({_told(error)})"
    if not stat.S_ISREG(mode):
        return "it is there already and is not a plain file"
    try:
        with path.open("rb") as file:
            head = file.read(LARGEST_HEAD_BYTES)
    except OSError as error:
        return f"it is there already and can't be read ({_told(error)})"
    return None if ours(head) else "it is there already and was not written by this program"


def _write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write everything beside its place, then move each into it."""
    parts: dict[Path, Path] = {}
    moved: list[str] = []
    mark = secrets.token_hex(4)
    path = folder
    try:
        for name, content in files.items():
            path = folder / name
            part = folder / f".{name}.{mark}.part"
            parts[path] = part
            _write_whole(part, content)
        for path, part in parts.items():
            part.replace(path)
            moved.append(path.name)
        _sync_folder(folder)
    except OSError as error:
        raise _problem(path, f"it can't be written ({_told(error)})", moved) from None
    finally:
        for part in parts.values():
            with suppress(OSError):
                part.unlink()


def _write_whole(path: Path, content: bytes) -> None:
    """Write a new file and wait until the disk has it."""
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Wait until the disk has the names too, where the system allows it."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _older(folder: Path, files: Mapping[str, bytes], ours: Callable[[bytes], bool]) -> list[str]:
    """Return the names of our files in the folder that were not written now."""
    suffixes = {Path(name).suffix for name in files}
    found = []
    with suppress(OSError):
        for path in folder.iterdir():
            if path.name in files or path.suffix not in suffixes or path.is_symlink():
                continue
            with suppress(OSError), path.open("rb") as file:
                if ours(file.read(LARGEST_HEAD_BYTES)):
                    found.append(path.name)
    return found


def _told(error: OSError) -> str:
    return error.strerror or type(error).__name__


def _problem(path: Path, what: str, moved: Sequence[str] = ()) -> JobFileError:
    """Return the problem with what had been written whole by then."""
    hint = f"new already: {', '.join(moved)}; all others are as before"
    hint = hint if moved else "nothing was written"
    return JobFileError([Problem(str(path), None, "", what, hint=hint)])
