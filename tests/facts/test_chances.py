"""The table of usual chances: every kind has its row, and every row says how far it is known."""

from __future__ import annotations

import pytest

from readiness.facts.chance_rows import ChanceKind, ChanceOf
from readiness.facts.loader import load_chances
from readiness.job.quantities import Duration, Share

ROWS = load_chances().chances
LENGTHS = {ChanceOf.WORK_LENGTH, ChanceOf.TRIP_LENGTH}


def test_every_kind_has_its_row() -> None:
    assert set(ROWS) == set(ChanceOf)


@pytest.mark.parametrize(("about", "row"), ROWS.items(), ids=str)
def test_a_row_says_how_often_or_by_how_much(about: ChanceOf, row: ChanceKind) -> None:
    assert (bool(row.less), bool(row.more), bool(row.chance)) == (
        (True, True, False) if about in LENGTHS else (False, False, True)
    )
    for share in filter(None, (row.less, row.more, row.chance)):
        assert 0 < Share.parse(share).fraction <= 1
    if row.takes:
        assert Duration.parse(row.takes).minutes(480) > 0


@pytest.mark.parametrize(("about", "row"), ROWS.items(), ids=str)
def test_nothing_here_was_seen_in_a_source(about: ChanceOf, row: ChanceKind) -> None:
    """Whoever finds a source writes it into the row, and this test is changed with it."""
    del about
    assert (row.source, row.status) == ("common practice, no source", "common practice")
    assert row.why
