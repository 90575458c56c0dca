"""The statements that speak for a requirement which has no item in the network.

Invariant: the latest statement counts; statements of different authors about one thing on one day
that differ are contested, and neither counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import ReadingKind, Rung
from readiness.job.places import surfaces_of
from readiness.job.quantities import Share, Temperature

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readiness.diary.seen import Seen
    from readiness.job.origin import Origin
    from readiness.site.site import Requirement, Site


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for or against one requirement, at one moment."""

    value: bool | None
    """Yes, no, or doesn't know."""
    at: int
    how: Rung
    by: str
    told: str
    """What was said or read, in words."""
    origin: Origin
    contested: bool = False


class Statements:
    """The answers and readings of one moment, looked up by requirement."""

    def __init__(self, site: Site, seen: Seen) -> None:
        """Resolve the places of every statement once."""
        self.site = site
        self.seen = seen
        self._by_code: dict[str, list[tuple[frozenset[str], Evidence, object]]] = {}
        self._by_kind: dict[ReadingKind, list[tuple[frozenset[str], str, Evidence, object]]] = {}
        for answer in seen.answers:
            told = {True: "yes", False: "no", None: "doesn't know"}[answer.value]
            self._by_code.setdefault(answer.code, []).append(
                (
                    self._surfaces(answer.places, answer.trip),
                    Evidence(answer.value, answer.at, answer.how, answer.by, told, answer.origin),
                    answer.day,
                )
            )
        for reading in seen.readings:
            self._by_kind.setdefault(reading.kind, []).append(
                (
                    self._surfaces(reading.places),
                    reading.value,
                    Evidence(
                        None, reading.at, Rung.SEEN, reading.by, reading.value, reading.origin
                    ),
                    reading.day,
                )
            )

    def _surfaces(self, places: tuple[str, ...], trip: str = "") -> frozenset[str]:
        named = frozenset(surfaces_of(places, self.site.job))
        return (
            named.intersection(self.site.trips[trip].surfaces) if trip in self.site.trips else named
        )

    def _void(self, at: int, surfaces: frozenset[str]) -> bool:
        """Say whether rain, a power cut, heat off or a change there has come since a reading."""
        voids = (*((names, when) for names, when, _ in self.seen.reading_voids),)
        changes = ((voided.surfaces, voided.at) for voided in self.seen.voided)
        return any(
            at <= when and not surfaces.isdisjoint(names) for names, when in (*voids, *changes)
        )

    def about(self, requirement: Requirement) -> Evidence | None:
        """Return the statement that counts for a requirement, or None if nobody spoke of it."""
        return _latest(self._spoken(requirement))

    def _spoken(self, requirement: Requirement) -> Iterable[tuple[Evidence, object]]:
        wanted = frozenset(requirement.surfaces)
        for surfaces, evidence, day in self._by_code.get(requirement.code, ()):
            if wanted <= surfaces:
                yield evidence, day
        if requirement.reading is not None:
            within = limit_of(requirement)
            for surfaces, value, evidence, day in self._by_kind.get(requirement.reading, ()):
                if wanted & surfaces and not self._void(evidence.at, wanted):
                    yield (
                        Evidence(
                            within(value),
                            evidence.at,
                            evidence.how,
                            evidence.by,
                            evidence.told,
                            evidence.origin,
                        ),
                        day,
                    )


def _latest(spoken: Iterable[tuple[Evidence, object]]) -> Evidence | None:
    """Return the latest statement, marked contested if another author differs on that day."""
    ordered = sorted(spoken, key=lambda pair: pair[0].at)
    if not ordered:
        return None
    last, day = ordered[-1]
    against = [
        evidence
        for evidence, its_day in ordered[:-1]
        if its_day == day and evidence.by != last.by and evidence.value is not last.value
    ]
    if not against:
        return last
    told = (
        f"{against[-1].by or 'somebody'}: {against[-1].told}; {last.by or 'somebody'}: {last.told}"
    )
    return Evidence(None, last.at, last.how, last.by, told, last.origin, contested=True)


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
