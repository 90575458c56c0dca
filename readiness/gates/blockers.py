"""What exactly holds a trip up, told once at its own place.

Invariant: clearing every blocker gives a yes, and clearing all but any one of them does not.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Category, Gate
from readiness.gates.standings import StandingState
from readiness.job.instants import EARLIER, NEVER
from readiness.site.places import SITE
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Stop
    from readiness.gates.standings import Standing
    from readiness.gates.verdict import SurfaceVerdict, Verdicts
    from readiness.gates.windows import Closer
    from readiness.schedule.outlook import Outlook


class Holds(StrEnum):
    """Which side a blocker holds a surface up from."""

    STOP = "stop"
    LATE = "too late"
    EARLY = "too early"
    UNPREPARED = "not prepared"


class Blocker(NamedTuple):
    """One thing that somebody has to clear."""

    holds: Holds
    code: str
    """Id of the work, approval, obstruction or requirement."""
    place: str
    """Where it is told."""
    surfaces: tuple[str, ...]
    """The surfaces that it holds up."""
    state: StandingState | None
    """None for what is committed too early, and for a stop."""
    clears_at: int
    """When it clears as things stand; `NEVER` if somebody has to act without a date."""
    task: int | None
    """The task that clears last, for the chain behind it."""
    requirements: tuple[int, ...]
    closers: tuple[Closer, ...]
    stop: Stop | None
    kept_out_by: str = ""
    """The trip whose keep-out runs there."""


def blockers_of(outlook: Outlook, verdicts: Verdicts) -> tuple[Blocker, ...]:
    """Return what holds the asked trip up: stops, then what clears last first.

    What is only the morning's work comes at the end, whatever its date: it gives a verdict its word
    only where nothing else holds.
    """
    asked = [verdict for verdict in verdicts.surfaces.values() if verdict.counts]
    stops = [
        Blocker(
            Holds.STOP,
            "stop",
            SITE,
            tuple(v.surface for v in asked if v.stop is stop),
            None,
            NEVER,
            None,
            (),
            (),
            stop,
        )
        for stop in dict.fromkeys(v.stop for v in asked if v.stop is not None)
    ]
    held: dict[int, list[str]] = {}
    late: dict[str, list[tuple[str, Closer]]] = {}
    for verdict in asked:
        for requirement in verdict.failing:
            held.setdefault(requirement, []).append(verdict.surface)
        for closer in verdict.late_by:
            late.setdefault(_told_stay(outlook, closer), []).append((verdict.surface, closer))
    found = [
        *_kept_out(outlook, asked),
        *(_late(outlook, stay, pairs) for stay, pairs in late.items()),
        *_failing(outlook, verdicts, held),
    ]
    return (*stops, *sorted(found, key=_last_first))


def _kept_out(outlook: Outlook, asked: list[SurfaceVerdict]) -> Iterable[Blocker]:
    """Yield the keep-outs of other trips that run at the asked arrival."""
    for trip in dict.fromkeys(v.kept_out_by for v in asked if v.kept_out_by):
        yield Blocker(
            holds=Holds.UNPREPARED,
            code="keep-out",
            place=SITE,
            surfaces=tuple(v.surface for v in asked if v.kept_out_by == trip),
            state=None,
            clears_at=outlook.closures[trip][1],
            task=None,
            requirements=(),
            closers=(),
            stop=None,
            kept_out_by=trip,
        )


def _last_first(blocker: Blocker) -> tuple[bool, int, int, str, str]:
    order = list(Holds)
    return (
        blocker.holds is Holds.UNPREPARED,
        -blocker.clears_at,
        order.index(blocker.holds),
        blocker.code,
        blocker.place,
    )


def _told_stay(outlook: Outlook, closer: Closer) -> str:
    """Return what a closer is told as: a thing that a committed work sets is told with it."""
    if closer.task is None:
        work = outlook.site.things[closer.stay].set_by
        if work in outlook.known.commitments or work in outlook.site.stays:
            return work
    return closer.stay


def _late(outlook: Outlook, stay: str, pairs: list[tuple[str, Closer]]) -> Blocker:
    site = outlook.site
    closers = tuple(dict.fromkeys(closer for _, closer in pairs))
    surfaces = tuple(dict.fromkeys(surface for surface, _ in pairs))
    places = {
        site.things[closer.stay].place if closer.task is None else site.tasks[closer.task].place
        for closer in closers
    }
    return Blocker(
        holds=Holds.LATE,
        code=stay,
        place=next(iter(places)) if len(places) == 1 else SITE,
        surfaces=surfaces,
        state=None,
        clears_at=NEVER,
        task=min((closer.task for closer in closers if closer.task is not None), default=None),
        requirements=(),
        closers=closers,
        stop=None,
    )


def _failing(outlook: Outlook, verdicts: Verdicts, held: dict[int, list[str]]) -> Iterable[Blocker]:
    """Yield one blocker per standing that fails; the looks of one approval are told together."""
    site = outlook.site
    grouped: dict[tuple[str, str, Holds, StandingState], list[int]] = {}
    for index in held:
        requirement, standing = site.requirements[index], verdicts.standings[index]
        is_look = (
            requirement.task is not None and site.tasks[requirement.task].kind is TaskKind.APPROVAL
        )
        told_together = verdicts.gate is Gate.BOARD and (
            requirement.task is not None or standing.state is not StandingState.OPEN
        )
        place = "" if is_look or told_together else requirement.place
        key = (requirement.code, place, _holds(outlook, verdicts, index), standing.state)
        grouped.setdefault(key, []).append(index)
    for (code, place, holds, state), indexes in grouped.items():
        last = max(indexes, key=lambda index: (_clears(verdicts.standings[index]), -index))
        surfaces = tuple(dict.fromkeys(surface for index in indexes for surface in held[index]))
        yield Blocker(
            holds=holds,
            code=code,
            place=place or _common(outlook, surfaces),
            surfaces=surfaces,
            state=state,
            clears_at=_clears_at(outlook, verdicts.standings[last], surfaces),
            task=site.requirements[last].task,
            requirements=tuple(indexes),
            closers=(),
            stop=None,
        )


def _holds(outlook: Outlook, verdicts: Verdicts, index: int) -> Holds:
    """Return the side; what is only expected counts as the morning's work before the rig leaves."""
    category = outlook.site.requirements[index].category
    expected = verdicts.standings[index].state is StandingState.EXPECTED
    hours_off = expected and verdicts.gate is Gate.ROLL
    if category in {Category.BEFORE, Category.CLOSING} and not hours_off:
        return Holds.EARLY
    return Holds.UNPREPARED


def _clears_at(outlook: Outlook, standing: Standing, surfaces: tuple[str, ...]) -> int:
    """Return when a failing standing clears; a check that failed once its mending is over."""
    site = outlook.site
    requirement = site.requirements[standing.requirement]
    if requirement.check and standing.state is StandingState.OPEN:
        checks = [site.checks[surface].check for surface in surfaces if surface in site.checks]
        return max((outlook.forecast.finish[check] for check in checks), default=NEVER)
    return _clears(standing)


def _clears(standing: Standing) -> int:
    """Return when a failing standing clears by itself."""
    if standing.state in (StandingState.OPEN, StandingState.EXPECTED) and standing.at > EARLIER:
        return standing.at
    return NEVER


def _common(outlook: Outlook, surfaces: tuple[str, ...]) -> str:
    """Return the smallest place that holds all the surfaces."""
    places = outlook.site.places
    around = [set(places.containers[surface]) for surface in surfaces]
    common = set.intersection(*around)
    return min(common, key=lambda place: (len(places.members[place]), place))
