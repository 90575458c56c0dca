"""What a page for one role is made of, and the parts that several roles share.

A page is read on a wall or a phone days after it was printed: it says when it was true, when to ask
again, and by which short code two pages of the same state are known.
Invariant: a page holds nothing but text; the template alone knows how it looks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from readiness.pages.check_text import told_who
from readiness.pages.foam_text import status_told
from readiness.pages.marks import MARKS
from readiness.pages.moments import day_told, told
from readiness.telling.blocker_lines import clearing_told

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from readiness.questions.calls import CallsAnswer
    from readiness.questions.check import CheckAnswer, SurfaceLine
    from readiness.questions.foam import FoamAnswer
    from readiness.questions.letters import LettersAnswer
    from readiness.questions.particulars import ParticularsAnswer
    from readiness.questions.record import RecordAnswer
    from readiness.questions.when import WhenAnswer
    from readiness.telling.calendar_entries import Entry
    from readiness.telling.teller import Who

GOOD = frozenset({"ready", "on course"})
MOST_NAMES = 5
"""More names than this are counted."""

DECIDES = (
    "The product data sheet, the local code and licensed practice decide; on the day the crew lead "
    "does. A stop by crew lead, contractor or inspector beats everything on this page."
)
ISOCYANATES = (
    "Spray foam contains isocyanates: nobody without the right protection is inside from the rig's "
    "arrival until a named person has released the place."
)
FIRE = (
    "Bare foam burns: no flame, welding or grinding near it before its barrier is on. Heat the "
    "house indirectly only, and keep air for every fuel-burning appliance and space at every flue."
)
ENERGISED = (
    "Live or unprotected wiring, charged sprinkler pipes, suspected asbestos or vermiculite: leave "
    "them to whoever is licensed for them."
)


@dataclass(frozen=True, slots=True)
class Answers:
    """What the pages of one job are written from."""

    check: CheckAnswer
    board: CheckAnswer
    """Asked at the board gate, for the agreed board start."""
    calls: CallsAnswer
    letters: LettersAnswer
    particulars: ParticularsAnswer
    foam: Callable[[], FoamAnswer]
    """Which foam and how much of it, worked out once a page wants it; so are the other two."""
    record: Callable[[], RecordAnswer]
    """What stands behind foam already, with pictures and numbers."""
    when: Callable[[], WhenAnswer]
    """Until when a change may be ordered."""


@dataclass(frozen=True, slots=True)
class Point:
    """One line of a list: a few words that stand out, and the rest."""

    head: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Points:
    """A list."""

    heading: str
    points: tuple[Point, ...]
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table; the first cell of a row names it."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lead: str = ""
    by_hand: bool = False
    """Empty cells are filled in with a pen."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Spray windows; surfaces that share one stand on one line."""

    heading: str
    surfaces: tuple[SurfaceLine, ...]
    first: date
    """The first day drawn."""
    asked: date


Section = Points | Rows | Edges


@dataclass(frozen=True, slots=True)
class Paper:
    """One page for one role."""

    job: str
    role: str
    word: str
    """The word of the verdict; empty where it would be misread."""
    sentence: str
    first: tuple[Point, ...]
    """The few lines below the sentence."""
    as_of: str
    ask_again: str
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]

    @property
    def mark(self) -> str:
        """Return the mark of the verdict."""
        return MARKS.get(self.word, "")

    @property
    def code(self) -> str:
        """Return six signs that are the same as long as the page says the same."""
        said = repr((self.word, self.sentence, self.first, self.sections, self.cautions))
        number = int.from_bytes(sha256(said.encode()).digest()[:8])
        signs = ""
        for _ in range(6):
            number, rest = divmod(number, len(CODE_SIGNS))
            signs += CODE_SIGNS[rest]
        return f"{signs[:3]}-{signs[3:]}"


CODE_SIGNS = "346789ACEFGHJKMNPQRTWXY"
"""Signs that are not taken for each other when they are read out."""


def as_of_told(answers: Answers) -> str:
    """Return when the page was true, with the zone."""
    instants = answers.check.instants
    return f"{told(instants.as_of)} ({instants.time_zone})"


def ask_again(answers: Answers, *, with_calls: bool = False, with_work: bool = True) -> str:
    """Return after which moment the page may be wrong, and what happens then.

    Args:
        answers: The answers.
        with_calls: Whoever reads the page makes the calls.
        with_work: They know the work; else the rig and the looks alone are told.
    """
    check, as_of = answers.check, answers.check.instants.as_of
    trip = answers.particulars.trip
    moments: list[tuple[datetime, str]] = []
    if with_work:
        moments += [
            (line.clears, f"then this may be cleared: {line.says}")
            for line in check.blockers
            if line.clears is not None
        ]
        moments += [(line.by, f"until then: {line.title}") for line in check.to_come if line.by]
    else:
        looks = answers.particulars.looks
        moments += [(look.slot, "the inspector comes") for look in looks if look.slot is not None]
    if with_calls:
        moments += [
            (person.until, f"the first cut-off of {person.who.name}")
            for person in answers.calls.people
            if person.until is not None
        ]
    if trip.arrival is not None and not trip.arrived:
        moments.append((trip.arrival, "the rig is due"))
    if trip.not_before is not None and trip.released is None:
        moments.append((trip.not_before, "release may be asked for, if everything went as planned"))
    coming = sorted(pair for pair in moments if pair[0] > as_of)
    if not coming:
        return "when anything on this page has changed"
    moment, why = coming[0]
    return f"{told(moment, as_of.year)}: {why}"


def edges_of(heading: str, surfaces: tuple[SurfaceLine, ...], check: CheckAnswer) -> Edges:
    """Return spray windows, drawn from today or from the day asked about, if that is earlier."""
    asked, today = check.instants.on.date(), check.instants.as_of.date()
    return Edges(heading, surfaces, min(asked, today), asked)


def names_told(names: Iterable[str], most: int = MOST_NAMES) -> str:
    """Return names, or how many there are."""
    all_names = tuple(names)
    if len(all_names) <= most:
        return ", ".join(all_names)
    return f"{', '.join(all_names[:most])} and {len(all_names) - most} more"


def held_points(check: CheckAnswer) -> tuple[Point, ...]:
    """Return what holds the trip up as sentences, with who clears it, the number and when."""
    return tuple(
        Point(f"{line.holds}: {line.says}.", f"{told_who(line.who)}; {clearing_told(line)}.")
        for line in check.blockers
        if line.follows is None
    )


def first_points(check: CheckAnswer) -> tuple[Point, ...]:
    """Return what holds it up last, who clears it, when, and the next call."""
    if not check.blockers:
        due = next((line for line in check.to_come if line.by and not line.on_arrival), None)
        comes = "nothing before the rig"
        if due is not None and due.by is not None:
            comes = f"{due.title}, {due.place}, by {told(due.by, check.instants.on.year)}"
        return (Point("Held up by", "nothing"), Point("Still comes", comes))
    last, call = check.blockers[0], check.next_call
    return (
        Point("Held up by", last.says),
        Point("Cleared by", told_who(last.who)),
        Point("Clears", clearing_told(last)),
        Point("Next call", f"{told_who(call.who)}: {call.about}" if call else "none"),
    )


def keep_out_points(answers: Answers) -> tuple[Point, ...]:
    """Return from when everybody is out, until when at least, and who must be told."""
    keep_out, trip = answers.check.keep_out, answers.particulars.trip
    if trip.released is not None:
        by = f" by {trip.released_by}" if trip.released_by else ""
        return (Point("Released", f"{told(trip.released)}{by}."),)
    if keep_out is None:
        return ()
    year = answers.check.instants.as_of.year
    not_before = told(keep_out.not_before, year) if keep_out.not_before else "no date"
    points = [
        Point("Out from", f"{told(keep_out.from_, year)}, the arrival of the rig."),
        Point(
            "Back",
            f"only when a named person has released the place; that can be asked for from "
            f"{not_before} on, and every later foam starts the time again.",
        ),
    ]
    if keep_out.usual_figure:
        points.append(
            Point("The time", "is a usual planning figure; no product sheet is entered yet.")
        )
    return tuple(points)


def phone_of(who: Who) -> str:
    """Return somebody with the number to call."""
    return f"{who.name}, {who.phone or 'no phone written'}"


def drum_points(answers: Answers, lead: str) -> tuple[Point, ...]:
    """Return how many drum sets of each class the trip still takes, with what that rests on.

    Args:
        answers: The answers.
        lead: What is to be done with them.
    """
    return tuple(
        Point(
            f"Drum sets, {drum.foam}",
            f"{lead}{drum.to_load} ({drum.board_feet:,.0f} bd ft at {drum.per_set:,.0f} each is "
            f"{drum.sets:g}){status_told(drum.rests_on)}",
        )
        for drum in answers.foam().drums
        if drum.to_load
    )


DAY_OF = ":day-"
"""Stands in the item of a later day of a stay."""
TO_CONFIRM = "To confirm: "
"""Stands before the title of what is not agreed."""


def stays_told(entries: Iterable[Entry], as_of: datetime) -> Iterable[tuple[str, str, str, str]]:
    """Yield stays that are not over as when, title, kind and standing, all days of one together."""
    stays: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.ends > as_of:
            stays.setdefault(entry.item.partition(DAY_OF)[0], []).append(entry)
    for days in stays.values():
        first, last = days[0], days[-1]
        when = told(first.starts, as_of.year)
        if last is not first:
            when = f"{when} to {day_told(last.starts, as_of.year)}"
        title = first.title.partition(" (day ")[0].removeprefix(TO_CONFIRM)
        standing = "not agreed yet" if first.standing == "booked" else first.standing
        yield when, title, first.kind, standing


def alike_told(pairs: Iterable[tuple[str, tuple[str, ...]]]) -> Iterable[tuple[str, ...]]:
    """Yield names of which the same is to be said together, each row once."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for name, cells in pairs:
        rows.setdefault(cells, []).append(name)
    for cells, names in rows.items():
        yield (names_told(names, MOST_ALIKE), *cells)


MOST_ALIKE = 12
