"""What the workers of a screen post when they are done.

Invariant: a worker touches no widget; it posts one of these.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from readiness.screens.asker import Answered, Asked


@dataclass
class AnswerCame(Message):
    """A question was answered."""

    asked: Asked
    answered: Answered


@dataclass
class FileWasRead(Message):
    """The job file was read again."""

    problems: tuple[str, ...]
    """What is wrong with it; then the job is still the one read before."""
