"""Asks the desk, from whatever thread, one question at a time.

Invariant: each answer stands on one reading of the clock, and a file that can't be read leaves the
job as it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from threading import Lock
from typing import TYPE_CHECKING

from readiness.desk.desk import Desk, open_desk
from readiness.desk.files import DIARY_FOLDER
from readiness.questions.check import CheckAnswer, check

if TYPE_CHECKING:
    from readiness.facts.vocabulary import Gate
    from readiness.telling.case import Case, On


@dataclass(frozen=True, slots=True)
class Asked:
    """What the screen asks about."""

    on: On = None
    """A day or moment; None means the booked arrival."""
    gate: Gate | None = None
    """None means the gate that the two instants name."""

    def moved(self, days: int, from_: datetime) -> Asked:
        """Return the question so many days on; one without a day starts from a given moment."""
        start: date | datetime = self.on if self.on is not None else from_.date()
        try:
            return Asked(start + timedelta(days=days), self.gate)
        except OverflowError:
            return self


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer, and the booked arrival as it stands."""

    answer: CheckAnswer
    booked: datetime | None
    """The arrival that a question without a day means; None if the trip has no booking."""


class Asker:
    """One open job that questions are asked of."""

    def __init__(self, desk: Desk, *, is_on_disk: bool = True) -> None:
        """Take a desk; a starter's is not on disk and is never read again."""
        self._desk = desk
        self._is_on_disk = is_on_disk
        self._lock = Lock()
        self._booked: tuple[Case, datetime | None] | None = None
        self._stamp = self._stamp_now()

    @property
    def has_fixed_clock(self) -> bool:
        """Say whether time stands still for the answers."""
        return self._desk.stands_at is not None or self._desk.job.as_of is not None

    def ask(self, asked: Asked) -> Answered:
        """Return the answer to a question."""
        with self._lock:
            case = self._desk.case()
            answer = check(case, asked.on, asked.gate)
            if self._booked is None or self._booked[0] is not case:
                usual = answer if asked == Asked() else check(case)
                self._booked = (case, usual.instants.on if usual.trip_booked else None)
            return Answered(answer, self._booked[1])

    def has_changed(self) -> bool:
        """Say whether the job or its diary is another one than was read last."""
        return self._stamp_now() != self._stamp

    def read_again(self) -> None:
        """Read job and diary again; a file that can't be used changes nothing.

        Raises:
            JobFileError: It can't be used; it is not looked at again until it changes.
        """
        self._stamp = self._stamp_now()
        if not self._is_on_disk:
            return
        desk = open_desk(self._desk.file)
        if self._desk.stands_at is not None:
            desk = desk.at(self._desk.stands_at)
        with self._lock:
            self._desk = desk

    def _stamp_now(self) -> tuple[tuple[str, int, int], ...]:
        """Return what tells two versions of the files apart, of those that are there."""
        if not self._is_on_disk:
            return ()
        file = self._desk.file
        stamps = []
        for path in (file, *sorted((file.parent / DIARY_FOLDER).glob("*"))):
            try:
                found = path.stat()
            except OSError:
                continue
            stamps.append((path.name, found.st_mtime_ns, found.st_size))
        return tuple(stamps)
