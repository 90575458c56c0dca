"""Hot work near foam that nothing covers yet: after the barrier, or with a named fire watch."""

from __future__ import annotations

import pytest

from tests.builders import ROOMS, Asked, asked, facts, requirement, told, work

HANG_BOARD = work(
    trade="drywall", touches=[{"order": "after"}], covers_foam=True, fire_barrier=True
)
TABLES = facts(work={"hang-board": HANG_BOARD})
BOOKED = "hang-board = { booked = 2026-05-18 }"


def job_text(torch: str, board: str = BOOKED, more: str = "") -> str:
    """Return a job with a torch in the bath."""
    return f"""{ROOMS}
[work]
{board}
torch = {{ trade = "plumber", in = ["bath"], takes = "2 h", hot = true, {torch} }}

[trips]
first = {{ booked = 2026-05-11T07:00:00, lasts = "1 d" }}
{more}
"""


def job(torch: str, board: str = BOOKED) -> Asked:
    """Return that job at the usual moment."""
    return asked(job_text(torch, board), tables=TABLES)


def hot(found: Asked) -> list[str]:
    """Return when hot work near bare foam is, and until when the foam is bare."""
    return [
        f"{told(finding.at)} until {told(finding.instead)}"
        for finding in found.findings()
        if finding.code == "hot-work-on-bare-foam"
    ]


def test_between_spray_and_barrier_it_is_told_with_the_barrier() -> None:
    found = hot(job('order = "after", booked = 2026-05-14'))
    assert found == ["2026-05-14 07:00 until 2026-05-18 15:00"]


@pytest.mark.parametrize(
    "torch", ['order = "before", booked = 2026-05-06', 'order = "after", booked = 2026-05-20']
)
def test_before_the_foam_and_after_the_barrier_nothing_is_told(torch: str) -> None:
    assert hot(job(torch)) == []


def test_without_any_barrier_it_is_told_as_without_a_date() -> None:
    found = hot(job('order = "after", booked = 2026-05-14', board="hang-board = false"))
    assert found == ["2026-05-14 07:00 until never"]


WATCH = requirement(scope="room", category="agreement", effect="note", due="board")
WATCHED = """
[requirements]
fire-watch-named = {}

[answers]
watch = { yes = ["fire-watch-named"], at = 2026-05-04T06:00:00, by = "Ada", in = ["bath"] }
"""


def test_a_named_fire_watch_is_the_other_way() -> None:
    tables = facts(work={"hang-board": HANG_BOARD}, requirements={"fire-watch-named": WATCH})
    text = job_text('order = "after", booked = 2026-05-14', more=WATCHED)
    assert hot(asked(text, tables=tables)) == []
    unwatched = text.replace('in = ["bath"] }', 'in = ["kitchen"] }')
    assert len(hot(asked(unwatched, tables=tables))) == 1
