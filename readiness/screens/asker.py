"""Asks the desk, from whatever thread, one question at a time, and writes through it.

Invariant: each answer stands on one reading of the clock, and a file that can't be read leaves the
job as it was; what is written is what was shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from threading import Lock
from typing import TYPE_CHECKING, TypeVar

from readiness.desk.desk import Desk, open_desk
from readiness.desk.forecasts import beside
from readiness.desk.stamps import stamp_of, stamp_of_job
from readiness.questions.check import CheckAnswer, check

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readiness.desk.proposing import Proposal, Wanted
    from readiness.desk.stamps import Stamp
    from readiness.desk.statement import Writer
    from readiness.facts.vocabulary import Gate
    from readiness.foam.hours import Forecast
    from readiness.telling.case import Case, On

Done = TypeVar("Done")


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


class ShownAnewError(Exception):
    """The job has changed since a proposal was shown: it must be looked at again."""

    def __init__(self, proposal: Proposal) -> None:
        """Keep the proposal as it is now."""
        self.proposal = proposal
        super().__init__("somebody else has written meanwhile: look again at what it changes")


class Asker:
    """One open job that questions are asked of."""

    def __init__(
        self, desk: Desk, *, is_on_disk: bool = True, forecast: Path | None = None
    ) -> None:
        """Take a desk; a starter's is not on disk and is never read again.

        Args:
            desk: The open job.
            is_on_disk: Its file is there and may change.
            forecast: An hourly forecast; None takes one that lies beside the job.
        """
        self._desk = desk
        self._is_on_disk = is_on_disk
        places = beside(desk.file) if is_on_disk else ()
        self._named = forecast
        self._forecasts = places if forecast is None else (forecast,)
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

    def case(self) -> Case:
        """Return the job now, to ask another question of."""
        with self._lock:
            return self._desk.case()

    def forecast(self) -> Forecast | None:
        """Return the hourly forecast as it is in its file now; None if there is none.

        Raises:
            JobFileError: It can't be used.
        """
        from readiness.desk.forecasts import forecast_of

        there = (file for file in self._forecasts if file.exists())
        file = next(there, self._named)
        return forecast_of(file, self._desk.zone) if file is not None else None

    def with_desk(self, do: Callable[[Desk], Done]) -> Done:
        """Return what is done with the desk while nobody else uses it."""
        with self._lock:
            return do(self._desk)

    def propose(self, wanted: Wanted, writer: Writer) -> Proposal:
        """Return what would be written and what it changes; nothing is written.

        Raises:
            NoteRefused: It has no reading, or may not be said.
            MisreadError: The words for the moment have no reading.
        """
        from readiness.desk.proposing import proposed

        with self._lock:
            return proposed(self._desk, wanted, writer)

    def write(self, proposal: Proposal) -> tuple[str, ...]:
        """Write what was shown and return the entries, each in a line.

        Raises:
            NoteRefused: It may not be written, or not any more.
            ShownAnewError: It changes something else by now, so nothing was written.
            JobFileError: Job or diary can't be used.
        """
        from readiness.desk.proposing import may_write, proposed, write
        from readiness.pages.entry_text import entry_text

        may_write(self._desk, is_on_disk=self._is_on_disk)
        if self.has_changed():
            self.read_again()
        with self._lock:
            anew = proposed(self._desk, proposal.wanted, proposal.writer, proposal.at)
            if anew.says != proposal.says:
                raise ShownAnewError(anew)
            noted = write(anew)
            # The stamp stays: whatever came in beside this is read at the next look
            self._desk = noted.desk
        return tuple(entry_text(entry) for entry in noted.entries)

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

    def _stamp_now(self) -> Stamp:
        """Return what tells two versions of the files apart, of those that are there."""
        of_job = stamp_of_job(self._desk.file) if self._is_on_disk else ()
        return (*of_job, *stamp_of(*self._forecasts))
