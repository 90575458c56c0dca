"""The standing of every requirement at one gate and one asked arrival.

Invariant: unknown, stale and contested never pass; `promise` passes what is met or on its way,
`roll` and `gun` pass only what is met, waived or not applicable.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Effect, Gate, Rung
from readiness.gates.evidence import Evidence, Statements, worst
from readiness.job.instants import EARLIER, NEVER, moment_of, shifted
from readiness.job.places import surfaces_of
from readiness.schedule.known import PASSED, RANK
from readiness.schedule.readings_of_days import started_at
from readiness.schedule.worktime import Worktime
from readiness.site.board_requirements import FOAM_CHECK
from readiness.site.calendars import zone_days

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.diary.seen import Waiver
    from readiness.job.durations import Duration
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Requirement


class StandingState(StrEnum):
    """How a requirement stands, in the order in which the states are tried."""

    WAIVED = "waived"
    NOT_APPLICABLE = "not applicable"
    CONTESTED = "contested"
    MET = "met"
    EXPECTED = "expected"
    LATER = "later"
    STALE = "stale"
    OPEN = "open"
    UNKNOWN = "unknown"


GATE_RANK = {gate: rank for rank, gate in enumerate(Gate)}
_ALWAYS_PASS = frozenset({StandingState.WAIVED, StandingState.NOT_APPLICABLE, StandingState.MET})
_PROMISE_PASSES = _ALWAYS_PASS | {StandingState.EXPECTED, StandingState.LATER}
STOPPING = frozenset({Effect.STOPS_TRIP, Effect.STOPS_ROOM, Effect.STOPS_SURFACE})


class Standing(NamedTuple):
    """How one requirement stands."""

    requirement: int
    """Index into `site.requirements`."""
    state: StandingState
    at: int
    """When it clears (expected, open), or when it was shown; `NEVER` if nobody can say."""
    evidence: Evidence | None
    waived_on: frozenset[str]
    """Surfaces on which it is waived although it does not stand there."""
    met_on: frozenset[str]
    """Surfaces on which an approval for part shows that it is met."""
    passes: bool
    counts: bool
    """First due by this gate, and stops something when it fails."""


class Ledger:
    """Everything about the requirements of one outlook that does not depend on what is asked."""

    def __init__(self, outlook: Outlook) -> None:
        """Look up the evidence and waivers of every requirement once."""
        self.outlook = outlook
        site = outlook.site
        statements = Statements(site, outlook.seen, outlook.known.depths)
        self.evidence_on = tuple(
            statements.about(requirement) if requirement.task is None else {}
            for requirement in site.requirements
        )
        self.evidence = tuple(_together(found.values()) for found in self.evidence_on)
        self._waived: dict[str, list[tuple[Waiver, set[str]]]] = {}
        for waiver in outlook.seen.waivers:
            surfaces = set(surfaces_of(waiver.places, site.job))
            of_trip = {surface for surface in surfaces if site.trip_asking(surface) == waiver.trip}
            self._waived.setdefault(waiver.code, []).append((waiver, of_trip))
        self._begun = _begun(outlook)
        self._spans: dict[tuple[str, int], int] = {}

    def waived(self, requirement: Requirement) -> frozenset[str]:
        """Return the surfaces on which a requirement is waived; a binding one never is.

        Only the role that may waive it counts, and only while nothing newer is known.
        """
        if requirement.demands.binding or requirement.code not in self._waived:
            return frozenset()
        found: set[str] = set()
        for waiver, surfaces in self._waived[requirement.code]:
            if waiver.role is requirement.demands.override and not self._lapsed(
                waiver, surfaces, requirement
            ):
                found |= surfaces
        return frozenset(found.intersection(requirement.surfaces))

    def _lapsed(self, waiver: Waiver, waived_on: set[str], requirement: Requirement) -> bool:
        """Say whether the facts behind a waiver have changed since, or the site itself has."""
        if waiver.at is None:
            return False
        if any(
            voided.at > waiver.at
            and not voided.foam_only
            and not waived_on.isdisjoint(voided.surfaces)
            for voided in self.outlook.seen.voided
        ):
            return True
        if requirement.task is None:
            evidence = self.evidence[requirement.index]
            return evidence is not None and evidence.at > waiver.at
        look = self.outlook.known.looks.get(requirement.task)
        return look is not None and look.at is not None and look.at > waiver.at

    def waived_pairs(self) -> frozenset[tuple[int, str]]:
        """Return the pairs of task and surface whose waiting is waived."""
        return frozenset(
            (requirement.task, surface)
            for requirement in self.outlook.site.requirements
            if requirement.task is not None
            for surface in self.waived(requirement)
        )

    def standings(self, gate: Gate, on: int) -> tuple[Standing, ...]:
        """Return the standing of every requirement, parallel to `site.requirements`."""
        return tuple(
            self.standing(requirement, gate, on) for requirement in self.outlook.site.requirements
        )

    def standing(self, requirement: Requirement, gate: Gate, on: int) -> Standing:
        """Return how one requirement stands at a gate for an asked arrival."""
        if requirement.demands.due is Gate.BOARD and gate is not Gate.BOARD:
            return _not_due(requirement, gate, on)
        waived = self.waived(requirement)
        if waived and len(waived) == len(requirement.surfaces):
            state, at, evidence = StandingState.WAIVED, on, None
        elif requirement.task is not None:
            state, at = self._with_item(requirement, requirement.task, gate, on)
            evidence = None
        elif requirement.code in self.outlook.site.things:
            state, at, evidence = self._loose(requirement, gate, on)
        else:
            evidence = self.evidence[requirement.index]
            state, at = self._without_item(requirement, evidence, gate, on)
        passing = _PROMISE_PASSES if self.looks_ahead(gate, on) else _ALWAYS_PASS
        return Standing(
            requirement=requirement.index,
            state=state,
            at=at,
            evidence=evidence,
            waived_on=waived,
            met_on=self._met_on(requirement, gate, on),
            passes=state in passing,
            counts=self._counts(requirement, gate, on),
        )

    def looks_ahead(self, gate: Gate, on: int) -> bool:
        """Say whether what is on its way passes: at promise, and at board for a later day."""
        if gate is Gate.BOARD:
            zone = zone_days(self.outlook.site.zone).zone
            as_of = self.outlook.seen.as_of
            return on > as_of and moment_of(on, zone).date() > moment_of(as_of, zone).date()
        return gate is Gate.PROMISE

    def _counts(self, requirement: Requirement, gate: Gate, on: int) -> bool:
        """Say whether a requirement is first due by a gate, and stops something when it fails.

        The check of the foam counts as a date while it lies ahead; later on what it consists of
        counts, each by itself.
        """
        if requirement.demands.effect not in STOPPING:
            return False
        if requirement.code == FOAM_CHECK:
            return self.looks_ahead(gate, on)
        due = GATE_RANK[requirement.demands.due] <= GATE_RANK[gate]
        return due or requirement.task is not None

    def _met_on(self, requirement: Requirement, gate: Gate, on: int) -> frozenset[str]:
        """Return the surfaces in which evidence that counts shows what is open elsewhere."""
        if requirement.task is None:
            return frozenset(
                surface
                for surface, evidence in self.evidence_on[requirement.index].items()
                if evidence is not None
                and self._is_met(evidence, requirement, gate, on, frozenset({surface}))
            )
        least = RANK[getattr(requirement.demands.least, gate.value)]
        return frozenset(
            surface
            for surface, found in self.outlook.known.shown_on.get(requirement.task, {}).items()
            if found.at <= on and RANK[found.shown.how] >= least
        )

    def _with_item(
        self, requirement: Requirement, task: int, gate: Gate, on: int
    ) -> tuple[StandingState, int]:
        known = self.outlook.known
        if task in known.contested:
            return StandingState.CONTESTED, NEVER
        finish = self.outlook.forecast.finish[task]
        if task in known.state.finished:
            shown = known.shown.get(task)
            least = getattr(requirement.demands.least, gate.value)
            if (shown is None or RANK[shown.how] >= RANK[least]) and finish <= on:
                return StandingState.MET, finish
        if task in known.state.never:
            return StandingState.OPEN, NEVER
        look = known.looks.get(task)
        failed = look is not None and look.result not in PASSED
        if failed and not self.looks_ahead(gate, on):
            return StandingState.OPEN, finish
        return (StandingState.EXPECTED if finish <= on else StandingState.OPEN), finish

    def _loose(
        self, requirement: Requirement, gate: Gate, on: int
    ) -> tuple[StandingState, int, Evidence | None]:
        """Return how a loose thing stands: in the way once set, unless set after the arrival."""
        placed = self.outlook.seen.things[requirement.code]
        both = self.outlook.seen.contested.get((requirement.code, ""))
        if both is not None:
            as_of = self.outlook.seen.as_of
            evidence = Evidence(
                None, as_of, Rung.SEEN, "", both.told, both.origins[-1], both.origins[:-1]
            )
            return StandingState.CONTESTED, NEVER, evidence
        if placed.pulled is not None:
            return StandingState.MET, self.outlook.seen.as_of, None
        if placed.since is not None:
            calendar = self.outlook.site.calendars[self.outlook.site.job_calendar]
            since = started_at(placed.since, calendar)
            if since > on:
                return StandingState.NOT_APPLICABLE, since, None
        if GATE_RANK[requirement.demands.due] > GATE_RANK[gate]:
            return StandingState.LATER, on, None
        return StandingState.OPEN, NEVER, None

    def _without_item(
        self, requirement: Requirement, evidence: Evidence | None, gate: Gate, on: int
    ) -> tuple[StandingState, int]:
        demands = requirement.demands
        if evidence is not None and evidence.contested:
            return StandingState.CONTESTED, evidence.at
        surfaces = frozenset(requirement.surfaces)
        if evidence is not None and self._is_met(evidence, requirement, gate, on, surfaces):
            return StandingState.MET, evidence.at
        first_due_later = GATE_RANK[demands.due] > GATE_RANK[gate]
        wanted_from = self._before(on, demands.wanted_before)
        if first_due_later or self.outlook.seen.as_of < wanted_from:
            return StandingState.LATER, wanted_from
        if evidence is None or evidence.value is None:
            return StandingState.UNKNOWN, NEVER
        if not self._is_fresh(evidence, requirement, gate, on, surfaces):
            return StandingState.STALE, evidence.at
        if evidence.value is False:
            return StandingState.OPEN, NEVER
        return StandingState.UNKNOWN, NEVER

    def _is_met(
        self,
        evidence: Evidence,
        requirement: Requirement,
        gate: Gate,
        on: int,
        surfaces: frozenset[str],
    ) -> bool:
        """Say whether a statement is a yes that counts for a gate and is fresh at the arrival."""
        least = getattr(requirement.demands.least, gate.value)
        return (
            evidence.value is True
            and not evidence.contested
            and RANK[evidence.how] >= RANK[least]
            and self._is_fresh(evidence, requirement, gate, on, surfaces)
        )

    def _is_fresh(
        self,
        evidence: Evidence,
        requirement: Requirement,
        gate: Gate,
        on: int,
        surfaces: frozenset[str],
    ) -> bool:
        """Say whether a statement is young enough; once the gun has started an age reminds only."""
        if gate is Gate.GUN and surfaces <= self._begun:
            return True
        span = requirement.demands.fresh_for
        return span is None or evidence.at >= self._before(on, span)

    def _before(self, on: int, span: Duration | None) -> int:
        """Return the instant a span before the arrival; days are the job's working days."""
        if span is None:
            return on
        key = (span.written, on)
        if key not in self._spans:
            site = self.outlook.site
            calendar = site.calendars[site.job_calendar]
            minutes = span.minutes(calendar.day_minutes)
            timer = self.outlook.frame.calendars[site.job_calendar]
            assert isinstance(timer, Worktime)  # noqa: S101  the job has spans, not slots
            self._spans[key] = (
                shifted(on, -minutes) if span.clock else timer.latest_start(on, minutes)
            )
        return self._spans[key]


def _not_due(requirement: Requirement, gate: Gate, on: int) -> Standing:
    """Return how what only the board gate asks stands at an earlier one."""
    return Standing(
        requirement=requirement.index,
        state=StandingState.LATER,
        at=on,
        evidence=None,
        waived_on=frozenset(),
        met_on=frozenset(),
        passes=gate is Gate.PROMISE,
        counts=False,
    )


def _begun(outlook: Outlook) -> frozenset[str]:
    """Return the surfaces of trips whose gun has started and that nobody has released."""
    finished = outlook.known.state.finished
    return frozenset(
        surface
        for trip in outlook.site.trips.values()
        if (news := outlook.seen.trips.get(trip.id)) is not None
        and news.arrived is not None
        and news.released is None
        and (
            news.last_foam is not None
            or news.shares
            or any(spray in finished for spray in trip.sprays.values())
        )
        for surface in trip.surfaces
    )


def _together(spoken: Iterable[Evidence | None]) -> Evidence | None:
    """Return what counts for all surfaces at once: the worst; of silence and a yes the silence."""
    found = list(spoken)
    told = [evidence for evidence in found if evidence is not None]
    if not told:
        return None
    least = worst(told)
    return None if least.value is True and len(told) < len(found) else least


def clears_at(standing: Standing) -> int:
    """Return when a standing clears by itself; `NEVER` if somebody has to act without a date."""
    if standing.state in (StandingState.EXPECTED, StandingState.OPEN):
        return standing.at
    return EARLIER if standing.passes else NEVER
