"""The text of the board gate, as somebody in a cold truck reads it."""

from __future__ import annotations

import pytest

from readiness.desk.desk import open_desk
from readiness.facts.vocabulary import Gate
from readiness.pages.check_text import check_text
from readiness.questions.check import check
from tests.conftest import ROOT
from tests.diary.builders import Data
from tests.gates.test_board import GOOD, JOB, LOW, RELEASED, job

SAMPLES = sorted(folder.name for folder in (ROOT / "sample_jobs").iterdir() if folder.is_dir())


def told(*entries: Data, why: bool = False, text: str = JOB) -> list[str]:
    """Return the lines of the answer."""
    return check_text(check(job(*entries, text=text).case, gate=Gate.BOARD), why=why).splitlines()


def test_the_first_five_lines_tell_the_failure_and_when_it_clears() -> None:
    lines = told(*RELEASED, LOW, *GOOD[1:])
    assert lines[1].startswith("### to mend: Board may not start over 1 of 2 surfaces")
    assert lines[2].startswith("held by      not so: It is so: Bath outer (Ada Moss Wed 13 May")
    assert "2.2 in" in lines[2]
    assert lines[3].startswith("cleared by")
    assert lines[4] == "clears       by Thu 14 May 12:00 as things stand"
    assert lines[5].startswith("next call")


def test_milestones_stand_apart_with_what_they_hang_on() -> None:
    text = "\n".join(told(*RELEASED, LOW, *GOOD[1:]))
    for title in (
        "Workers may enter",
        "Residents may return",
        "The foam has passed its checks",
        "The office has approved",
        "Board may start",
    ):
        assert text.count(f"  {title} ") == 1
    assert "released by Ada Moss" in text
    assert "hangs on keep-out after the mending, Bath outer: Thu 14 May 12:00" in text


def test_field_and_perimeter_are_told_apart_with_the_method() -> None:
    text = " ".join(" ".join(told(*RELEASED, *GOOD)).split())
    assert "field 3 readings, mean 3 in (interval 2.75 in to 3.25 in), spread 0.1 in" in text
    assert "perimeter no reading" in text
    assert "Interval of the mean: Student's t, two-sided 95 %" in text


def test_a_metric_job_reads_millimetres() -> None:
    text = "\n".join(told(*RELEASED, LOW, *GOOD[1:], text='units = "metric"\n' + JOB))
    assert "56 mm" in text
    assert "2.2 in" not in text


def test_why_tells_every_source_and_the_items_after_the_spray() -> None:
    text = "\n".join(told(*RELEASED, LOW, *GOOD[1:], why=True))
    assert "After the spray, the same day:" in text
    assert "[FAIL] Probe the depth of every surface and write it down" in text
    assert "remedy: fill the low spots" in text


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_sample_answers_with_the_usual_cautions(sample: str) -> None:
    case = open_desk(ROOT / "sample_jobs" / sample).case()
    text = " ".join(check_text(check(case, gate=Gate.BOARD), why=True).split())
    assert "named person releases, not the clock" in text
    assert "from: " in text
    assert "Board may start" in text


def test_rooms_are_released_one_by_one() -> None:
    lines = told(*RELEASED, LOW, *GOOD[1:])
    assert "Released for board: 1 of 2 rooms." in lines
    assert "  Room Kitchen: released for board" in lines
    assert any(line.startswith("  Room Bath: not before Thu 14 May 12:00") for line in lines)
