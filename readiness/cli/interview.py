"""The ten questions of `new`, each asked until its answer can be used.

Invariant: a question asks for one thing, in plain words, and no run asks more than ten.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, TypeVar

import click

from readiness.exchange.job_answers import Firm, Room, Where, read_firm, read_rooms, read_where
from readiness.exchange.job_text import Own
from readiness.exchange.starter_days import board_days, working_day
from readiness.job.fields import checked_text
from readiness.job.problems import did_you_mean
from readiness.job.words import understand
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from collections.abc import Callable

AS_IN_THE_EXAMPLE = "as in the example"
NOT_KNOWN_YET = "-"

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Interview:
    """Asks about one job."""

    card: bool
    """A site card: rooms, electrician, office and board are not asked for."""

    def kind(self, kinds: tuple[str, ...]) -> str:
        """Ask for the kind of job."""
        question = f"What kind of job is it: {', '.join(kinds)}?"
        return _ask(question, lambda text: _kind_named(text, kinds), kinds[0])

    def name(self) -> str:
        """Ask for the name of the job."""
        return _ask("What do you call the job, e.g. its street and number?", checked_text)

    def where(self, usual: str) -> Where:
        """Ask where the site is; holidays and clock follow from it."""
        question = "Where is it: country, state or province, time zone?"
        return _ask(question, read_where, usual)

    def rest(
        self, name: str, where: Where, starter: str, now: datetime, days_to_spray: int
    ) -> tuple[Own, date]:
        """Ask for rooms, people and days; return all answers and the spray day."""

        def later(day: date, count: int) -> date:
            return working_day(day, count, where.country, where.state)

        rooms = () if self.card else _ask(ROOMS_QUESTION, _rooms_or_none, AS_IN_THE_EXAMPLE)
        contractor = _firm("Your name and number, e.g. Rosa Ibarra, 555-0120?")
        spray = _firm("The spray company and its number?")
        electrician = Firm("") if self.card else _firm("The electrician and the number?")
        office = Firm("") if self.card else _firm("The office that approves, and its number?")
        proposed = later(now.date(), days_to_spray).isoformat()
        spray_day = _ask("Which day is to be sprayed?", _Day(now, later).read, proposed)
        steps = board_days(starter)
        board_day = None
        if steps is not None:
            proposed = later(spray_day, steps).isoformat()
            question = "From which day may board or liner cover it?"
            board_day = _ask(question, _Day(now, later, spray_day).read, proposed)
        own = Own(name, where, rooms, contractor, spray, electrician, office, board_day)
        return own, spray_day


ROOMS_QUESTION = (
    "Which rooms, storey by storey, e.g. ground: hall, kitchen; upper: bath, bedroom 1?"
)


def _ask(question: str, read: Callable[[str], T], usual: str | None = None) -> T:
    """Ask until there is an answer that can be used."""

    def value_of(text: str) -> T:
        try:
            return read(text)
        except MisreadError as error:
            raise click.UsageError(str(error)) from None

    answer: T = click.prompt(question, usual, value_proc=value_of, prompt_suffix=" ", err=True)
    return answer


def _firm(question: str) -> Firm:
    return _ask(question, read_firm, NOT_KNOWN_YET)


def _rooms_or_none(text: str) -> tuple[Room, ...]:
    return () if text == AS_IN_THE_EXAMPLE else read_rooms(text)


def _kind_named(text: str, kinds: tuple[str, ...]) -> str:
    """Return the kind a text names, also by its beginning.

    Raises:
        MisreadError: It names none, or several.
    """
    said = text.casefold().strip()
    found = [kind for kind in kinds if kind.startswith(said)]
    if len(found) != 1:
        hint = did_you_mean(said, kinds) or "one of: " + ", ".join(kinds)
        raise MisreadError(text, "a kind of job", hint)
    return found[0]


@dataclass(frozen=True, slots=True)
class _Day:
    """Reads a working day from today on, or after an earlier day."""

    now: datetime
    later: Callable[[date, int], date]
    after: date | None = None

    def read(self, text: str) -> date:
        """Return the day.

        Raises:
            MisreadError: It has no reading or two, lies too early, or nobody works then.
        """
        day = understand(text, self.now, self.later).day
        if day < self.now.date():
            raise MisreadError(text, "a day to come", f"today is {_told(self.now.date())}")
        if self.after is not None and day <= self.after:
            hint = f"the spray day is {_told(self.after)}"
            raise MisreadError(text, "a day after the spray day", hint)
        working = self.later(day - timedelta(days=1), 1)
        if working != day:
            hint = f"{_told(day)} is a weekend or holiday; next comes {_told(working)}"
            raise MisreadError(text, "a working day", hint)
        return day


def _told(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b %Y}"
