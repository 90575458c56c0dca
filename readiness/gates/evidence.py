"""The statements that speak for a requirement which has no item in the network.

Invariant: the latest statement counts; statements of different authors about one thing on one day
that differ are contested, and neither counts.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import ReadingKind, Rung
from readiness.foam.outcome import FAILS, Outcome
from readiness.gates.depth_words import depth_told
from readiness.gates.readings import SPREAD_CODE, Readings
from readiness.job.instants import EARLIER, NEVER, moment_of
from readiness.job.places import surfaces_of
from readiness.job.quantities import Share, Temperature, TemperatureDifference
from readiness.schedule.known_checks import sprayed_since
from readiness.schedule.readings_of_days import due_at
from readiness.site.answers import codes_answered
from readiness.site.calendars import zone_days
from readiness.site.places import SITE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from readiness.diary.seen import Answer, Seen
    from readiness.foam.conditions import Limit
    from readiness.gates.readings import Read
    from readiness.job.origin import Origin
    from readiness.schedule.depths_known import DepthKnown
    from readiness.site.site import Requirement, Site


YES_AND_NO = frozenset({True, False})

ENTRY = "entry "
"""How the place of an entry of the diary begins."""


class Evidence(NamedTuple):
    """What speaks for or against one requirement, at one moment."""

    value: bool | None
    """Yes, no, or doesn't know."""
    at: int
    how: Rung
    by: str
    told: str
    """What was said or read, in words."""
    origin: Origin
    against: tuple[Origin, ...] = ()
    """Where what contests it stands."""
    promised_by: int | None = None
    """Until when it was promised; such a statement is neither yes nor no."""

    @property
    def contested(self) -> bool:
        """Say whether another person says something else."""
        return bool(self.against)


class Statements:
    """The answers and readings of one moment, looked up by requirement."""

    def __init__(
        self, site: Site, seen: Seen, depths: Mapping[str, DepthKnown] | None = None
    ) -> None:
        """Resolve the places of every statement once."""
        self.site = site
        self.seen = seen
        self.depths = depths or {}
        self._by_code: dict[str, list[tuple[frozenset[str], Evidence, object]]] = {}
        self.readings = Readings(site, seen)
        self._kinds = {reading.kind for reading in seen.readings}
        for answer in seen.answers:
            spoken = (
                self._surfaces(answer.places, answer.trip),
                answer_as_evidence(answer, site),
                answer.day,
            )
            for code in codes_answered(answer.code, site):
                self._by_code.setdefault(code, []).append(spoken)

    def _surfaces(self, places: tuple[str, ...], trip: str = "") -> frozenset[str]:
        named = frozenset(surfaces_of(places, self.site.job))
        return (
            named.intersection(self.site.trips[trip].surfaces) if trip in self.site.trips else named
        )

    def _changed(self, requirement: Requirement, evidence: Evidence, surface: str) -> bool:
        """Say whether a picture shows what a change there has made another since.

        What was shown of the whole site, such as a signed scope, is no picture of one surface.
        """
        if evidence.how is not Rung.SHOWN or requirement.place == SITE:
            return False
        return any(
            evidence.at <= voided.at and surface in voided.surfaces
            for voided in self.seen.voided
            if not voided.foam_only
        )

    def about(self, requirement: Requirement) -> dict[str, Evidence | None]:
        """Return the statement that counts on each surface of a requirement; None if there is none.

        A reading speaks for its group, and the coldest or wettest spot for the groups behind it; a
        reading of the air speaks for the whole house. A surface with its own goes by that.
        """
        measured = requirement.measured and bool(self.depths)
        if (
            requirement.code not in self._by_code
            and not measured
            and not self._is_read(requirement)
        ):
            return dict.fromkeys(requirement.surfaces)
        found = {
            surface: _latest(self._spoken(requirement, surface)) for surface in requirement.surfaces
        }
        if requirement.reading is None:
            return found
        if requirement.groups:
            from readiness.foam.spots import spoken_for

            fresh = self.readings.fresh_minutes(requirement.code)
            return spoken_for(requirement.groups, found, worst, fresh)
        spoken = [evidence for evidence in found.values() if evidence is not None]
        least = worst(spoken) if spoken else None
        return {surface: evidence or least for surface, evidence in found.items()}

    def _is_read(self, requirement: Requirement) -> bool:
        """Say whether an instrument has read what a requirement asks."""
        if requirement.code == SPREAD_CODE:
            return ReadingKind.SUBSTRATE_TEMPERATURE in self._kinds
        return requirement.reading in self._kinds

    @cached_property
    def _sprayed_since(self) -> Mapping[str, int]:
        return sprayed_since(self.site, self.seen)

    def _of_foam(self, requirement: Requirement, surface: str) -> Iterable[tuple[Evidence, object]]:
        """Yield what was said of the foam as it is there now.

        What failed before foam went on again there is neither good nor bad: look again.
        """
        since = self._sprayed_since.get(surface, NEVER)
        foamed = self.seen.foamed.get(surface, EARLIER)
        spoken = self._by_code.get(requirement.code, ())
        told = [(e, day) for surfaces, e, day in spoken if surface in surfaces and e.at >= since]
        if requirement.measured:
            known = self.depths.get(surface)
            told = (
                [] if known is None or known.at < since else [(depth_evidence(known, self.site), 0)]
            )
        for evidence, day in told:
            if evidence.value is False and foamed > evidence.at:
                again = f"{evidence.told}; mended since, look again"
                yield evidence._replace(value=None, told=again), day
            else:
                yield evidence, day

    def _spoken(self, requirement: Requirement, surface: str) -> Iterable[tuple[Evidence, object]]:
        if requirement.check:
            yield from self._of_foam(requirement, surface)
            return
        for surfaces, evidence, day in self._by_code.get(requirement.code, ()):
            if surface in surfaces and not self._changed(requirement, evidence, surface):
                yield evidence, day
        if requirement.code == SPREAD_CODE:
            yield from self._spread(surface)
        elif requirement.reading is not None:
            within = limit_of(requirement)
            limits = self._limits(requirement)
            for read in self.readings.on(requirement.reading, surface):
                if read.speaks:
                    holds = within(read.written) and _holds(limits, read.figure)
                    yield _read_as_evidence(read, holds, read.written), read.day

    def _spread(self, surface: str) -> Iterable[tuple[Evidence, object]]:
        """Yield what substrate, air and humidity together say of the dew point."""
        spread = self.readings.spread(surface)
        if spread is None:
            return
        limits = [limit for limit in self._in_force if limit.requirement == SPREAD_CODE]
        units = self.site.job.units
        tenths = Fraction(round(spread.fahrenheit * 10), 10)
        told = f"{TemperatureDifference(tenths, '').in_units(units)} above the dew point"
        evidence = _read_as_evidence(spread.substrate, _holds(limits, spread.fahrenheit), told)
        yield evidence._replace(at=spread.at), spread.substrate.day

    def _limits(self, requirement: Requirement) -> list[Limit]:
        """Return the limits in force for what a requirement has read."""
        if requirement.code not in self.site.facts.requirements:
            return []
        return [limit for limit in self._in_force if limit.requirement == requirement.code]

    @cached_property
    def _in_force(self) -> tuple[Limit, ...]:
        from readiness.facts.loader import load_limits
        from readiness.foam.in_force import limits_in_force

        return limits_in_force(self.site.job, load_limits())


def _holds(limits: Iterable[Limit], figure: float | None) -> bool:
    from readiness.foam.conditions import State, judged

    return all(judged(limit, figure).state is not State.OUTSIDE for limit in limits)


def _read_as_evidence(read: Read, value: bool, told: str) -> Evidence:  # noqa: FBT001  what it says
    return Evidence(value, read.at, Rung.SEEN, read.by, told, read.origin)


def depth_evidence(known: DepthKnown, site: Site) -> Evidence:
    """Return what depth readings show; too few, or no depth agreed, show nothing yet."""
    outcome = known.outcome
    value = None if outcome in {None, Outcome.MORE} else outcome not in FAILS
    told = depth_told(known, site.job.units)
    return Evidence(value, known.at, Rung.SEEN, known.by, told, known.origin)


def answer_as_evidence(answer: Answer, site: Site) -> Evidence:
    """Return what an answer says; a promise tells until when, at the end of the job's shift."""
    told = {True: "yes", False: "no", None: "doesn't know"}[answer.value]
    until = None
    if answer.promised_by is not None:
        until = due_at(answer.promised_by, site.calendars[site.job_calendar])
        moment = moment_of(until, zone_days(site.zone).zone)
        told = f"promised by {moment:%a} {moment.day} {moment:%b %H:%M}"
    return Evidence(
        answer.value, answer.at, answer.how, answer.by, told, answer.origin, promised_by=until
    )


def worst(spoken: Iterable[Evidence]) -> Evidence:
    """Return what of several statements is worst for readiness; of equals the oldest."""
    return min(spoken, key=lambda evidence: (_rank(evidence), evidence.at))


def _rank(evidence: Evidence) -> int:
    """Return 0 for contested, then no, doesn't know, yes."""
    if evidence.contested:
        return 0
    return {False: 1, None: 2, True: 3}[evidence.value]


def _said_in_order(pair: tuple[Evidence, object]) -> tuple[int, bool, int]:
    """Return the order of statements: the job file's before the diary's of the same minute.

    Lines of a job file have no order of their own, so of two about one minute the worse counts.
    """
    evidence = pair[0]
    in_diary = evidence.origin.row.startswith(ENTRY)
    return evidence.at, in_diary, 0 if in_diary else -_rank(evidence)


def _latest(spoken: Iterable[tuple[Evidence, object]]) -> Evidence | None:
    """Return the latest statement, marked contested if another author differs on that day.

    Who promises, or does not know, contradicts nobody.
    """
    ordered = sorted(spoken, key=_said_in_order)
    if not ordered:
        return None
    last, day = ordered[-1]
    against = [
        evidence
        for evidence, its_day in ordered[:-1]
        if its_day == day and evidence.by != last.by and {evidence.value, last.value} == YES_AND_NO
    ]
    if not against:
        return last
    told = (
        f"{against[-1].by or 'somebody'}: {against[-1].told}; {last.by or 'somebody'}: {last.told}"
    )
    return last._replace(value=None, told=told, against=(against[-1].origin,))


def limit_of(requirement: Requirement) -> Callable[[str], bool]:
    """Return the test of a reading against the limits of a requirement."""
    quantity = (
        Temperature
        if requirement.reading in (ReadingKind.SUBSTRATE_TEMPERATURE, ReadingKind.AIR_TEMPERATURE)
        else Share
    )
    least = _amount(quantity, requirement.at_least) if requirement.at_least else None
    most = _amount(quantity, requirement.at_most) if requirement.at_most else None

    def within(value: str) -> bool:
        amount = _amount(quantity, value)
        return (least is None or amount >= least) and (most is None or amount <= most)

    return within


def _amount(quantity: type[Temperature | Share], text: str) -> Fraction:
    read = quantity.parse(text)
    return read.celsius if isinstance(read, Temperature) else read.percent
