"""The command `readiness` for tests that call it a hundred times: imported once, forked each time.

One process imports all our modules, waits at a socket and forks for each call. A small
client stands wherever `python -m readiness` would, also in a line of a shell.
Invariant: each call is a process of its own that begins where `python -m readiness` begins, with
nothing done before but imports, so nothing that one call leaves in memory reaches another.
"""

from __future__ import annotations

import gc
import importlib
import marshal
import os
import pkgutil
import runpy
import select
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import readiness
from tests.starter_client import LENGTH_BYTES, STREAMS

ROOT = Path(__file__).resolve().parent.parent
CLIENT = ROOT / "tests" / "starter_client.py"
LATE = ("holidays", "openpyxl", "ortools.sat.python.cp_model", "xlsxwriter")
"""Slow to import, and imported by a command only while it works."""
IS_READY = b"ready\n"
SETTINGS = {
    "PYTHONPATH": str(ROOT),
    "PYTHONUTF8": "1",
    # As the program sets it itself
    "PYDANTIC_DISABLE_PLUGINS": "__all__",
    # A process with threads had better not fork
    "OPENBLAS_NUM_THREADS": "1",
}
"""What only counts when a process starts; all others come with each call."""


@contextmanager
def starting() -> Iterator[tuple[str, ...]]:
    """Yield the words that stand for `python -m readiness` as long as the process behind lives."""
    if not hasattr(os, "fork"):
        yield (sys.executable, "-m", "readiness")
        return
    ends, lifeline = os.pipe()
    with TemporaryDirectory() as folder:
        address = f"{folder}/door"
        with subprocess.Popen(
            [sys.executable, "-m", "tests.starter", address, str(ends)],
            cwd=ROOT,
            env={**os.environ, **SETTINGS},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            pass_fds=[ends],
        ) as process:
            os.close(ends)
            try:
                assert process.stdout is not None
                assert process.stdout.readline() == IS_READY
                yield (sys.executable, "-I", "-S", str(CLIENT), address)
            finally:
                os.close(lifeline)


def import_the_program() -> None:
    """Import every module of ours but the one that a call begins with."""
    for module in pkgutil.walk_packages(readiness.__path__, "readiness."):
        if module.name != "readiness.__main__":
            importlib.import_module(module.name)
    for library in LATE:
        importlib.import_module(library)
    gc.collect()
    gc.freeze()


def words_of_next_call(address: str, lifeline: int) -> list[str]:
    """Wait for calls; return the words of each in a process of its own, which has its streams.

    Args:
        address: Path of the socket.
        lifeline: End of a pipe: once nobody holds the other end, the waiting process ends.
    """
    with socket.socket(socket.AF_UNIX) as door:
        door.bind(address)
        door.listen()
        os.write(1, IS_READY)
        _put(os.open(os.devnull, os.O_WRONLY), 1)
        while True:
            ready, _, _ = select.select([door.fileno(), lifeline], [], [])
            if lifeline in ready:
                sys.exit()
            link, _ = door.accept()
            with link:
                _bury_the_dead()
                if os.fork() == 0:
                    os.close(lifeline)
                    door.close()
                    return _begun(link)


def _bury_the_dead() -> None:
    with suppress(ChildProcessError):
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


def _begun(link: socket.socket) -> list[str]:
    """Become the process of a call, whose parent tells how it ended, and return its words."""
    head, streams, _, _ = socket.recv_fds(link, LENGTH_BYTES, len(STREAMS))
    with link.makefile("rb") as coming:
        words, folder, environment = marshal.loads(  # noqa: S302  from the client beside this
            coming.read(int.from_bytes(head, "big"))
        )
    end, held_by_call = os.pipe()
    call = os.fork()
    if call:
        os.close(held_by_call)
        for stream in streams:
            os.close(stream)
        _tell_the_end(call, end, link)
    os.close(end)
    link.close()
    for stream, wanted in zip(streams, STREAMS, strict=True):
        _put(stream, wanted)
    os.chdir(folder)
    os.environb.clear()
    os.environb.update(environment)
    time.tzset()
    return [os.fsdecode(word) for word in words]


def _put(stream: int, wanted: int) -> None:
    os.dup2(stream, wanted)
    os.close(stream)


def _tell_the_end(call: int, end: int, link: socket.socket) -> None:
    """Wait until the call has ended or nobody waits for it any more."""
    ready, _, _ = select.select([end, link.fileno()], [], [])
    if end not in ready:
        os.kill(call, signal.SIGKILL)
    code = os.waitstatus_to_exitcode(os.waitpid(call, 0)[1])
    if end in ready:
        link.sendall((code if code >= 0 else 128 - code).to_bytes(LENGTH_BYTES, "big"))
    os._exit(0)


if __name__ == "__main__":
    import_the_program()
    sys.argv[1:] = words_of_next_call(sys.argv[1], int(sys.argv[2]))
    runpy.run_module("readiness", run_name="__main__", alter_sys=True)
