"""Is it ready? The verdict at a gate, and what exactly holds it up.

Invariant: the verdict is a yes exactly when no blocker is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.asked import asked_gate, asked_instant, asked_trip
from readiness.gates.blockers import Holds, blockers_of
from readiness.gates.findings import findings_of
from readiness.gates.standings import GATE_RANK, STOPPING, StandingState
from readiness.gates.verdict import DONE, YES, union
from readiness.site.board_requirements import FOAM_CHECK
from readiness.site.parts import surface_square_feet
from readiness.telling.blocker_lines import BlockerLine, blocker_lines, told_first
from readiness.telling.board_lines import BoardPart, board_part
from readiness.telling.case import Case, Instants, On
from readiness.telling.finding_lines import FindingLine, finding_line
from readiness.telling.inside import InsideLine, inside_lines
from readiness.telling.keep_out import KeepOutLine, keep_out_line
from readiness.telling.teller import Who
from readiness.telling.vain_booking import BookedInVain, booked_in_vain
from readiness.telling.window_lines import WindowLine, window_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.verdict import SurfaceVerdict, Verdicts


@dataclass(frozen=True, slots=True)
class SurfaceLine:
    """One surface."""

    surface: str
    name: str
    rooms: tuple[str, ...]
    storey: str
    kind: str
    trip: str
    word: str
    flags: tuple[str, ...]
    """Every side it is held up from: too early, too late, not prepared."""
    window: WindowLine | None
    area_square_feet: float
    blockers: tuple[int, ...]
    """Positions in `blockers` of what holds it up."""


@dataclass(frozen=True, slots=True)
class RoomLine:
    """One room: the union of the flags of its surfaces."""

    room: str
    name: str
    storey: str
    word: str
    surfaces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToCome:
    """What is not due yet, or on its way."""

    title: str
    place: str
    state: str
    by: datetime | None
    who: Who
    on_arrival: bool
    """The spray crew does or reads it when it comes."""


@dataclass(frozen=True, slots=True)
class NoteLine:
    """What does not stop anything: costs and notes."""

    title: str
    place: str
    effect: str
    state: str
    who: Who
    question: str


@dataclass(frozen=True, slots=True)
class NextCall:
    """Whom to call first, and about what."""

    who: Who
    about: str


@dataclass(frozen=True, slots=True)
class CheckAnswer:
    """The answer to "is it ready?"."""

    job: str
    units: str
    """`US` or `metric`: how the job writes its quantities, and how texts tell them."""
    instants: Instants
    trip: str
    trip_name: str
    trip_booked: bool
    verdict: str
    """The word of the asked trip."""
    is_yes: bool
    sentence: str
    blockers: tuple[BlockerLine, ...]
    """What holds it up, the one that clears last first."""
    told_first: int
    """Position of the blocker that is told first: the one that clears last; before board what
    failed, else what waits for no other."""
    next_call: NextCall | None
    booked_in_vain: BookedInVain | None
    """None if nothing is booked for the asked day, the rig is there, or the answer is yes."""
    rooms: tuple[RoomLine, ...]
    surfaces: tuple[SurfaceLine, ...]
    ready_square_feet: float
    trip_square_feet: float
    ready_board_feet: float | None
    """None if a depth is not written."""
    trip_board_feet: float | None
    two_trips: bool
    """No surface is crossed by itself, only the trip as a whole."""
    hours_on_the_day: float
    """Set-up before the first foam, on the clock of the trip."""
    keep_out: KeepOutLine | None
    inside: tuple[InsideLine, ...]
    """Everything booked inside from arrival to release."""
    to_come: tuple[ToCome, ...]
    notes: tuple[NoteLine, ...]
    findings: tuple[FindingLine, ...]
    cautions: tuple[str, ...]
    board: BoardPart | None
    """Milestones, depths and items after the spray; only at the board gate."""


def check(case: Case, on: On = None, gate: Gate | None = None, trip: str = "") -> CheckAnswer:
    """Return the verdict on the asked trip, and what holds it up.

    Args:
        case: The job at one moment.
        on: A day or moment at the site; None means the booked arrival (see `asked_instant`).
        gate: The gate to ask; None means the one that the two instants name.
        trip: Id of the trip; empty means the one the day names.
    """
    outlook, site, teller = case.outlook, case.site, case.teller
    trip = trip or asked_trip(outlook, on, gate)
    gate = gate or asked_gate(outlook, asked_instant(outlook, on, trip), trip)
    instant = asked_instant(outlook, on, trip, gate)
    verdicts = case.judge.verdicts(gate, instant, trip)
    blockers = blockers_of(outlook, verdicts)
    lines = blocker_lines(case, blockers, verdicts)
    surfaces = tuple(_surface_lines(case, verdicts, lines))
    asked = [line for line in surfaces if verdicts.surfaces[line.surface].counts]
    good = [line for line in asked if line.word in YES]
    ready = sum(line.area_square_feet for line in good)
    area = sum(line.area_square_feet for line in asked)
    first = told_first(lines) if gate is Gate.BOARD else 0
    tasks = site.trips[trip]
    foams = gate is not Gate.BOARD or trip in outlook.known.arrived
    in_vain = booked_in_vain(case, verdicts)
    return CheckAnswer(
        job=site.job.name,
        units=site.job.units,
        instants=_instants(case, instant, gate),
        trip=trip,
        trip_name=tasks.name,
        trip_booked=trip in outlook.known.arrivals,
        verdict=verdicts.word.value,
        is_yes=verdicts.is_yes,
        sentence=_sentence(case, verdicts, asked, trip),
        blockers=lines,
        told_first=first if lines else 0,
        next_call=_next_call(lines[first : first + 1], in_vain, is_part=bool(good)),
        booked_in_vain=in_vain,
        rooms=tuple(_room_lines(case, verdicts)),
        surfaces=surfaces,
        ready_square_feet=round(ready, 1),
        trip_square_feet=round(area, 1),
        ready_board_feet=_board_feet(case, good),
        trip_board_feet=_board_feet(case, asked),
        two_trips=verdicts.flags.early
        and verdicts.flags.late
        and not any(line.word == "crossed" for line in asked),
        hours_on_the_day=round(site.tasks[tasks.set_up].minutes / 60, 2),
        keep_out=keep_out_line(case, trip, instant) if foams else None,
        inside=inside_lines(case, trip, instant) if foams else (),
        to_come=tuple(_to_come(case, verdicts, trip)),
        notes=tuple(_notes(case, verdicts, trip)),
        findings=tuple(finding_line(case, finding) for finding in findings_of(outlook)),
        cautions=_cautions(lines, teller.outlook.site.facts.trip["keep-out"].caution),
        board=board_part(case, verdicts, blockers) if gate is Gate.BOARD else None,
    )


def _instants(case: Case, on: int, gate: Gate) -> Instants:
    as_of, asked = case.teller.moment(case.outlook.seen.as_of), case.teller.moment(on)
    assert as_of is not None  # noqa: S101  both are real instants
    assert asked is not None  # noqa: S101
    return Instants(as_of, asked, case.site.zone, gate.value)


def _sentence(case: Case, verdicts: Verdicts, asked: list[SurfaceLine], trip: str) -> str:
    """Return the verdict as a sentence: the word, the trip, how many surfaces."""
    when = case.teller.told(verdicts.on)
    name = case.site.trips[trip].name
    if verdicts.gate is Gate.BOARD:
        return _board_sentence(verdicts, asked, name, when)
    good = sum(1 for line in asked if line.word in YES)
    if not asked:
        return f"The {name} trip is {verdicts.word.value}."
    if verdicts.is_yes:
        return f"All {len(asked)} surfaces of the {name} trip are {verdicts.word.value} for {when}."
    held = len(asked) - good
    verb = "is" if held == 1 else "are"
    of = f"{held} of {len(asked)} surfaces {verb} held up"
    if held == len(asked):
        of = "every surface is held up"
    return f"The {name} trip is {verdicts.word.value} for {when}: {of}."


def _board_sentence(verdicts: Verdicts, asked: list[SurfaceLine], name: str, when: str) -> str:
    """Return the verdict before board as a sentence."""
    count = len(asked)
    held = sum(1 for line in asked if verdicts.surfaces[line.surface].held)
    if not asked or (not held and verdicts.word in DONE):
        return f"Everything between foam and board has passed on the {name} trip."
    if not held:
        return (
            f"Nothing stands against board over the {count} surfaces of the {name} trip on {when}."
        )
    every = "every surface" if held == count else f"{held} of {count} surfaces"
    return f"Board may not start over {every} of the {name} trip on {when}."


def _board_feet(case: Case, lines: list[SurfaceLine]) -> float | None:
    """Return square feet times inches of depth as agreed, without framing, waste or overfill."""
    rows = case.site.job.surfaces
    depths = [rows[line.surface].depth for line in lines]
    if any(depth is None for depth in depths):
        return None
    pairs = zip(lines, depths, strict=True)
    return round(sum(line.area_square_feet * float(d.inches) for line, d in pairs if d), 1)


def _surface_lines(
    case: Case, verdicts: Verdicts, blockers: tuple[BlockerLine, ...]
) -> Iterable[SurfaceLine]:
    site = case.site
    for surface, verdict in verdicts.surfaces.items():
        rooms = site.places.rooms_of_surface[surface]
        yield SurfaceLine(
            surface=surface,
            name=case.teller.place(surface),
            rooms=rooms,
            storey=site.job.rooms[rooms[0]].storey if rooms else "",
            kind=site.job.surfaces[surface].is_.value,
            trip=verdict.trip,
            word=verdict.word.value,
            flags=_flag_words(verdict),
            window=window_line(case, verdict.window) if verdict.window is not None else None,
            area_square_feet=round(float(surface_square_feet(surface, site.job)), 1),
            blockers=tuple(
                number for number, line in enumerate(blockers) if surface in line.surfaces
            ),
        )


def _flag_words(verdict: SurfaceVerdict) -> tuple[str, ...]:
    flags = verdict.flags
    sides = (
        (flags.early, Holds.EARLY),
        (flags.late, Holds.LATE),
        (flags.unprepared, Holds.UNPREPARED),
    )
    return tuple(word.value for is_set, word in sides if is_set)


def _room_lines(case: Case, verdicts: Verdicts) -> Iterable[RoomLine]:
    """Yield the rooms; a surface that does not belong to the asked trip counts only if alone."""
    places = case.site.places
    for room in places.rooms:
        inside = [verdicts.surfaces[surface] for surface in places.surfaces_in[room]]
        if not inside:
            continue
        asked = [verdict for verdict in inside if verdict.counts] or inside
        word: str = union(verdict.flags for verdict in asked).word(verdicts.gate).value
        special = {v.word.value for v in asked if v.word.value not in _PLAIN}
        if special:
            word = min(special) if len(special) == 1 or not asked[0].counts else word
        if any(verdict.stop is not None for verdict in asked):
            word = "stopped"
        yield RoomLine(
            room,
            case.teller.place(room),
            case.site.job.rooms[room].storey,
            word,
            places.surfaces_in[room],
        )


_PLAIN = {"crossed", "too late", "too early", "not prepared", "on course", "ready"}


def _next_call(
    told: tuple[BlockerLine, ...], in_vain: BookedInVain | None, *, is_part: bool
) -> NextCall | None:
    """Return whom to call first: who sends a rig in vain, else who stands at the root of a blocker.

    A promise can wait until the blocker was asked about; a rig that is about to leave can't.
    """
    if not told:
        return None
    if in_vain is not None and in_vain.is_about_to_leave:
        rest = " or agree on the rest" if is_part else ""
        return NextCall(in_vain.who, f"hold the {in_vain.arrival:%H:%M} rig{rest}")
    return NextCall(told[0].call, told[0].call_about)


def _to_come(case: Case, verdicts: Verdicts, trip: str) -> Iterable[ToCome]:
    """Yield what must still come for this gate or the next, by date."""
    found = []
    for standing in verdicts.standings:
        requirement = case.site.requirements[standing.requirement]
        if standing.state not in (StandingState.EXPECTED, StandingState.LATER):
            continue
        if requirement.code == FOAM_CHECK and not standing.counts:
            continue
        if requirement.demands.effect not in STOPPING:
            continue
        if (requirement.demands.due is Gate.BOARD) is not (verdicts.gate is Gate.BOARD):
            continue
        if trip not in map(case.site.trip_asking, requirement.surfaces):
            continue
        found.append((standing.at, requirement))
    found.sort(key=lambda pair: (pair[0], pair[1].code, pair[1].place))
    for at, requirement in found:
        yield ToCome(
            title=case.teller.requirement(requirement),
            place=case.teller.place(requirement.place),
            state=verdicts.standings[requirement.index].state.value,
            by=case.teller.moment(at),
            who=case.teller.who(requirement.clears),
            on_arrival=requirement.demands.due is Gate.GUN and requirement.task is None,
        )


def _notes(case: Case, verdicts: Verdicts, trip: str) -> Iterable[NoteLine]:
    for standing in verdicts.standings:
        requirement = case.site.requirements[standing.requirement]
        if standing.passes or requirement.demands.effect in STOPPING:
            continue
        if GATE_RANK[requirement.demands.due] > GATE_RANK[verdicts.gate]:
            continue
        if verdicts.gate is Gate.BOARD and requirement.demands.due is not Gate.BOARD:
            continue
        if trip not in map(case.site.trip_asking, requirement.surfaces):
            continue
        yield NoteLine(
            title=requirement.title,
            place=case.teller.place(requirement.place),
            effect=requirement.demands.effect.value,
            state=standing.state.value,
            who=case.teller.who(requirement.clears),
            question=requirement.question,
        )


def _cautions(lines: tuple[BlockerLine, ...], keep_out: str) -> tuple[str, ...]:
    """Return the usual cautions of what is told, each once, the keep-out's last."""
    cautions = (line.caution for line in lines if line.caution not in ("", keep_out))
    return (*dict.fromkeys(cautions), keep_out)
