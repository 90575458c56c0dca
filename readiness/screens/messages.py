"""What the workers of the screens post when they are done.

Invariant: a worker touches no widget; it posts one of these.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from readiness.desk.proposing import Proposal
    from readiness.screens.asker import Answered, Asked
    from readiness.screens.session import Session


@dataclass
class JobWasOpened(Message):
    """The job was opened, or could not be."""

    session: Session | None
    failed: Exception | None = None


@dataclass
class AnswerCame(Message):
    """The question that all screens share was answered."""

    asked: Asked
    answered: Answered


@dataclass
class FileWasRead(Message):
    """The job file was read again."""

    problems: tuple[str, ...]
    """What is wrong with it; then the job is still the one read before."""


@dataclass
class Found(Message):
    """The question of one screen was answered."""

    run: int
    """Which asking it was: an answer to an earlier one than the last is dropped."""
    found: object


@dataclass
class Progressed(Message):
    """Something that takes long says how far it is."""

    run: int
    says: str


@dataclass
class Proposed(Message):
    """What somebody wants to write was understood, or refused."""

    run: int
    proposal: Proposal | None
    refused: str = ""


@dataclass
class Written(Message):
    """What was shown is written, or is not."""

    entries: tuple[str, ...] = ()
    """Each in a line; none if it was refused."""
    refused: str = ""
    anew: Proposal | None = None
    """The proposal as it is now, if the job has changed since it was shown."""
