"""What no kind of job is asked by itself is asked where a job names it, and only there.

Invariant: the shipped tables are used, so that a row that lost its name is noticed.
"""

from __future__ import annotations

from readiness.facts.vocabulary import Gate
from tests.site.test_two_edges import ONE_TRIP, house

OWNER = "owner-shown"


def test_an_owner_walk_before_board_is_asked_only_where_the_job_names_it() -> None:
    named = house("[requirements]\nowner-shown = {}\n" + ONE_TRIP).site
    (asked,) = [row for row in named.requirements if row.code == OWNER]
    assert asked.demands.due is Gate.BOARD
    assert OWNER not in {row.code for row in house().site.requirements}
