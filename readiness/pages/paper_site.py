"""The pages of the people with tools: the spray crew's lead, each trade, the board crew.

Each is told what is theirs: the lead nothing of the plan, a trade nothing of the other trades, the
board crew nothing of readings.
Invariant: every one of these pages says from when the place is shut and that a release opens it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.moments import told
from readiness.pages.paper import (
    DECIDES,
    ENERGISED,
    FIRE,
    GOOD,
    ISOCYANATES,
    Paper,
    Point,
    Points,
    Rows,
    alike_told,
    as_of_told,
    ask_again,
    drum_points,
    held_points,
    keep_out_points,
    names_told,
    phone_of,
    stays_told,
)
from readiness.telling.blocker_lines import clearing_told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.pages.paper import Answers, Section
    from readiness.questions.particulars import WorkPaper
    from readiness.telling.blocker_lines import BlockerLine
    from readiness.telling.board_lines import AreaLine
    from readiness.telling.teller import Who

REOPENS = "If foam is cut or damaged: say so at once to the contractor; nobody patches it alone."


def crew_paper(answers: Answers) -> Paper:
    """Return the crew lead's page: what not to spray first, then surfaces, limits and the clock."""
    check, papers = answers.check, answers.particulars
    sections: list[Section] = [
        Points("Do not spray", tuple(_not_to_spray(answers)), "Look for yourself as well."),
        Points("What holds it up", held_points(check)),
        Points("The site", (*_where(answers), *drum_points(answers, "on the truck: "))),
        Rows(
            "Surfaces of this trip",
            ("surface", "foam", "depth as agreed", "cavity", "area", "verdict"),
            tuple(_surfaces(answers)),
            _definition(answers),
        ),
        Rows(
            "Read before the first foam",
            ("what", "limit", "read", "at"),
            tuple((line.title, line.limit, "", "") for line in papers.limits),
            "The product data sheet's limits come first.",
            by_hand=True,
        ),
        Points("See on arrival", tuple(_on_arrival(answers))),
        Rows(
            "The clock",
            ("step", "real time", "name"),
            tuple((step, "", "") for step in ("Arrived", "Last foam", "Cleaned up", "Released")),
            "Canned foam and touch-up count as foam and start the time again.",
            by_hand=True,
        ),
        Points(
            "Stop",
            (
                Point("[ ] not as agreed", "something is missing, wet, cold or in the way"),
                Point("[ ] somebody inside", "without the crew's protection"),
                Point("[ ] foam or machine", "off ratio, poor bond, heat, smoke, ventilation"),
            ),
            f"You stop when you see fit. Then call {phone_of(papers.contractor)}.",
        ),
        Points("Keep-out", keep_out_points(answers)),
    ]
    return Paper(
        job=check.job,
        role=f"the crew lead, {papers.spray.name}",
        word=check.verdict,
        sentence=check.sentence,
        first=(),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers),
        sections=tuple(sections),
        cautions=(ISOCYANATES, FIRE, ENERGISED, *check.cautions, DECIDES),
    )


def _not_to_spray(answers: Answers) -> Iterable[Point]:
    for surface in answers.particulars.surfaces:
        if surface.reserved:
            yield Point(surface.name, _left_out(surface.follow_up))
        elif surface.trip and surface.trip != answers.particulars.trip.name:
            yield Point(surface.name, f"belongs to the {surface.trip} trip")
    for line in answers.check.surfaces:
        if line.trip == answers.check.trip and line.word not in GOOD and line.flags:
            yield Point(line.name, f"{line.word}: see below what holds it up")
    for thing in answers.particulars.things:
        if thing.bays:
            yield Point(
                f"The bay behind {thing.title}",
                f"{names_told(thing.bays)}: {_left_out(thing.follow_up)}",
            )
        if thing.state == "stands" and (thing.surfaces or not thing.bays):
            where = names_told(thing.surfaces) or thing.place
            instead = f" {thing.instead}" if thing.instead else ""
            yield Point(f"{thing.title} stands in the way", f"{where}.{instead}")
    yield Point("Always", "flues and their clearances, open wiring, heads and valves, vents")


def _left_out(follow_up: str) -> str:
    return "left out on purpose" + (f"; later: {follow_up}" if follow_up else "")


def _where(answers: Answers) -> tuple[Point, ...]:
    papers = answers.particulars
    return (
        Point("Where", papers.address or papers.job),
        Point("Opens, and is called on the day", phone_of(papers.contractor)),
    )


def _definition(answers: Answers) -> str:
    if all(not surface.depth for surface in answers.particulars.surfaces):
        return "No depth is written in the job file: ask before the first foam."
    if all(surface.depth_is_defined for surface in answers.particulars.surfaces if surface.depth):
        return "Depth as it was agreed in writing; every reading counts against that."
    return "Average, nominal and least depth are three promises: ask which one was agreed."


def _surfaces(answers: Answers) -> Iterable[tuple[str, ...]]:
    words = {line.surface: line.word for line in answers.check.surfaces}
    metric = answers.particulars.units == "metric"
    for surface in answers.particulars.surfaces:
        if surface.trip == answers.particulars.trip.name and not surface.reserved:
            yield (
                surface.name,
                surface.foam or "not written",
                surface.depth or "not written",
                surface.cavity,
                area_told(surface.area_square_feet, metric=metric),
                words.get(surface.surface, ""),
            )


def area_told(square_feet: float, *, metric: bool) -> str:
    """Return an area in the units of the job."""
    return f"{square_feet * 0.3048**2:.1f} m2" if metric else f"{square_feet:g} sq ft"


def _on_arrival(answers: Answers) -> Iterable[Point]:
    seen: dict[str, list[str]] = {}
    for line in answers.check.to_come:
        if line.on_arrival:
            seen.setdefault(line.title, []).append(line.place)
    for title, places in seen.items():
        yield Point(title, names_told(places, 3))


def trade_paper(answers: Answers, trade: Who) -> Paper:
    """Return a trade's page: its own work and days, when not to come, and what comes after."""
    papers, check = answers.particulars, answers.check
    mine = tuple(work for work in papers.works if work.trade == trade.id)
    before = tuple(work for work in mine if work.before is not None)
    asked = asked_of(answers, trade.id)
    year = check.instants.as_of.year
    letters = [letter for letter in answers.letters.letters if letter.who.id == trade.id]
    entries = [entry for letter in letters for entry in letter.entries]
    after = (work for work in mine if work.after_release and work.before is None)
    sections: list[Section] = [
        Points(
            "Asked of you",
            tuple(Point(_sentence(line.call_about), clearing_told(line)) for line in asked),
            "This holds up the foam.",
        ),
        Rows(
            "Yours before the foam",
            ("done by", "work", "where"),
            tuple(
                (told(work.before, year) if work.before else "", *_work(work)) for work in before
            ),
        ),
        Rows(
            "Your days",
            ("when", "what", "standing"),
            tuple(
                (when, title, standing)
                for when, title, kind, standing in stays_told(entries, check.instants.as_of)
                if kind != "keep-out"
            ),
        ),
        Points("Do not come", keep_out_points(answers), "Nobody but the spray crew is inside."),
        Rows("Yours after the release", ("work", "where"), tuple(map(_work, after))),
        Points("What moved your dates", tuple(_moved(answers, trade))),
        Points("To know", tuple(_to_know(trade, mine))),
    ]
    cautions = dict.fromkeys(
        caution for caution in (*(w.caution for w in mine), *(b.caution for b in asked)) if caution
    )
    hot = any(work.hot for work in mine)
    return Paper(
        job=check.job,
        role=trade.name if trade.trade in trade.name else f"{trade.name} ({trade.trade})",
        word="",
        sentence=_trade_sentence(answers, before, asked),
        first=(
            Point("Where", papers.address or papers.job),
            Point("Ask", phone_of(papers.contractor)),
        ),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers),
        sections=tuple(sections),
        cautions=(ISOCYANATES, *((FIRE,) if hot else ()), *cautions, DECIDES),
    )


def asked_of(answers: Answers, trade: str) -> tuple[BlockerLine, ...]:
    """Return what holds the trip up and is a trade's to clear, or to be called about."""
    return tuple(line for line in answers.check.blockers if trade in (line.who.id, line.call.id))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _trade_sentence(
    answers: Answers, before: tuple[WorkPaper, ...], asked: tuple[BlockerLine, ...]
) -> str:
    trip = answers.particulars.trip
    if trip.released is not None:
        return "The place is released; what is yours after the foam can go on."
    if trip.arrived:
        return "Foam is going on or was not released yet: do not come in."
    year = answers.check.instants.as_of.year
    day = f"the foam of {told(trip.arrival, year)}" if trip.arrival else "the foam"
    works = {work.work for work in before}
    count = len(before) + sum(line.code not in works for line in asked)
    if not count:
        return f"Nothing of yours is missing before {day}."
    things = "1 thing of yours is" if count == 1 else f"{count} things of yours are"
    return f"{things} still missing before {day}."


def _work(work: WorkPaper) -> tuple[str, str]:
    title = f"{work.title} (under way)" if work.under_way else work.title
    return title, names_told(work.places)


def _moved(answers: Answers, trade: Who) -> Iterable[Point]:
    for line in answers.particulars.moved:
        if line.trade == trade.id and line.cause:
            yield Point(line.title, f"moved, because: {line.cause}")


def _to_know(trade: Who, mine: tuple[WorkPaper, ...]) -> Iterable[Point]:
    if trade.id in ("electrician", "low-voltage") and any(w.before for w in mine):
        yield Point("Boxes", "wires folded in, fronts free; the spray crew covers them")
    yield Point("Holes outside", "cut what is yours before the foam; later ones break its seal")
    yield Point("Foam on your work", REOPENS)


def board_paper(answers: Answers) -> Paper:
    """Return the board crew's page: may board start, where, and what is still to come first."""
    check, papers = answers.check, answers.particulars
    areas = answers.board.board.areas if answers.board.board is not None else ()
    rooms = [area for area in areas if area.kind == "room"]
    looks = [look for look in papers.looks if look.after_foam and not look.passed]
    year = check.instants.as_of.year
    sections: list[Section] = [
        Points(
            "Before board",
            (
                *(
                    Point(f"{look.title} is not passed", names_told(look.surfaces))
                    for look in looks
                ),
                Point("Depth and bond are probed, gaps sealed, foam trimmed"),
                Point("Foam is dry of dust and solid", "call if it is soft, cracked or smells"),
            ),
        ),
        Rows(
            "Surfaces",
            ("surface", "state"),
            tuple(
                alike_told(
                    (line.name, (line.word if line.word in _AFTER else "no foam yet",))
                    for line in check.surfaces
                )
            ),
        ),
        Rows(
            "Room by room",
            ("room", "board"),
            tuple(alike_told((room.name, (_room_told(room, year),)) for room in rooms)),
            "Earliest moments are expected ones; what only has to be looked at comes on top.",
        ),
        Points("Do not come", keep_out_points(answers), "Nobody but the spray crew is inside."),
        Points(
            "Delivery and fixing",
            (
                Point("Stack board", "away from walls that are still to be sprayed"),
                Point(
                    "Screws", "no longer than the board and the stud need: pipes lie behind foam"
                ),
                Point("Damaged foam", REOPENS),
            ),
        ),
    ]
    drywall = next((who for who in papers.trades if who.id == "drywall"), None)
    return Paper(
        job=check.job,
        role=f"the board crew, {drywall.name}" if drywall else "the board crew",
        word="",
        sentence=_board_sentence(rooms),
        first=(
            Point("Board start", papers.board or "nothing agreed"),
            Point("Where", papers.address or papers.job),
            Point("Ask", phone_of(papers.contractor)),
        ),
        as_of=as_of_told(answers),
        ask_again=ask_again(answers),
        sections=tuple(sections),
        cautions=(ISOCYANATES, FIRE, DECIDES),
    )


_AFTER = frozenset(
    {
        "being sprayed",
        "part sprayed",
        "keep-out",
        "to mend",
        "waiting for approval",
        "passed",
        "closed in",
        "left exposed",
        "reserved",
    }
)


def _board_sentence(rooms: list[AreaLine]) -> str:
    free = sum(room.released for room in rooms)
    if free == 0:
        return "Board may not start yet in any room."
    if free == len(rooms):
        return "Nothing stands against board in any room."
    return f"Nothing stands against board in {free} of {len(rooms)} rooms; the others wait."


def _room_told(room: AreaLine, year: int) -> str:
    if room.released:
        return "nothing stands against it"
    if room.held_up:
        return f"held up: {names_told(room.held_up)}"
    return f"not before {told(room.earliest, year)}" if room.earliest else "no date yet"
