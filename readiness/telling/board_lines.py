"""What the board gate adds to its verdict: milestones, depths, the items after the spray.

Invariant: each milestone has an instant of its own and its driver; the clock alone reaches none.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.loader import load_after_spray
from readiness.gates.standings import StandingState
from readiness.gates.verdict import DONE
from readiness.job.instants import EARLIER, NEVER, is_dated, shifted
from readiness.telling.board_asked import AskedLine, asked_lines
from readiness.telling.depth_lines import DepthLine, depth_lines
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from readiness.facts.after_spray_rows import AfterSprayItem
    from readiness.gates.blockers import Blocker
    from readiness.gates.verdict import Verdicts
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class MilestoneLine:
    """One of the milestones between foam and board; they are never one and the same."""

    code: str
    title: str
    at: datetime | None
    """When it was seen, or is expected; null if nobody can say."""
    seen: bool
    """It has been reached."""
    says: str
    driver: str
    """What decides it."""
    chain: tuple[str, ...]
    """What it hangs on, nearest first."""


@dataclass(frozen=True, slots=True)
class AreaLine:
    """A room or a storey: whether board may start there."""

    place: str
    name: str
    kind: str
    """`room` or `storey`."""
    released: bool
    """Nothing holds up the board over any of its surfaces."""
    earliest: datetime | None
    """When what takes time is over there; what only has to be looked at comes on top."""
    held_up: tuple[str, ...]
    """Names of the surfaces that are held up."""


@dataclass(frozen=True, slots=True)
class ItemLine:
    """One thing to see, do or tell after the spray, as far as this job has it."""

    code: str
    title: str
    phase: str
    """When it is due, in words."""
    who: Who
    passes_when: str
    """What is seen when it is good."""
    remedy: str
    """What is done when it is not."""
    parts: tuple[str, ...]
    """What it is ticked off by."""
    state: str
    """`met`, `open`, `failed` or `later`."""
    open_at: tuple[str, ...]
    """Where it is open."""
    source: str
    """Document and section by name."""
    status: str
    """How far its source was seen."""


@dataclass(frozen=True, slots=True)
class BoardPart:
    """What only the answer of the board gate has."""

    milestones: tuple[MilestoneLine, ...]
    """Workers, residents, quality, approval, board: each for itself."""
    areas: tuple[AreaLine, ...]
    """Storeys and rooms, each released or not."""
    depths: tuple[DepthLine, ...]
    """One for each surface of the trip."""
    items: tuple[ItemLine, ...]
    """What is looked at, done and told after the spray, in its order."""
    asked: tuple[AskedLine, ...]
    """What can be answered about what holds the board up, place by place."""


def board_part(case: Case, verdicts: Verdicts, blockers: tuple[Blocker, ...]) -> BoardPart:
    """Return what the board gate adds."""
    surfaces = case.site.trips[verdicts.trip].surfaces
    return BoardPart(
        milestones=tuple(milestones(case, verdicts.trip)),
        areas=tuple(_areas(case, verdicts)),
        depths=tuple(depth_lines(case, surfaces)),
        items=tuple(item_lines(case, verdicts)),
        asked=tuple(asked_lines(case, verdicts, blockers)),
    )


def milestones(case: Case, trip: str) -> Iterable[MilestoneLine]:
    """Yield the milestones of a trip, in their usual order."""
    site, known = case.site, case.outlook.known
    tasks = site.trips[trip]
    yield _workers(case, trip)
    yield _residents(case, trip)
    checks = [site.checks[surface].check for surface in tasks.surfaces if surface in site.checks]
    if checks:
        yield _reached(case, "quality-passed", "The foam has passed its checks", checks)
    looks = [
        look
        for approval in site.approvals
        if approval.trip == trip and not approval.before_foam
        for look in approval.looks.values()
    ]
    if looks:
        yield _reached(case, "approved", "The office has approved", looks)
    start = case.outlook.forecast.start[site.board_start]
    lives = [case.judge.lives.get(surface) for surface in tasks.surfaces]
    passed = all(life in DONE for life in lives) and site.board_start not in known.state.never
    yield MilestoneLine(
        code="board-start",
        title="Board may start",
        at=case.teller.moment(start),
        seen=passed and start <= case.outlook.seen.as_of,
        says=_dated(case, start, "at the earliest"),
        driver=_driver(case, site.board_start),
        chain=case.teller.chain(site.board_start),
    )


def _workers(case: Case, trip: str) -> MilestoneLine:
    """Return when workers may enter: by release of a named person, never by the clock."""
    tasks, news = case.site.trips[trip], case.outlook.seen.trips.get(trip)
    finish = case.outlook.forecast.finish[tasks.release]
    says = _dated(case, finish, "at the earliest, once a named person releases the place")
    driver = _driver(case, tasks.release)
    seen = news is not None and news.released is not None
    if seen and news is not None:
        driver = says = f"released by {news.released_by}" if news.released_by else "released"
    return MilestoneLine(
        code="workers-may-enter",
        title="Workers may enter",
        at=case.teller.moment(finish),
        seen=seen,
        says=says,
        driver=driver,
        chain=case.teller.chain(tasks.release),
    )


def _residents(case: Case, trip: str) -> MilestoneLine:
    """Return when residents may return: never before the workers, and by a word of its own."""
    tasks, news = case.site.trips[trip], case.outlook.seen.trips.get(trip)
    at = case.outlook.forecast.finish[tasks.release]
    if news is not None and news.last_foam is not None:
        at = max(at, shifted(news.last_foam, tasks.residents_minutes))
    elif is_dated(at):
        at = shifted(at, tasks.residents_minutes - tasks.keep_out_minutes)
    seen = news is not None and news.residents is not None
    says = _dated(case, at, "at the earliest, once a named person says so to the residents")
    if seen and news is not None and news.residents is not None:
        at = news.residents
        says = f"told by {news.residents_by}"
    hours = f"{tasks.residents_minutes / 60:g} h after the last foam"
    return MilestoneLine(
        code="residents-may-return",
        title="Residents may return",
        at=case.teller.moment(at),
        seen=seen,
        says=says,
        driver=f"{hours}, and a person's word",
        chain=(),
    )


def _reached(case: Case, code: str, title: str, tasks: list[int]) -> MilestoneLine:
    finished, forecast = case.outlook.known.state.finished, case.outlook.forecast
    last = max(tasks, key=lambda task: (forecast.finish[task], -task))
    at = forecast.finish[last]
    seen = all(task in finished for task in tasks)
    left = sum(1 for task in tasks if task not in finished)
    says = "seen" if seen else _dated(case, at, f"expected; {left} of {len(tasks)} surfaces open")
    return MilestoneLine(
        code=code,
        title=title,
        at=case.teller.moment(at),
        seen=seen,
        says=says,
        driver=_driver(case, last),
        chain=case.teller.chain(last),
    )


def _dated(case: Case, instant: int, words: str) -> str:
    if not is_dated(instant):
        return "no date" if instant == NEVER else words
    return f"{case.teller.told(instant)}, {words}"


def _driver(case: Case, task: int) -> str:
    """Return what a date hangs on, in one step."""
    chain = case.teller.chain(task)
    own = case.teller.task(task)
    steps = [step for step in chain if not step.startswith(f"{own}:")]
    return steps[0] if steps else (chain[0] if chain else "")


def _areas(case: Case, verdicts: Verdicts) -> Iterable[AreaLine]:
    """Yield rooms and storeys with surfaces of the trip, each with what holds its board up."""
    site, forecast = case.site, case.outlook.forecast
    for kind, names in (("storey", site.places.storeys), ("room", site.places.rooms)):
        for place in names:
            inside = [
                verdicts.surfaces[surface]
                for surface in site.places.surfaces_in[place]
                if verdicts.surfaces[surface].counts
            ]
            if not inside:
                continue
            tasks = {
                task
                for verdict in inside
                for index in site.board_at[verdict.surface]
                if (task := site.requirements[index].task) is not None
            }
            earliest = max((forecast.finish[task] for task in tasks), default=EARLIER)
            held = [v for v in inside if v.flags.any or v.stop is not None]
            yield AreaLine(
                place=place,
                name=case.teller.place(place),
                kind=kind,
                released=not held and all(v.word in DONE for v in inside),
                earliest=case.teller.moment(max(earliest, case.outlook.seen.as_of)),
                held_up=case.teller.surfaces(verdict.surface for verdict in held),
            )


def item_lines(case: Case, verdicts: Verdicts) -> Iterable[ItemLine]:
    """Yield the items after the spray that this trip has, in their order."""
    site = case.site
    surfaces = {s for s in site.job.surfaces if site.trip_asking(s) == verdicts.trip}
    by_code: dict[str, list[int]] = {}
    for requirement in site.requirements:
        if not surfaces.isdisjoint(requirement.surfaces):
            by_code.setdefault(requirement.code, []).append(requirement.index)
    for name, item in load_after_spray().items():
        codes = [c for c in (*item.requirements, *item.works, *item.approvals) if c in by_code]
        later = item.told or any(code in site.stays for code in item.works)
        if not codes and not later and not (item.steps and not item.requirements):
            continue
        indexes = [index for code in codes for index in by_code[code]]
        yield _item(case, verdicts, name, item, indexes)


def _item(
    case: Case, verdicts: Verdicts, name: str, item: AfterSprayItem, indexes: list[int]
) -> ItemLine:
    failing = [index for index in indexes if not verdicts.standings[index].passes]
    states = {verdicts.standings[index].state for index in failing}
    failed = {StandingState.OPEN, StandingState.CONTESTED}
    answered = any(
        verdicts.standings[index].state in failed and case.site.requirements[index].task is None
        for index in failing
    )
    state = "later" if not indexes else ("failed" if answered else "open" if states else "met")
    offices = [case.site.office_of[a] for a in item.approvals if a in case.site.office_of]
    places = dict.fromkeys(case.site.requirements[index].place for index in failing)
    return ItemLine(
        code=name,
        title=item.title,
        phase=item.phase.value,
        who=case.teller.who(offices[0] if item.whom == "office" and offices else item.whom),
        passes_when=item.passes_when,
        remedy=item.remedy,
        parts=item.parts,
        state=state,
        open_at=tuple(case.teller.place(place) for place in places),
        source=item.source,
        status=item.status.value,
    )


def remedies() -> dict[str, str]:
    """Return what is done when something is not good, by the requirement that asks for it."""
    found: dict[str, str] = {}
    for item in load_after_spray().values():
        for code in (*item.requirements, *item.works, *item.approvals):
            found.setdefault(code, item.remedy)
    return found
