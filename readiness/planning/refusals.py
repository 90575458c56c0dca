"""Why a set of changes is refused: one refusal for each thing that stops a surface.

Invariant: a set that does not work has at least one refusal.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.standings import StandingState
from readiness.schedule.chains import Step, chain

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.gates.verdict import SurfaceVerdict
    from readiness.gates.windows import Closer
    from readiness.planning.trying import Attempt


class Why(StrEnum):
    """What kind of refusal it is."""

    CHAIN = "comes too late"
    """A chain of tasks ends after the arrival."""
    EVIDENCE = "is not shown"
    """Nothing but evidence, or what has come of it, can meet the gate."""
    CLOSED = "closes too early"
    """Something after the foam is committed too early, or stands."""
    KEPT_OUT = "is shut"
    """Another trip keeps everybody out at the arrival."""
    STOPPED = "is stopped"
    CIRCLE = "waits for itself"
    """Works would wait for each other."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing that stops one surface."""

    why: Why
    surface: str = ""
    requirement: int | None = None
    closer: Closer | None = None
    steps: tuple[Step, ...] = ()
    """The chain, from the item that is late back to what holds it."""
    other_trip: str = ""


def refusals_of(attempt: Attempt) -> tuple[Refusal, ...]:
    """Return why an attempt does not work, in the order of the surfaces."""
    if attempt.verdicts is None:
        return (Refusal(Why.CIRCLE),)
    asked = [verdict for verdict in attempt.verdicts.surfaces.values() if verdict.counts]
    spoken_of = asked or [
        verdict
        for verdict in attempt.verdicts.surfaces.values()
        if verdict.trip == attempt.verdicts.trip
    ]
    stopped = [Refusal(Why.STOPPED, v.surface) for v in spoken_of if v.stop is not None]
    known: dict[int, tuple[Step, ...]] = {}
    found = [refusal for verdict in asked for refusal in _of_surface(attempt, verdict, known)]
    return (*stopped, *found)


def _of_surface(
    attempt: Attempt, verdict: SurfaceVerdict, known: dict[int, tuple[Step, ...]]
) -> Iterable[Refusal]:
    surface = verdict.surface
    if verdict.kept_out_by:
        yield Refusal(Why.KEPT_OUT, surface, other_trip=verdict.kept_out_by)
    for closer in verdict.late_by:
        yield Refusal(Why.CLOSED, surface, closer=closer)
    for requirement in verdict.failing:
        if requirement not in known:
            known[requirement] = _steps(attempt, requirement)
        steps = known[requirement]
        yield Refusal(Why.CHAIN if steps else Why.EVIDENCE, surface, requirement, steps=steps)


def _steps(attempt: Attempt, requirement: int) -> tuple[Step, ...]:
    """Return the chain of a requirement that a date could meet; nothing if only evidence can."""
    outlook, verdicts = attempt.outlook, attempt.verdicts
    assert outlook is not None  # noqa: S101  a verdict has its forecast
    assert verdicts is not None  # noqa: S101
    task = outlook.site.requirements[requirement].task
    standing = verdicts.standings[requirement]
    if task is None or verdicts.gate is not Gate.PROMISE or standing.at <= verdicts.on:
        return ()
    if standing.state is not StandingState.OPEN or task in outlook.known.contested:
        return ()
    return chain(task, outlook.network, outlook.calendars, outlook.forecast, outlook.known.state)
