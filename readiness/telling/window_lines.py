"""A spray window in words, both edges with their culprits.

Invariant: an edge without a date is None here and says why in words.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.job.instants import EARLIER, NEVER

if TYPE_CHECKING:
    from readiness.gates.windows import Closer, SprayWindow
    from readiness.site.site import Thing
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class CloserLine:
    """One committed thing after the foam."""

    title: str
    who: str
    begins: datetime | None
    """When it is committed to begin, or began."""
    last_arrival: datetime | None
    """The latest arrival it leaves room for."""
    begun: bool


@dataclass(frozen=True, slots=True)
class WindowLine:
    """When a surface may first and last be sprayed."""

    opens: datetime | None
    """None: open from the start, or no date; `opens_by` says which."""
    opens_by: str
    has_no_opening_date: bool
    last_start: datetime | None
    """None: nothing booked closes it, or no arrival is early enough; see `closes_by`."""
    closes_by: str
    closes: datetime | None
    """When the first committed thing begins; shown only."""
    is_closed_for_ever: bool
    """What closes it has begun, or leaves no room at all."""
    costs_from: datetime | None
    """From this arrival on the board start is late."""
    is_empty: bool
    closers: tuple[CloserLine, ...]


def window_line(case: Case, window: SprayWindow) -> WindowLine:
    """Return a spray window in words."""
    teller = case.teller
    return WindowLine(
        opens=teller.moment(window.opens),
        opens_by=_opens_by(case, window),
        has_no_opening_date=window.opens == NEVER,
        last_start=teller.moment(window.last_start),
        closes_by=_closes_by(case, window.last_by),
        closes=teller.moment(window.closes),
        is_closed_for_ever=window.last_start == EARLIER,
        costs_from=teller.moment(window.costs_from),
        is_empty=window.is_empty,
        closers=tuple(_closer_line(case, closer) for closer in window.closers),
    )


def _opens_by(case: Case, window: SprayWindow) -> str:
    if window.opens_by is None:
        return "open from the start"
    return case.teller.task(window.opens_by)


def _closes_by(case: Case, closer: Closer | None) -> str:
    if closer is None:
        return "nothing booked closes it"
    title, who = closer_words(case, closer)
    return f"{title}, {who}, {case.teller.day(closer.commit)}"


def closer_words(case: Case, closer: Closer) -> tuple[str, str]:
    """Return what a committed thing is called, and whose it is.

    Work that has set a thing is told as that thing, for the thing is what stands in the way.
    """
    teller = case.teller
    thing = thing_of(case, closer)
    if thing is not None and (closer.begun or closer.task is None):
        return f"{thing.title}, {teller.place(thing.place)}", teller.who(
            thing.kind.pull_trade
        ).trade
    assert closer.task is not None  # noqa: S101  what is no thing is work
    return teller.task(closer.task), teller.who_does(closer.task).trade


def thing_of(case: Case, closer: Closer) -> Thing | None:
    """Return the thing that a committed item is or sets."""
    things = case.site.things
    if closer.task is None:
        return things[closer.stay]
    return next((thing for thing in things.values() if thing.set_by == closer.stay), None)


def _closer_line(case: Case, closer: Closer) -> CloserLine:
    title, who = closer_words(case, closer)
    return CloserLine(
        title=title,
        who=who,
        begins=case.teller.moment(closer.commit),
        last_arrival=case.teller.moment(closer.latest),
        begun=closer.begun,
    )
