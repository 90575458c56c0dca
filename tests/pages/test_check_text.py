"""The text of `check`: how a moment is told up, and what nobody has seen yet."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from readiness.desk.desk import open_desk
from readiness.pages.check_text import check_text, head_lines, to_come_parts
from readiness.pages.moments import told_up
from readiness.questions.check import check
from tests.conftest import ROOT

DENVER = ZoneInfo("America/Denver")


@pytest.mark.parametrize(
    ("moment", "up"),
    [
        ("2026-08-24 07:22", "Mon 24 Aug 07:30"),
        ("2026-08-24 07:30", "Mon 24 Aug 07:30"),
        ("2026-08-24 07:31", "Mon 24 Aug 07:45"),
        ("2026-08-24 23:50", "Tue 25 Aug 00:00"),
        ("2026-12-31 23:59", "Fri 1 Jan 2027 00:00"),
    ],
)
def test_by_when_something_is_done_is_told_up_to_the_next_quarter_of_an_hour(
    moment: str, up: str
) -> None:
    assert told_up(datetime.fromisoformat(moment).replace(tzinfo=DENVER), 2026) == up


def test_what_is_checked_on_arrival_is_told_as_not_seen_yet_and_apart() -> None:
    """Else "flames, pilots and sparks are off" reads as if somebody had looked."""
    answer = check(open_desk(ROOT / "sample_jobs" / "garden-room-addition").case())
    (come, before), (arrival, then) = to_come_parts(answer)
    assert come == f"Still to come ({len(before)}, all by Wed 26 Aug 08:00)"
    assert arrival == f"To be checked on arrival, not seen yet ({len(then)})"
    assert {line.title for line in answer.to_come if line.on_arrival} == {
        says.partition(": ")[0] for says, _ in then
    }
    assert f": {len(then)} things to see and read" in head_lines(answer)[4]
    assert f"  {then[0][0]} ({then[0][1].name})" in check_text(answer).splitlines()


def test_the_keep_out_of_a_day_that_does_not_work_stands_with_its_if() -> None:
    case = open_desk(ROOT / "sample_jobs" / "two-storey-house").case()
    assert "\nIf it is sprayed then: keep out from Tue 9 Jun 07:30 until" in check_text(check(case))
    good = open_desk(ROOT / "sample_jobs" / "post-frame-shop").case()
    assert "\nKeep out from Wed 13 May 07:30 until" in check_text(check(good))
