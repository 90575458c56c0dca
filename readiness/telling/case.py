"""What every question is asked of: one job at one moment, with everything worked out once.

Invariant: a case is frozen; questions read it and never change it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from readiness.gates.verdict import Judge
from readiness.telling.teller import Teller

if TYPE_CHECKING:
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Site

On = date | datetime | None


@dataclass(frozen=True, slots=True)
class Case:
    """One job at one moment."""

    outlook: Outlook
    judge: Judge
    teller: Teller

    @property
    def site(self) -> Site:
        """Return the site."""
        return self.outlook.site


def case_of(outlook: Outlook) -> Case:
    """Return the case of an outlook, its evidence and spray windows looked up."""
    return Case(outlook, Judge(outlook), Teller(outlook))


@dataclass(frozen=True, slots=True)
class Instants:
    """The two instants that every answer starts with; never mixed."""

    as_of: datetime
    """What was known then."""
    on: datetime
    """What was asked about."""
    time_zone: str
    gate: str
    """The gate that answers."""
