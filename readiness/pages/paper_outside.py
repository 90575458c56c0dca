"""The pages of those who neither build nor spray: the inspector and the owner.

To an inspector and an owner the word of the yes would read as a certificate, so neither page has
it. The inspector gets facts and no opinion of ours; the owner gets plain words.
Invariant: no verdict word, no schedule of others and no code figure stands on these pages; who
covers the foam when is what an inspector asks, and stands there as the job has it.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from readiness.gates.life import Life
from readiness.pages.moments import day_told, told
from readiness.pages.paper import (
    ISOCYANATES,
    MOST_ALIKE,
    MOST_NAMES,
    Paper,
    Point,
    Points,
    Rows,
    alike_told,
    as_of_told,
    ask_again,
    keep_out_points,
    names_told,
    phone_of,
)
from readiness.pages.paper_site import area_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.pages.paper import Answers, Section
    from readiness.telling.look_papers import LookPaper


BARRIER = "barrier"
"""What follows from foam when something has to cover it."""


def inspector_paper(answers: Answers) -> Paper:
    """Return the inspector's page: results first, then what is asked, what, where and how deep."""
    check, papers = answers.check, answers.particulars
    asked = [look for look in papers.looks if look.asked or look.slot]
    sections: list[Section] = [
        Rows(
            "For your entry",
            ("what", "number"),
            (("Permit", ""), ("Code of the field for your result", "")),
            by_hand=True,
        ),
        Rows(
            "Results",
            ("what", "result", "date", "by", "where"),
            tuple(_looks(papers.looks)),
        ),
        Points("Asked for", tuple(Point(look.title, _slot(look)) for look in asked)),
        Points(
            "Your conditions, in your words",
            tuple(_conditions(papers.looks)),
            "Ticked and photographed before you are called again.",
        ),
        Points("Hidden behind foam already", tuple(_hidden(answers))),
        Rows(
            "Foam, surface by surface",
            ("surface", "kind", "foam", "depth as agreed", "area", "depth as measured"),
            tuple(_surfaces(answers)),
            "Measured depths are entered from the crew's record.",
        ),
        Rows(
            "Barrier over the foam",
            ("what", "by", "when", "where"),
            tuple(_barriers(answers)),
            "As the job has it; which barrier will do is for you to say.",
        ),
        Rows("Numbers", ("what", "as entered"), tuple(_numbers(answers)), by_hand=True),
        Points(
            "Going in",
            (
                Point("Meets you", phone_of(papers.contractor)),
                *keep_out_points(answers),
            ),
        ),
    ]
    return Paper(
        job=check.job,
        role="the inspector",
        word="",
        sentence=_looks_sentence(papers.looks),
        first=(
            Point("Where", papers.address or papers.job),
            Point("Code as written in the job", papers.building_code or "not written"),
        ),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers, with_work=False),
        sections=tuple(sections),
        cautions=(ISOCYANATES,),
    )


def _conditions(looks: Iterable[LookPaper]) -> Iterable[Point]:
    """Yield what the office wants corrected, now or later, and where, with a box to tick."""
    for look in looks:
        if look.correct:
            later = f"; {look.result}" if look.passed else ""
            yield Point(f"[ ] {look.correct}", f"{names_told(look.surfaces)}{later}")


def _hidden(answers: Answers) -> Iterable[Point]:
    """Yield the surfaces that foam stands on, with the day, and the pictures there are."""
    kept = answers.record()
    by_day: dict[str, list[str]] = {}
    for surface in kept.surfaces:
        day = _day_told(surface.sprayed_on) or "day not written"
        by_day.setdefault(day, []).append(surface.name)
    for day, names in by_day.items():
        yield Point(day, names_told(names, MOST_ALIKE))
    if kept.surfaces:
        pictures = ", ".join(picture.reference for picture in kept.pictures)
        yield Point("Pictures", pictures or "none is entered")


def _barriers(answers: Answers) -> Iterable[tuple[str, ...]]:
    """Yield which work of the job covers which foam, who does it and when."""
    papers = answers.particulars
    works = {work.work: work for work in papers.works}
    who = {trade.id: trade for trade in papers.trades}
    for line in answers.foam().follows:
        if line.what != BARRIER:
            continue
        where = names_told(line.names)
        if not line.works:
            yield ("none is entered", "", "", where)
        for name in line.works:
            work = works.get(name)
            if work is None:
                yield (name.replace("-", " "), "", "done, as entered", where)
            else:
                by = who[work.trade].name if work.trade in who else work.trade
                yield (work.title, by, work.booked or "no day set", where)


def _numbers(answers: Answers) -> Iterable[tuple[str, str]]:
    """Yield reports, lots and what else has a number, as entered; the rest is for a pen."""
    for product in answers.foam().products:
        told = "; ".join(text for text in (product.report, product.sheet) if text)
        yield (f"Report and data sheet of {product.name} ({product.foam})", told)
    lots = [lot for trip in answers.record().trips for lot in trip.lots]
    yield ("Labels or lots of the drums", ", ".join(lots))
    yield ("Certificate of the insulation", "")


def _looks_sentence(looks: tuple[LookPaper, ...]) -> str:
    before = [look for look in looks if not look.after_foam]
    if not before:
        return "No look before the foam is asked for in this job."
    missing = [look for look in before if not look.passed]
    if not missing:
        return "Every look before the foam has passed."
    places = {surface for look in before for surface in look.surfaces}
    held = {surface for look in missing for surface in look.surfaces}
    verb = "has" if len(held) == 1 else "have"
    return f"{len(held)} of {len(places)} surfaces {verb} not passed every look before the foam."


def _looks(looks: tuple[LookPaper, ...]) -> Iterable[tuple[str, ...]]:
    for look in looks:
        yield (
            look.title,
            look.result or "no result yet",
            _day_told(look.on),
            look.by,
            _where(look, looks),
        )


def _where(look: LookPaper, looks: tuple[LookPaper, ...]) -> str:
    """Return the surfaces of a look: all by their number, nearly all by those left out."""
    count = len(look.surfaces)
    if look.everywhere and count > 1:
        return f"all {count} surfaces"
    others = [
        name
        for other in looks
        if other is not look and other.code == look.code
        for name in other.surfaces
        if name not in look.surfaces
    ]
    if others and count > MOST_NAMES >= len(others):
        return f"{count} surfaces, all but {', '.join(others)}"
    return names_told(look.surfaces)


def _day_told(day: date | None) -> str:
    return f"{day:%a} {day.day} {day:%b %Y}" if day is not None else ""


def _slot(look: LookPaper) -> str:
    where = names_told(look.surfaces)
    if look.slot is not None:
        return f"{told(look.slot)}: {where}"
    assert look.asked is not None  # noqa: S101  chosen by the caller
    return f"asked for {told(look.asked)}, no time confirmed yet: {where}"


def _surfaces(answers: Answers) -> Iterable[tuple[str, ...]]:
    metric = answers.particulars.units == "metric"
    for surface in answers.particulars.surfaces:
        yield (
            surface.name,
            surface.kind,
            surface.foam or "not written",
            "left out on purpose" if surface.reserved else surface.depth or "not written",
            area_told(surface.area_square_feet, metric=metric),
            surface.measured,
        )


def owner_paper(answers: Answers) -> Paper:
    """Return the owner's page: out and back, what to decide, what to expect, whom to call."""
    check, papers = answers.check, answers.particulars
    sections: list[Section] = [
        Points(
            "Out and back",
            (
                *keep_out_points(answers),
                Point(
                    "People who live there",
                    "may have to stay out longer than workers: the product data sheet and the "
                    "crew say when you are back.",
                ),
                Point("Who tells you", phone_of(papers.contractor)),
            ),
        ),
        Points("For you to settle", tuple(_to_settle(answers))),
        Points("A change after today", tuple(_changes(answers))),
        Rows(
            "What goes into the walls",
            ("where", "foam", "depth as agreed", "depth as measured"),
            tuple(_walls(answers)),
            "What was measured is entered after the foam.",
        ),
        Points("Still to be mended", tuple(_to_mend(answers))),
        Points("Pictures of the walls", tuple(_pictures(answers))),
        Points(
            "What you will notice",
            (
                Point("Noise and smell", "a truck with a pump on the day, fans for days after it"),
                Point("Leave alone", "fans, heaters, tape and signs, even if they bother you"),
                Point("Pets and plants", "out as long as you are; think of a place a week ahead"),
                Point(
                    "Whoever is sensitive",
                    "asks a doctor and follows the product data sheet before coming back",
                ),
            ),
        ),
        Points(
            "For later",
            (
                Point(
                    "Roofers, electricians and others",
                    "must know that these walls hold foam before they cut, drill or heat them.",
                ),
                Point("If it still smells after you are back", "go out, open, and call."),
            ),
        ),
    ]
    return Paper(
        job=check.job,
        role="the owner",
        word="",
        sentence=_owner_sentence(answers),
        first=(Point("Where", papers.address or papers.job),),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers, with_work=False),
        sections=tuple(sections),
        cautions=(ISOCYANATES,),
    )


def _owner_sentence(answers: Answers) -> str:
    check, trip = answers.check, answers.particulars.trip
    if trip.released is not None:
        return "The place is released after the foam."
    if trip.arrived:
        return "The foam crew is there or has not released the place yet: stay out."
    if trip.arrival is None:
        return "No day is set for the foam crew yet."
    day = day_told(trip.arrival, check.instants.as_of.year)
    if check.verdict == "stopped":
        return f"Somebody has stopped the foam of {day}; you will be told a new day."
    if check.is_yes:
        return f"The foam crew can come {day}, as things stand."
    return f"The foam crew can't spray everything on {day}, as things stand; you will be told."


def _changes(answers: Answers) -> Iterable[Point]:
    """Yield whom to tell a change, and until which day it moves no foam, room by room."""
    papers = answers.particulars
    if papers.trip.arrived:
        return
    yield Point(
        "Say it before the foam",
        f"to {phone_of(papers.contractor)}: a socket or a pipe more opens walls that were already "
        "looked at. Ask what it costs before you say yes.",
    )
    last: dict[str, date | None] = {}
    for line in answers.when().changes:
        known = last.get(line.name, line.last_day)
        days = (known, line.last_day)
        last[line.name] = None if None in days else min(day for day in days if day is not None)
    rooms: dict[date | None, list[str]] = {}
    for name, day in last.items():
        rooms.setdefault(day, []).append(name)
    for day in sorted(rooms, key=lambda day: day or date.min):
        text = "a change moves the foam by now"
        if day is not None:
            text = f"until {day:%a} {day.day} {day:%b} without moving the foam"
        yield Point(names_told(rooms[day], MOST_ALIKE), text)


def _to_mend(answers: Answers) -> Iterable[Point]:
    """Yield the walls whose foam has to be mended, and by whom."""
    names = [line.name for line in answers.check.surfaces if line.word == Life.TO_MEND.value]
    if names:
        who = answers.particulars.spray
        yield Point(names_told(names, MOST_ALIKE), f"by {phone_of(who)}; you will be out again.")


def _pictures(answers: Answers) -> Iterable[Point]:
    """Yield the pictures that are kept of each place, by their names."""
    by_place: dict[str, list[str]] = {}
    for picture in answers.record().pictures:
        by_place.setdefault(names_told(picture.places), []).append(picture.reference)
    for place, names in by_place.items():
        yield Point(place, names_told(names, MOST_ALIKE))


def _to_settle(answers: Answers) -> Iterable[Point]:
    for person in answers.calls.people:
        if person.who.id == "owner":
            for line in person.lines:
                yield Point(line.says, line.until_says)


def _walls(answers: Answers) -> Iterable[tuple[str, ...]]:
    """Yield the walls, those of which the same was promised together."""
    return alike_told(
        (
            surface.name,
            (
                surface.foam or "not written yet",
                "left out on purpose" if surface.reserved else surface.depth or "not written yet",
                surface.measured,
            ),
        )
        for surface in answers.particulars.surfaces
    )
