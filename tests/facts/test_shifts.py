"""The table of shifts: every row is a stretch of a day, and says how far it is known."""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_shifts
from readiness.facts.shift_rows import ShiftKind
from readiness.job.quantities import Duration

ROWS = load_shifts()
HALF_A_DAY_MINUTES = 720


def test_there_is_an_evening() -> None:
    assert set(ROWS) == {"evening"}


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_shift_is_hours_and_says_how_far_it_is_known(row: ShiftKind) -> None:
    """Whoever finds a source writes it into the row, and this test is changed with it."""
    assert 0 < Duration.parse(row.takes).minutes(480) <= HALF_A_DAY_MINUTES
    assert (row.source, row.status) == ("common practice, no source", "common practice")
    assert row.why
