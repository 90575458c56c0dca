"""The pages of those who neither build nor spray: the inspector and the owner.

To an inspector and an owner the word of the yes would read as a certificate, so neither page has
it. The inspector gets facts and no opinion of ours; the owner gets plain words.
Invariant: no verdict word, no schedule of others and no code figure stands on these pages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.moments import day_told, told
from readiness.pages.paper import (
    ISOCYANATES,
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


def inspector_paper(answers: Answers) -> Paper:
    """Return the inspector's page: results first, then what is asked, what, where and how deep."""
    check, papers = answers.check, answers.particulars
    asked = [look for look in papers.looks if look.asked or look.slot]
    corrections = [look for look in papers.looks if look.correct and not look.passed]
    sections: list[Section] = [
        Rows(
            "Results",
            ("what", "result", "date", "by", "where"),
            tuple(_looks(papers.looks)),
        ),
        Points("Asked for", tuple(Point(look.title, _slot(look)) for look in asked)),
        Points(
            "To be corrected, in your words",
            tuple(Point(look.correct, names_told(look.surfaces)) for look in corrections),
        ),
        Rows(
            "Foam, surface by surface",
            ("surface", "kind", "foam", "depth as agreed", "area", "depth as measured"),
            tuple(_surfaces(answers)),
            "Measured depths are entered from the crew's record.",
        ),
        Rows(
            "Numbers",
            ("what", "number or date"),
            tuple(
                (what, "")
                for what in (
                    "Permit",
                    "Evaluation report of the product",
                    "Label or batch of the drums",
                    "Certificate of the insulation",
                    "Barrier over the foam: what, where, who, when",
                )
            ),
            by_hand=True,
        ),
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
        ask_again=ask_again(answers, with_calls=False),
        sections=tuple(sections),
        cautions=(ISOCYANATES,),
    )


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


def _looks(looks: Iterable[LookPaper]) -> Iterable[tuple[str, ...]]:
    for look in looks:
        where = f"all {len(look.surfaces)} surfaces" if look.everywhere else ""
        yield (
            look.title,
            look.result or "no result yet",
            day_told_of(look),
            look.by,
            where or names_told(look.surfaces),
        )


def day_told_of(look: LookPaper) -> str:
    """Return the day of a result."""
    return f"{look.on:%a} {look.on.day} {look.on:%b %Y}" if look.on is not None else ""


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
        Points(
            "A change after today",
            (
                Point(
                    "Say it before the foam",
                    f"to {phone_of(papers.contractor)}: a socket or a pipe more opens walls that "
                    "were already looked at.",
                ),
            ),
        ),
        Rows(
            "What goes into the walls",
            ("where", "foam", "depth as agreed", "depth as measured"),
            tuple(_walls(answers)),
            "What was measured is entered after the foam.",
        ),
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
        ask_again=ask_again(answers, with_calls=False),
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
