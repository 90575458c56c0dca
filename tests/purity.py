"""Whether code below the desk keeps to itself, watched twice: while it runs and as it is written.

Watching the run sees files, sockets and processes, whoever opens them; reading the clock or the
environment raises no event in Python, so the text of the modules is searched for that.
Invariant: a watched block that opens anything fails, whatever it does with the exception.
"""

from __future__ import annotations

import ast
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

FORBIDDEN_EVENTS = frozenset(
    {
        "ftplib.connect",
        "glob.glob",
        "http.client.connect",
        "mmap.__new__",
        "open",
        "pathlib.Path.glob",
        "pathlib.Path.rglob",
        "pty.spawn",
        "signal.pthread_kill",
        "sqlite3.connect",
        "subprocess.Popen",
        "syslog.syslog",
        "urllib.Request",
        "webbrowser.open",
    }
)
FORBIDDEN_FAMILIES = ("os.", "shutil.", "socket.", "tempfile.", "winreg.")

CLOCK_AND_WORLD_CALLS = frozenset(
    {
        "exists",
        "fromtimestamp",
        "getcwd",
        "getenv",
        "is_dir",
        "is_file",
        "iterdir",
        "mkdir",
        "monotonic",
        "now",
        "perf_counter",
        "process_time",
        "read_bytes",
        "read_text",
        "rglob",
        "time_ns",
        "today",
        "unlink",
        "utcnow",
        "write_bytes",
        "write_text",
    }
)
"""Called as `thing.NAME(...)`, these reach for the clock or for files."""

WORLD_MODULES = frozenset(
    {
        "getpass",
        "glob",
        "http",
        "io",
        "locale",
        "logging",
        "multiprocessing",
        "os",
        "platform",
        "secrets",
        "shutil",
        "signal",
        "socket",
        "sqlite3",
        "subprocess",
        "sys",
        "tempfile",
        "time",
        "urllib",
        "uuid",
    }
)
"""Nothing below the desk has a use for these; `importlib.resources` belongs to the loaders."""


@dataclass
class _Watch:
    """What one watched block has reached for."""

    thread: int
    seen: list[str]


class OutsideWorldError(AssertionError):
    """Code that promised to keep to itself reached for the world."""


_watches: list[_Watch] = []
_installed: list[bool] = []


def _is_forbidden(event: str) -> bool:
    return event in FORBIDDEN_EVENTS or event.startswith(FORBIDDEN_FAMILIES)


def _hook(event: str, arguments: tuple[object, ...]) -> None:
    if not _watches or not _is_forbidden(event):
        return
    for watch in _watches:
        if watch.thread == threading.get_ident():
            shown = f"{event}{arguments[:2]!r}"
            watch.seen.append(shown)
            message = f"reached for the outside world: {shown}"
            raise OutsideWorldError(message)


@contextmanager
def no_outside_world() -> Iterator[None]:
    """Fail when the block opens a file, a socket or a process, even if it swallows the refusal.

    Modules that the block imports late are files too: run the code once before it is watched.

    Raises:
        OutsideWorldError: The block reached for the world.
    """
    if not _installed:
        sys.addaudithook(_hook)
        _installed.append(True)
    watch = _Watch(thread=threading.get_ident(), seen=[])
    _watches.append(watch)
    try:
        yield
    finally:
        _watches.remove(watch)
    if watch.seen:
        message = f"reached for the outside world: {watch.seen[0]}"
        raise OutsideWorldError(message)


@dataclass(frozen=True, order=True)
class Reach:
    """One place in a module's text that reaches for the clock, files or environment."""

    line: int
    what: str


def reaches_in(text: str) -> list[Reach]:
    """Return what a module's text reaches for, by line."""
    return sorted({found for node in ast.walk(ast.parse(text)) for found in _reaches_of(node)})


def _reaches_of(node: ast.AST) -> Iterator[Reach]:
    if isinstance(node, ast.Import):
        for alias in node.names:
            if _is_worldly(alias.name):
                yield Reach(node.lineno, f"import {alias.name}")
    elif isinstance(node, ast.ImportFrom):
        module = node.module or ""
        if _is_worldly(module) or (
            module == "importlib" and any(alias.name == "resources" for alias in node.names)
        ):
            yield Reach(node.lineno, f"from {module} import ...")
    elif isinstance(node, ast.Call):
        yield from _reaches_of_call(node)


def _is_worldly(module: str) -> bool:
    top = module.partition(".")[0]
    return top in WORLD_MODULES or module.startswith("importlib.resources")


def _reaches_of_call(node: ast.Call) -> Iterator[Reach]:
    called = node.func
    if isinstance(called, ast.Name) and called.id in {"input", "open", "print"}:
        yield Reach(node.lineno, f"{called.id}()")
    if isinstance(called, ast.Attribute) and called.attr in CLOCK_AND_WORLD_CALLS:
        yield Reach(node.lineno, f".{called.attr}()")


def modules_below_the_desk(package: Path, floors: list[str]) -> list[Path]:
    """Return the files of the floors that must keep to themselves, in order."""
    return sorted(path for floor in floors for path in (package / floor).rglob("*.py"))
