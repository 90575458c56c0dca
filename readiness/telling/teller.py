"""From instants and indexes to the words and dates that people read.

Invariant: this is the one place where a minute becomes a moment at the site, and where a task is
given its name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.job.instants import is_dated, moment_of
from readiness.job.trip_rows import rig_id
from readiness.schedule.chains import chain
from readiness.schedule.state import Hold
from readiness.site.calendars import zone_days
from readiness.site.places import SITE
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Requirement

LONGEST_CHAIN = 8
"""Steps of a chain that are told; a longer one is cut in its middle."""

STATED = frozenset({TaskKind.RELEASE, TaskKind.CHECK})
"""Kinds of task that are told as what must be true, because nobody works on them."""


RIG = "rig"
"""What a rig does, in words."""


@dataclass(frozen=True, slots=True)
class Who:
    """Somebody to call."""

    id: str
    name: str
    """Firm or person, or what they do if no name is written."""
    phone: str
    trade: str
    """What they do, in words."""


class Teller:
    """Tells one outlook."""

    def __init__(self, outlook: Outlook) -> None:
        """Remember the outlook and its zone."""
        self.outlook = outlook
        self.site = outlook.site
        self.zone = zone_days(outlook.site.zone).zone
        self.year = moment_of(outlook.seen.as_of, self.zone).year

    def moment(self, instant: int) -> datetime | None:
        """Return the moment at the site, or None for an instant that has no date."""
        return moment_of(instant, self.zone) if is_dated(instant) else None

    def told(self, instant: int, *, beside: int | None = None) -> str:
        """Return an instant in words: `Mon 11 May 07:00`, with the year if it is another one.

        Args:
            instant: What to tell.
            beside: Compare the year with that of this instant. What people keep for long needs it:
                compared with the moment of the question, its words would change at New Year.
        """
        moment = self.moment(instant)
        if moment is None:
            return "no date"
        other = self.moment(beside) if beside is not None else None
        usual = other.year if other is not None else self.year
        year = f" {moment.year}" if moment.year != usual else ""
        return f"{moment:%a} {moment.day} {moment:%b}{year} {moment:%H:%M}"

    def day(self, instant: int) -> str:
        """Return the day of an instant: `Thu 14`."""
        moment = self.moment(instant)
        return f"{moment:%a} {moment.day}" if moment is not None else "no date"

    def place(self, place: str) -> str:
        """Return what people call a place."""
        return self.site.places.name(place)

    def task(self, task: int) -> str:
        """Return a task with its place: `pull and staple cable, Kitchen`."""
        row = self.site.tasks[task]
        title = row.title
        if row.kind is TaskKind.PULL:
            title = f"pull the {self.site.things[row.stay.removeprefix('pull:')].title}"
        return title if row.place == SITE else f"{title}, {self.place(row.place)}"

    def requirement(self, requirement: Requirement) -> str:
        """Return what is still to come: the work itself, or the statement that must be true."""
        if requirement.task is None or self.site.tasks[requirement.task].kind in STATED:
            return requirement.title
        return self.site.tasks[requirement.task].title

    def who(self, name: str) -> Who:
        """Return who a trade, an office or a role is, with the number to call."""
        job = self.site.job
        if name in job.trades:
            row = job.trades[name]
            trade = self._trade(name)
            if name == "contractor":
                contact = row.name or job.site.contact or trade
                return Who(name, contact, row.phone or job.site.phone, trade)
            return Who(name, row.name or trade, row.phone, trade)
        if name in job.offices:
            office = job.offices[name]
            return Who(name, office.name or name.replace("-", " "), office.phone, "office")
        if name in ("crew lead", "dispatcher") and "spray" in job.trades:
            firm = job.trades["spray"]
            return Who(name, firm.name or self._trade("spray"), firm.phone, name)
        rig = next((row.rig for row in job.trips.values() if rig_id(row) == name), None)
        if rig is not None:
            crew = self.who("spray")
            return Who(name, f"{crew.name}, rig {rig}", crew.phone, RIG)
        if name == "contractor":
            return Who(name, job.site.contact or "the contractor", job.site.phone, "contractor")
        return Who(name, self._trade(name), "", self._trade(name))

    def _trade(self, name: str) -> str:
        row = self.site.facts.trades.get(name)
        return row.title if row else name.replace("-", " ")

    def who_does(self, task: int) -> Who:
        """Return who does a task: its trade, or the office of a look."""
        row = self.site.tasks[task]
        if row.kind is TaskKind.APPROVAL:
            approval = row.stay.removeprefix("approval:")
            return self.who(self.site.office_of[approval])
        return self.who(row.trade or "contractor")

    def chain(self, task: int) -> tuple[str, ...]:
        """Return the told chain behind a task, nearest first, each step with its end and who."""
        steps = self._steps(task)
        sentences: list[str] = []
        for step, holds in steps:
            sentence = f"{self.task(step)}: {self.told(self.outlook.forecast.finish[step])}"
            because = ", ".join(_HOLD_WORDS[hold] for hold in holds)
            sentences.append(f"{sentence} ({because})" if because else sentence)
        if len(sentences) > LONGEST_CHAIN:
            half = LONGEST_CHAIN // 2
            left_out = len(sentences) - 2 * half
            middle = f"... {left_out} more between ..."
            sentences = [*sentences[:half], middle, *sentences[-half:]]
        return tuple(sentences)

    def chain_tasks(self, task: int) -> tuple[int, ...]:
        """Return the tasks of the told chain behind a task, nearest first, without itself."""
        return tuple(step for step, _ in self._steps(task) if step != task)

    def _steps(self, task: int) -> list[tuple[int, tuple[Hold, ...]]]:
        outlook = self.outlook
        steps = chain(
            task, outlook.network, outlook.calendars, outlook.forecast, outlook.known.state
        )
        return [
            (step.task, step.holds if step.link is None else ())
            for step in steps
            if not self._sleeps(step.task) or step.task in outlook.known.minutes
        ]

    def _sleeps(self, task: int) -> bool:
        """Say whether a task is a milestone, or mending that nothing has woken."""
        row = self.site.tasks[task]
        of_check = row.kind is TaskKind.KEEP_OUT and not row.minutes
        return of_check or row.kind in {
            TaskKind.MILESTONE,
            TaskKind.CORRECTION,
            TaskKind.CHECK,
        }

    def root(self, task: int) -> int:
        """Return the first open task of the chain behind a task: whom to call first."""
        steps = [
            step
            for step, _ in self._steps(task)
            if step not in self.outlook.known.state.finished
            and (
                self.site.tasks[step].trade is not None
                or self.site.tasks[step].kind is TaskKind.APPROVAL
            )
        ]
        return steps[-1] if steps else task

    def surfaces(self, surfaces: Iterable[str]) -> tuple[str, ...]:
        """Return the names of surfaces."""
        return tuple(self.place(surface) for surface in surfaces)


_HOLD_WORDS = {
    Hold.AS_OF: "not begun yet",
    Hold.BOOKING: "booked then",
    Hold.NOTICE: "the office's notice",
    Hold.KEEP_OUT: "shut out by the keep-out",
    Hold.SEEN: "as seen",
    Hold.UNDATED: "nobody has dated it",
}
