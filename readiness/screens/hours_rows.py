"""The rows of a day, time running down: the air, the limits, what happens, who is kept out.

Hours in which nobody works and nothing happens are one row, which opens to its hours.
Invariant: a mark never stands without its word, and an hour is never called within the limits that
one group of surfaces is outside of.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import groupby
from typing import TYPE_CHECKING

from readiness.screens.hours_steps import SPRAY, is_kept_out, work_at
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from readiness.questions.check import CheckAnswer
    from readiness.screens.hours_steps import Answers, Happening
    from readiness.telling.weather_hours import GroupsHour, HourLine

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
ROW = "hour "
"""An entry's id begins with this if it is a row of time; what tells it apart follows."""
MARKS = {"within": "=", "close": "~", "outside": ".", "not known": "?"}
KEPT_OUT, ASKS, NOW = "#", "!", ">"
TOLD = frozenset({"outside", "not known"})
"""States of which the groups are told without being asked for."""
IS_NOW = "now"


def hour_rows(
    check: CheckAnswer, answers: Answers, every: Sequence[Happening], opened: Collection[str]
) -> Iterable[Entry]:
    """Yield the hours of the day asked about, with what happens in them.

    Args:
        check: The answer that all screens share.
        answers: The screen's own, with hours.
        every: What happens that day.
        opened: Ids of rows that are told in full.
    """
    hours = (_Hour(line, check, answers, every) for line in answers.conditions.hours)
    before: object = None
    for is_quiet, on_end in groupby(hours, lambda hour: hour.is_quiet):
        some = list(on_end)
        if is_quiet and len(some) > 1 and some[0].id not in opened:
            yield _quiet(some)
            before = None
            continue
        for hour in some:
            is_told = hour.told_groups is not None and hour.told_groups != before
            yield hour.entry(is_told=is_told, is_open=hour.id in opened)
            before = hour.told_groups


def moment_rows(check: CheckAnswer, answers: Answers, every: Sequence[Happening]) -> list[Entry]:
    """Return what happens on a day, a row for each moment, where no hours are told."""
    return [
        Entry(
            f"{ROW}{one.at.isoformat()} {number}",
            (
                Line(
                    one.says,
                    before=_before(one.at, one.at + MINUTE, check, answers, lead=_lead([one])),
                    is_strong=one.asks or one.says == IS_NOW,
                ),
            ),
        )
        for number, one in enumerate(every)
    ]


def row_at(entries: Iterable[Entry], moment: datetime) -> str:
    """Return the id of the last row of a moment's day that begins by then; empty if none does."""
    rows = [entry.id for entry in entries if entry.id.startswith(ROW)]
    begun = [row for row in rows if _begins(row) <= moment and _begins(row).date() == moment.date()]
    return begun[-1] if begun else ""


def _begins(row: str) -> datetime:
    return datetime.fromisoformat(row.removeprefix(ROW).split(" ")[0])


def _lead(every: Iterable[Happening]) -> str:
    """Return the sign before a row: somebody has to do something, or it is now."""
    told = list(every)
    if any(one.asks for one in told):
        return ASKS
    return NOW if any(one.says == IS_NOW for one in told) else " "


def _before(
    from_: datetime, until: datetime, check: CheckAnswer, answers: Answers, *, lead: str
) -> str:
    kept_out = KEPT_OUT if is_kept_out(from_, until, check, answers) else " "
    return f"{lead} {from_:%H:%M} {kept_out} "


def _quiet(hours: Sequence[_Hour]) -> Entry:
    """Return hours without the spray crew as one row."""
    first, until = hours[0], hours[-1].until
    ends = "24:00" if until.date() != first.from_.date() else f"{until:%H:%M}"
    states = dict.fromkeys(hour.line.state for hour in hours)
    stand = ", ".join(f"{MARKS[state]} {state}" for state in states)
    text = f"no spray crew until {ends}: {stand}"
    return Entry(first.id, (Line(text, before=first.before),))


class _Hour:
    """One hour of the day asked about."""

    def __init__(
        self, line: HourLine, check: CheckAnswer, answers: Answers, every: Sequence[Happening]
    ) -> None:
        self.line = line
        self.from_, self.until = line.from_, line.from_ + HOUR
        self.id = f"{ROW}{line.from_.isoformat()}"
        self.every = [one for one in every if self.from_ <= one.at < self.until]
        self.work = work_at(self.from_, self.until, check, answers)
        lead = ASKS if self.is_sprayed_outside else _lead(self.every)
        self.is_strong = lead != " "
        self.before = _before(self.from_, self.until, check, answers, lead=lead)

    @property
    def is_quiet(self) -> bool:
        """Say whether nobody works in it and nothing happens."""
        return not (self.every or self.work or self.line.on_shift)

    @property
    def told_groups(self) -> object:
        """Return which groups stand how, as far as that is told without being asked for."""
        if self.line.state not in TOLD or not (self.work or self.line.on_shift):
            return None
        return [(each.groups, each.state) for each in self.line.groups if each.state in TOLD]

    @property
    def is_sprayed_outside(self) -> bool:
        """Say whether the gun would run while some group is outside its limits."""
        return SPRAY in self.work and self.line.state == "outside"

    def entry(self, *, is_told: bool, is_open: bool) -> Entry:
        """Return the row, with what its groups say below it."""
        line = self.line
        stands = f"{MARKS[line.state]} {line.state:<9} {line.air:>6} {line.humidity:>5}  "
        lines = [Line(self._text(), before=f"{self.before}{stands}", is_strong=self.is_strong)]
        if is_open or is_told:
            indent = len(self.before)
            lines += (Line(text, indent=indent) for text in _groups(line, every=is_open))
        return Entry(self.id, tuple(lines))

    def _text(self) -> str:
        """Return what goes on in it, then what begins, each moment told once."""
        begun = {word for word in self.work for one in self.every if one.says.startswith(word)}
        texts = [word for word in self.work if word not in begun]
        for at, some in groupby(self.every, lambda one: one.at):
            said = "; ".join(one.says for one in some)
            texts.append(f"{at:%H:%M} {said}" if at.minute else said)
        if self.is_sprayed_outside:
            texts.append("the gun would run outside the limits")
        return "; ".join(texts)


def _groups(line: HourLine, *, every: bool) -> Iterable[str]:
    """Yield which groups stand how, a single line where all stand alike."""
    for group in line.groups:
        if every or group.state in TOLD:
            is_all = len(line.groups) == 1 and len(group.groups) > 1
            names = "every group" if is_all else "; ".join(group.groups)
            yield f"{MARKS[group.state]} {group.state}, {names}: {_says(group)}"


def _says(group: GroupsHour) -> str:
    heat = "; with heat within, by an estimate that meets nothing" if group.with_heat else ""
    return f"{group.says}{heat}"
