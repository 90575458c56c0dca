"""What the checks across a job file share: its rows, the tables of facts and a list of problems.

Invariant: a check adds problems and changes nothing; each problem stands at the line that is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from readiness.job.lines import key_text
from readiness.job.problems import Problem, did_you_mean

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from readiness.facts.rows import Facts
    from readiness.job.job import Job
    from readiness.job.lines import Lines
    from readiness.job.positions import Path
    from readiness.job.rows import WorkRow


@dataclass(frozen=True)
class Checking:
    """One job, the facts, and the problems found so far."""

    job: Job
    facts: Facts
    lines: Lines
    problems: list[Problem] = field(default_factory=list)

    def tell(self, path: Path, what: str, *, read: str = "", hint: str = "") -> None:
        """Add a problem at a path of the job."""
        key = key_text(self.lines.written_path(path)) or key_text(path)
        line = self.lines.of(*path)
        self.problems.append(Problem(self.lines.file_name, line, key, what, read=read, hint=hint))

    def known(self, path: Path, name: str, names: Collection[str], noun: str) -> bool:
        """Say whether a name is among the known ones, and tell if not."""
        if name in names:
            return True
        self.tell(path, f"{name} is no {noun}", read=name, hint=did_you_mean(name, names))
        return False

    @cached_property
    def written_work(self) -> dict[str, WorkRow]:
        """The lines of `[work]` that say something, without those that remove."""
        return {name: row for name, row in self.job.work.items() if row is not False}

    @cached_property
    def present_work(self) -> frozenset[str]:
        """Ids of the work this job has: written, or usual in its kind and not removed."""
        usual = {name for name, row in self.facts.work.items() if self.job.kind in row.usual_in}
        removed = {name for name, row in self.job.work.items() if row is False}
        return frozenset((usual - removed) | set(self.written_work))

    @cached_property
    def known_trades(self) -> frozenset[str]:
        """Ids of usual and written trades."""
        return frozenset({*self.facts.trades, *self.job.trades})

    @cached_property
    def can_be_waited_for(self) -> frozenset[str]:
        """What a written link may name: work of this job, approvals, trips."""
        approvals = {
            name for name in self.facts.approvals if self.job.approvals.get(name) is not False
        }
        return frozenset(self.present_work | approvals | set(self.job.trips))

    def written_places(self) -> Iterator[tuple[Path, tuple[str, ...]]]:
        """Yield every written list of places with its path, those of rooms and groups aside."""
        job = self.job
        for name, row in self.written_work.items():
            yield ("work", name, "in"), row.in_ or ()
            yield ("work", name, "done_in"), tuple(row.done_in)
            yield ("work", name, "weights"), tuple(row.weights or ())
            yield ("work", name, "first"), row.first
        for name, lines in job.approvals.items():
            for number, look in enumerate(lines or ()):
                yield ("approvals", name, number, "surfaces"), look.surfaces
        for name, thing in job.obstructions.items():
            yield ("obstructions", name, "blocks"), thing.blocks
            yield ("obstructions", name, "distance"), tuple(thing.distance)
            yield ("obstructions", name, "in"), thing.in_
            yield ("obstructions", name, "reserved"), thing.reserved
        yield from self._places_of_trips()
        for name, allowance in job.allowances.items():
            yield ("allowances", name, "surfaces"), allowance.surfaces
        for name, answer in job.answers.items():
            yield ("answers", name, "in"), answer.in_
        for name, reading in job.readings.items():
            yield ("readings", name, "in"), reading.in_
        for name, waiver in job.waivers.items():
            yield ("waivers", name, "surfaces"), waiver.surfaces
        for name, stop in job.stops.items():
            yield ("stops", name, "places"), stop.places

    def _places_of_trips(self) -> Iterator[tuple[Path, tuple[str, ...]]]:
        """Yield every list of places of a trip."""
        for name, trip in self.job.trips.items():
            yield ("trips", name, "surfaces"), trip.surfaces
            yield ("trips", name, "zone"), trip.zone
            yield ("trips", name, "sprayed"), tuple(trip.sprayed)
            yield ("trips", name, "reserved"), trip.reserved
            yield ("trips", name, "follow_ups"), tuple(trip.follow_ups)
            yield ("trips", name, "left_exposed"), trip.left_exposed
            yield ("trips", name, "depths"), tuple(trip.depths)
