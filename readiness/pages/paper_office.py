"""The pages of the two who set the day: the contractor, and the spray company's dispatcher.

The contractor is not told what the gun needs, and the dispatcher nothing of framing.
Invariant: whoever holds the trip up stands on the page with a number to call.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import inf
from typing import TYPE_CHECKING

from readiness.pages.check_text import size_told
from readiness.pages.moments import told
from readiness.pages.paper import (
    DECIDES,
    ENERGISED,
    FIRE,
    ISOCYANATES,
    TO_CONFIRM,
    Paper,
    Point,
    Points,
    Rows,
    as_of_told,
    ask_again,
    drum_points,
    edges_of,
    first_points,
    held_points,
    keep_out_points,
    names_told,
    phone_of,
    stays_told,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.pages.paper import Answers, Section
    from readiness.questions.check import CheckAnswer, SurfaceLine
    from readiness.telling.window_lines import WindowLine

DAYS_AHEAD = 10
MOST_ENTRIES = 14
MOST_CALLS = 6
MOST_QUESTIONS = 16


def contractor_paper(answers: Answers) -> Paper:
    """Return the contractor's page: what holds it up, whom to call, the spray windows, the days."""
    check = answers.check
    sections: list[Section] = [
        Points("Call first", tuple(_people(answers)), "By cut-off, one line for each person."),
        Points("What holds it up", held_points(check)),
        edges_of("Spray windows", check.surfaces, check),
        Rows(
            f"The next {DAYS_AHEAD} days",
            ("when", "who", "what", "standing"),
            tuple(_days(answers)),
            "Agreed and booked dates only.",
        ),
        Points("Who stays out", (*keep_out_points(answers), *_inside(answers))),
        Points("What costs money", tuple(_costs(answers))),
    ]
    return Paper(
        job=check.job,
        role="the contractor",
        word=check.verdict,
        sentence=check.sentence,
        first=first_points(check),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers, with_calls=True),
        sections=tuple(sections),
        cautions=(ISOCYANATES, FIRE, ENERGISED, *check.cautions, DECIDES),
    )


def _people(answers: Answers) -> Iterable[Point]:
    for person in answers.calls.people[:MOST_CALLS]:
        overdue = "overdue, " if person.overdue else ""
        first = person.lines[0]
        more = len(person.lines) + person.more - 1
        where = f" ({names_told(first.places)})" if first.places else ""
        also = f"; and {more} more" if more else ""
        yield Point(phone_of(person.who), f"{overdue}{first.until_says}: {first.says}{where}{also}")


def _days(answers: Answers) -> Iterable[tuple[str, ...]]:
    """Yield the contractor's entries that begin or go on in the days ahead."""
    as_of = answers.check.instants.as_of
    last = as_of + timedelta(days=DAYS_AHEAD)
    mine = [letter for letter in answers.letters.letters if letter.who.id == "contractor"]
    entries = [entry for letter in mine for entry in letter.entries if entry.starts <= last]
    for when, title, kind, standing in list(stays_told(entries, as_of))[:MOST_ENTRIES]:
        who, colon, what = title.partition(": ")
        if kind == "keep-out":
            continue
        if kind in _WITHOUT_WHO or not colon:
            who, what = "", title
        yield (when, who, what.removeprefix(TO_CONFIRM), standing)


_WITHOUT_WHO = frozenset({"look", "board"})


def _inside(answers: Answers) -> Iterable[Point]:
    year = answers.check.instants.as_of.year
    for line in answers.check.inside:
        when = told(line.from_, year) if line.from_ else "no date"
        phone = line.phone or "no phone written"
        yield Point(f"Tell {line.who}, {phone}", f"booked inside {when}: {line.title}")


def _costs(answers: Answers) -> Iterable[Point]:
    for line in answers.check.notes:
        if line.effect == "costs money":
            yield Point(line.title, f"{line.state}; {phone_of(line.who)}")


def dispatcher_paper(answers: Answers) -> Paper:
    """Return the dispatcher's page: does the rig leave, what is open, how much to spray."""
    check, papers = answers.check, answers.particulars
    sections: list[Section] = [
        Points("The site", tuple(_site(answers))),
        Points("What holds it up", held_points(check)),
        Rows(
            "Open questions",
            ("until", "ask", "question"),
            tuple(_questions(answers)),
            "The deciding ones first for each person; every answer is worth a line in the diary.",
        ),
        Points("The trip", tuple(_load(answers))),
        Points("Keep-out", keep_out_points(answers)),
        edges_of("First and last arrival", whole_trip(check), check),
    ]
    return Paper(
        job=check.job,
        role=f"the dispatcher, {papers.dispatcher.name}",
        word=check.verdict,
        sentence=check.sentence,
        first=first_points(check),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers, with_calls=True),
        sections=tuple(sections),
        cautions=(ISOCYANATES, *check.cautions, DECIDES),
    )


def _site(answers: Answers) -> Iterable[Point]:
    papers, trip = answers.particulars, answers.particulars.trip
    yield Point("Where", papers.address or papers.job)
    yield Point("On site", phone_of(papers.contractor))
    if trip.arrival is not None:
        kind = "agreed" if trip.agreed else "on paper, not agreed"
        year = answers.check.instants.as_of.year
        yield Point("Arrival", f"{told(trip.arrival, year)}, {kind}")


def _questions(answers: Answers) -> Iterable[tuple[str, ...]]:
    """Yield what is still to be asked; answers that people gave are not repeated."""
    lines = [(person.who, line) for person in answers.calls.people for line in person.lines]
    for who, line in lines[:MOST_QUESTIONS]:
        where = f" ({names_told(line.places)})" if line.places else ""
        yield (line.until_says, phone_of(who), f"{line.says}{where}")
    left = len(lines) - MOST_QUESTIONS + sum(person.more for person in answers.calls.people)
    if left > 0:
        yield ("", "", f"and {left} more in the calls")


def _load(answers: Answers) -> Iterable[Point]:
    check, trip = answers.check, answers.particulars.trip
    yield Point("To spray", size_told(check))
    if check.hours_on_the_day:
        yield Point("Before the first foam", f"{check.hours_on_the_day:g} h of setting up")
    yield Point("From arrival to leaving", f"{trip.hours:g} h of work")
    yield from drum_points(answers, "load tonight, from the warm room: ")
    depths = {(s.foam, s.depth) for s in answers.particulars.surfaces if s.depth}
    if depths:
        kinds = sorted(f"{foam or 'class not written'} {depth}" for foam, depth in depths)
        yield Point("Class and depth", "; ".join(kinds))
    else:
        yield Point("Class and depth", "not written in the job file")


def whole_trip(check: CheckAnswer) -> tuple[SurfaceLine, ...]:
    """Return one line for all surfaces of the trip: its last opening and its first closing."""
    lines = [line for line in check.surfaces if line.trip == check.trip and line.window is not None]
    windows = [line.window for line in lines if line.window is not None]
    if not windows:
        return ()
    opening = max(windows, key=_opens)
    closing = min(windows, key=_closes)
    both = replace(
        opening,
        last_start=closing.last_start,
        closes_by=closing.closes_by,
        is_closed_for_ever=closing.is_closed_for_ever,
        is_empty=_closes(closing) < _opens(opening),
    )
    return (replace(lines[0], name="The whole trip", word=check.verdict, window=both),)


def _opens(window: WindowLine) -> float:
    if window.has_no_opening_date:
        return inf
    return window.opens.timestamp() if window.opens is not None else -inf


def _closes(window: WindowLine) -> float:
    if window.is_closed_for_ever:
        return -inf
    return window.last_start.timestamp() if window.last_start is not None else inf
