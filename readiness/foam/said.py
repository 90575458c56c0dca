"""What a rule says of one surface, with the marks of everything it rests on.

Invariant: whatever a sentence used stands in its marks, so a figure from memory can't lose its
mark on the way to a screen.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Status
from readiness.job.quantities import Length

if TYPE_CHECKING:
    from readiness.facts.foam_rows import FoamRuleRow
    from readiness.facts.rows import Row
    from readiness.job.quantity import Units

SHEET = "product sheet"
"""The status of a figure that a product sheet entered in the job tells."""

ALLOWED = "named allowance"
"""The status of what a named person allowed."""

JOB = "job file"


class State(StrEnum):
    """How a surface stands to one rule; none of these is a verdict of an office."""

    REACHED = "reached"
    NOT_OWED = "not owed"
    OWED = "owed"
    ASK = "to ask"
    SHORT = "short"
    UNKNOWN = "not known"
    NO_ROW = "not in our tables"
    TOLD = "told"


@dataclass(frozen=True, slots=True)
class Mark:
    """One row, sheet or word that a sentence rests on."""

    what: str
    status: str
    source: str

    @property
    def is_unverified(self) -> bool:
        """Say whether nobody has seen it where it is said to stand."""
        return self.status == Status.FROM_MEMORY


@dataclass(frozen=True, slots=True)
class Said:
    """What one rule says of one surface."""

    topic: str
    state: State
    says: str
    marks: tuple[Mark, ...] = ()
    asks: str = ""
    whom: str = ""
    owes: str = ""
    """What follows: `barrier`, `retarder`, `coating`, `ground sheet`; empty if nothing."""
    caution: str = ""


def mark_of(row: Row, edition: str = "") -> Mark:
    """Return the mark of a row of facts; where another edition was read it says so.

    Args:
        row: The row.
        edition: The edition of the job.
    """
    seen_in = getattr(row, "seen_in", "")
    read = f"; read in {seen_in}" if seen_in and edition and seen_in != edition else ""
    return Mark(row.title, row.status.value, row.source + read)


def asked_about(row: FoamRuleRow, edition: str, units: Units = "US") -> Said:
    """Return a rule that is a question to somebody, with its figure, never an approval."""
    return Said(
        topic=row.topic.value,
        state=State.ASK,
        says=f"{row.title}: {row.says}{_in_metric(row.figure, units)}",
        marks=(mark_of(row, edition),),
        asks=row.asks,
        whom=row.whom,
        caution=row.caution,
    )


def _in_metric(figure: str, units: Units) -> str:
    """Return the figure of a row in millimetres for jobs that are told in them."""
    if units == "US" or not figure.endswith(" in"):
        return ""
    return f" ({figure} is {Length.parse(figure).in_units(units)})"
