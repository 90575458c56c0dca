"""What follows from the depth readings of a surface, apart from how it is computed.

Most jobs have no depth reading yet; their answers need these words and none of the statistics.
Invariant: the words stand in the order of what costs most.
"""

from __future__ import annotations

from enum import StrEnum

METHOD = "Student's t, two-sided 95 %, readings taken as independent"
"""How the interval of a mean is found."""


class Outcome(StrEnum):
    """What follows from the readings of a surface, the worst first."""

    RESPRAY = "cut out and respray"
    FILL = "fill these spots"
    TRIM = "trim these spots"
    MORE = "read more spots"
    ACCEPT = "accept"


WORST_FIRST = tuple(Outcome)
FAILS = frozenset({Outcome.RESPRAY, Outcome.FILL, Outcome.TRIM})
