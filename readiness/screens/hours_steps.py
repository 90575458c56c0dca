"""What happens when on the day of a trip: each step, each keep-out and release, whoever must go.

Several answers are put side by side here, each moment as its own answer tells it.
Invariant: no moment is worked out here, and a place is kept out from the arrival until somebody is
known to have released it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from readiness.gates.life import Life
from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from readiness.questions.check import CheckAnswer
    from readiness.questions.conditions import ConditionsAnswer
    from readiness.questions.foam import FoamAnswer
    from readiness.questions.record import RecordTrip
    from readiness.telling.board_lines import MilestoneLine
    from readiness.telling.foam_day import ClockStep
    from readiness.telling.keep_out import KeepOutLine
    from readiness.telling.weather_days import HoursSpan

SPRAY = "spray"
"""The step in which the gun runs, as the clock of the trip names it."""
RESIDENTS = "residents-may-return"
"""The milestone of those who live there."""
RESIDENTS_TOLD = "residents not before this, and only by a named person's word"
SPRAYED = frozenset(Life) - {Life.PART_SPRAYED}
"""Words of a surface that needs no more foam on this trip, or shall get none."""
NIGHT = "the crew's hours end, keep out all night"


@dataclass(frozen=True, slots=True)
class Answers:
    """What the screen asks beside the answer that all screens share."""

    conditions: ConditionsAnswer
    foam: FoamAnswer
    trip: RecordTrip | None
    """What is noted of the trip that is asked about; None if no rig has come."""
    others: tuple[CheckAnswer, ...]
    """Of the other trips that are booked and not released, each by itself."""
    refused: str = ""
    """Why the forecast file was not used."""


@dataclass(frozen=True, slots=True)
class Happening:
    """What happens at one moment."""

    at: datetime
    says: str
    asks: bool = False
    """Somebody has to do something about it."""


def comes(check: CheckAnswer, answers: Answers) -> bool:
    """Say whether a rig can come, or has come, on the day that is asked about."""
    first = first_hours(answers)
    if check.keep_out is None:
        return False
    return check.keep_out.running or (first is not None and first.date() == asked_day(check))


def asked_day(check: CheckAnswer) -> date:
    """Return the day that is asked about."""
    return check.instants.on.date()


def first_hours(answers: Answers) -> datetime | None:
    """Return when the crew begins to work after the arrival asked about."""
    return next((span.from_ for step in answers.foam.day.steps for span in step.spans), None)


def has_whole_clock(answers: Answers) -> bool:
    """Say whether every step of the trip was worked out."""
    return all(step.until is not None or step.minutes == 0 for step in answers.foam.day.steps)


def leaves(answers: Answers) -> datetime | None:
    """Return when the rig leaves: by its hours, else as the trip is planned."""
    day = answers.foam.day
    ends = [step.until for step in day.steps if step.until is not None]
    return ends[-1] if ends and has_whole_clock(answers) else day.planned_until


def left_to_spray(check: CheckAnswer) -> tuple[int, int]:
    """Return how many surfaces of the trip are not sprayed whole, and of how many."""
    words = [line.word for line in check.surfaces if line.trip == check.trip]
    return sum(word not in SPRAYED for word in words), len(words)


def residents_wait(check: CheckAnswer) -> MilestoneLine | None:
    """Return what is told of residents who are still out though the place is released."""
    if check.keep_out is not None or check.board is None:
        return None
    every = {line.code: line for line in check.board.milestones}
    return None if every[RESIDENTS].seen else every[RESIDENTS]


def keep_outs(check: CheckAnswer, answers: Answers) -> list[tuple[CheckAnswer, KeepOutLine]]:
    """Return what is kept out, the asked trip's first, each with the answer it stands in."""
    found = [(each, each.keep_out) for each in answers.others if each.keep_out is not None]
    if check.keep_out is not None and comes(check, answers):
        found.insert(0, (check, check.keep_out))
    return found


def is_kept_out(from_: datetime, until: datetime, check: CheckAnswer, answers: Answers) -> bool:
    """Say whether nobody may be inside in some of this time; the clock alone releases nothing."""
    if any(keep_out.from_ < until for _, keep_out in keep_outs(check, answers)):
        return True
    trip = answers.trip
    if trip is None or trip.arrived is None or trip.released is None:
        return False
    return trip.arrived < until and from_ < trip.released


def work_at(from_: datetime, until: datetime, check: CheckAnswer, answers: Answers) -> list[str]:
    """Return the steps that the crew is at in some of this time."""
    if not is_ahead(check, answers):
        return []
    return [
        step.name
        for step in answers.foam.day.steps
        if any(span.from_ < until and from_ < span.until for span in step.spans)
    ]


def happenings(check: CheckAnswer, answers: Answers) -> list[Happening]:
    """Return everything that happens around the day asked about, in time."""
    found = [*_noted(answers)]
    residents = residents_wait(check)
    if residents is not None and residents.at is not None:
        found.append(Happening(residents.at, RESIDENTS_TOLD))
    if is_ahead(check, answers):
        found += _clock(check, answers)
    for each, keep_out in keep_outs(check, answers):
        trip = "" if each is check else f" ({each.trip_name} trip)"
        if each is not check:
            found.append(Happening(keep_out.from_, f"nobody inside from here on{trip}"))
        found += _release(keep_out, trip)
        found += _inside(each, keep_out, check.instants.as_of.year)
    return sorted(found, key=lambda one: one.at)


def is_ahead(check: CheckAnswer, answers: Answers) -> bool:
    """Say whether the clock of the trip is still to come; what has begun is told as noted."""
    keep_out = check.keep_out
    return keep_out is not None and not keep_out.running and comes(check, answers)


def _clock(check: CheckAnswer, answers: Answers) -> Iterable[Happening]:
    yield Happening(check.instants.on, "the rig comes, keep out")
    for step in answers.foam.day.steps:
        yield from _step(step)
    told_until = [step.until for step in answers.foam.day.steps if step.until is not None]
    if told_until and not has_whole_clock(answers):
        yield Happening(told_until[-1], "what follows is not worked out, see below")
    end = leaves(answers)
    if end is not None:
        says = "the rig leaves" if has_whole_clock(answers) else "the rig leaves, as planned"
        yield Happening(end, f"{says}; keep out until released")


def _step(step: ClockStep) -> Iterable[Happening]:
    """Yield when a step begins, goes on on another day, and when the crew's hours end before it."""
    if not step.spans or step.minutes is None:
        return
    first, last = step.spans[0], step.spans[-1]
    until = "" if _is_one_day(first, last) else f" to {last.until:%a %H:%M}"
    yield Happening(first.from_, f"{step.name}, {hours_told(step.minutes)}{until}")
    for before, after in pairwise(step.spans):
        if not _is_one_day(before, after):
            yield Happening(before.until, NIGHT)
            yield Happening(after.from_, f"{step.name} goes on")


def _is_one_day(first: HoursSpan, last: HoursSpan) -> bool:
    return first.from_.date() == last.until.date()


def _release(keep_out: KeepOutLine, trip: str) -> Iterable[Happening]:
    """Yield before when nobody comes in again; neither is ever the clock's word alone."""
    workers, residents = keep_out.not_before, keep_out.residents_not_before
    if workers is not None and workers == residents:
        text = f"workers and residents not before this, and only by a named person's word{trip}"
        yield Happening(workers, text)
        return
    if workers is not None:
        text = f"workers not before this, and only by a named person's word{trip}"
        yield Happening(workers, text)
    if residents is not None:
        text = f"{RESIDENTS_TOLD}{trip}"
        yield Happening(residents, text)


def _inside(check: CheckAnswer, keep_out: KeepOutLine, year: int) -> Iterable[Happening]:
    """Yield who must stay out: when they are booked, those before the arrival at the arrival."""
    for line in check.inside:
        who = f"{line.who}, {line.phone or 'no phone written'}, {line.title}"
        if line.from_ is not None and line.from_ >= keep_out.from_:
            yield Happening(line.from_, f"must stay out: {who}", asks=True)
        else:
            since = f", booked {told(line.from_, year)}" if line.from_ else ""
            yield Happening(keep_out.from_, f"must be out: {who}{since}", asks=True)


def _noted(answers: Answers) -> Iterable[Happening]:
    trip = answers.trip
    if trip is None:
        return
    if trip.arrived is not None:
        yield Happening(trip.arrived, "the rig has come, keep out")
    if trip.last_foam is not None:
        yield Happening(trip.last_foam, "the last foam so far; later foam starts the hours again")
    by = f" by {trip.released_by}" if trip.released_by else ""
    if trip.released is not None:
        yield Happening(trip.released, f"released{by}: workers may come in")
    if trip.residents is not None:
        yield Happening(trip.residents, "residents were let in again")


def hours_told(minutes: int) -> str:
    """Return a length as people say it: `4 h 35 min`."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, *([f"{rest} min"] if rest or not hours else [])])
