"""A look that fails: corrected by its trade, asked for anew, seen in the next slot.

Invariant: the slot after a failure is the first one that neither the correction nor the office's
notice, counted from the end of the look that failed, forbids.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from readiness.job.instants import EARLIER, is_dated
from readiness.planning.trials_pass import Again
from readiness.planning.trials_tables import BEYOND, SlotTable

if TYPE_CHECKING:
    from readiness.schedule.calendar import Calendar as Timed
    from readiness.schedule.notice import Asking

MOST_FAILURES = 3
"""A look that has failed so often is taken to pass: the tail says nothing any more."""


@dataclass(frozen=True, slots=True)
class Office:
    """What a look needs after it has failed."""

    asking: Asking
    corrects: Timed
    """The working time of whoever corrects it."""
    correction_minutes: int


def again_of(office: Office, table: SlotTable, low: int) -> Again:
    """Return by slot and number of failures the slot of the look that passes."""
    count = len(table.starts)
    after = np.full(count, count - 1, dtype=np.int32)
    for number, end in enumerate(table.ends[:-1].tolist()):
        since = end + low
        notice = office.asking.earliest(since)
        corrected = office.corrects.earliest(since, EARLIER, office.correction_minutes)[1]
        soonest = max(notice, corrected, since)
        if is_dated(soonest) and soonest - low < len(table.from_start):
            after[number] = table.from_start[soonest - low]
    rounds = [np.arange(count, dtype=np.int32)]
    for _ in range(MOST_FAILURES):
        rounds.append(after[rounds[-1]])
    assert table.starts[-1] == BEYOND  # noqa: S101  past the last slot there is no date
    return Again(np.concatenate(rounds), count)
