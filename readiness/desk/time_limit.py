"""Ends whatever takes far too long to read.

Invariant: what was read until then is dropped whole.
"""

from __future__ import annotations

import signal
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import FrameType


class _TooLongError(BaseException):
    """Reading takes far too long; no handler of a library's errors catches it."""


@contextmanager
def time_limit(name: str, seconds: float) -> Iterator[None]:
    """End what takes longer than so many seconds; only where the system can interrupt.

    Raises:
        JobFileError: It took longer; `name` says what was read.
    """
    able = hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()
    if not able:
        yield
        return

    def stop(number: int, frame: FrameType | None) -> None:
        del number, frame
        raise _TooLongError

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    except _TooLongError:
        what = f"takes more than {seconds:g} s to read"
        hint = "nothing was taken from it"
        raise JobFileError([Problem(name, None, "", what, hint=hint)]) from None
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
