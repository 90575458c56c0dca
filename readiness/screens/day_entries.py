"""Days as entries, week by week: mark and word, how many surfaces are held up, and by what.

Invariant: the day that is asked about and the booked one say so in words.
"""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from readiness.pages.moments import day_told
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines import Entry, Line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readiness.questions.check import CheckAnswer

DAY = "day "
"""An entry's id begins with this if it is a day; its date follows."""
_INSIDE = 4


def day_entries(
    answers: Sequence[CheckAnswer], asked: date, booked: date | None
) -> Iterable[Entry]:
    """Yield the days, a heading before each week."""
    monday = None
    for answer in answers:
        moment = answer.instants.on
        day = moment.date()
        if day - timedelta(days=day.weekday()) != monday:
            monday = day - timedelta(days=day.weekday())
            first = day_told(moment - timedelta(days=day.weekday()), answer.instants.as_of.year)
            yield Entry(f"{EntriesPane.HEADING}{monday}", (Line(f"week of {first}"),))
        said = [word for word, there in (("booked", booked), ("asked", asked)) if there == day]
        yield Entry(f"{DAY}{day.isoformat()}", tuple(_lines(answer, said)))


def day_of(id_: str) -> date | None:
    """Return the day of an entry; None if it is no day."""
    return date.fromisoformat(id_.removeprefix(DAY)) if id_.startswith(DAY) else None


def _lines(answer: CheckAnswer, said: list[str]) -> Iterable[Line]:
    told = [day_told(answer.instants.on, answer.instants.as_of.year), answer.verdict]
    if said:
        told[0] += f" ({' and '.join(said)})"
    asked = [line for line in answer.surfaces if line.trip == answer.trip]
    held = sum(1 for line in asked if line.blockers)
    if held:
        told.append(f"{held} of {len(asked)} held up")
    if answer.instants.on.time() == time():
        told.append("the spray crew does not work")
    yield Line(", ".join(told), word=answer.verdict, is_strong=bool(said))
    if answer.blockers:
        yield Line(answer.blockers[answer.told_first].says, indent=_INSIDE)
