"""On each sample that is refused there is a way, and once it is written `check` says yes."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.drafting import Draft
from readiness.desk.statement import Statement, writer_of
from readiness.questions.check import check
from readiness.questions.ways import ways
from tests.conftest import ROOT

SAMPLES = sorted((ROOT / "sample_jobs").glob("*/job.toml"))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.parent.name)
def test_a_written_way_makes_check_say_yes(sample: Path, tmp_path: Path) -> None:
    """And the job file stays as people wrote it."""
    folder = tmp_path / "job"
    shutil.copytree(sample.parent, folder)
    desk = open_desk(folder)
    refused = not check(desk.case()).is_yes
    answer = ways(desk.case())
    assert answer.ways
    assert bool(answer.ways[0].changes) == refused
    who = writer_of("Noor Haddad, contractor")
    draft = Draft(desk, who, "by ways")
    for line in answer.ways[0].lines:
        draft.add(Statement(dict(line), who))
    if len(draft):
        draft.write()
    after = open_desk(folder)
    assert check(after.case()).is_yes
    assert (folder / "job.toml").read_bytes() == sample.read_bytes()


def test_every_way_to_a_later_day_makes_check_say_yes_then(tmp_path: Path) -> None:
    """The house asked about the next day: another hour, or two rooms left to a further trip."""
    sample = ROOT / "sample_jobs" / "two-storey-house"
    day = date(2026, 6, 10)
    answer = ways(open_desk(sample).case(), day)
    assert len(answer.ways) >= 2
    for way in answer.ways:
        folder = tmp_path / str(way.number)
        shutil.copytree(sample, folder)
        desk = open_desk(folder)
        assert not check(desk.case(), day).is_yes
        who = writer_of("Noor Haddad, contractor")
        draft = Draft(desk, who, "by ways")
        for line in way.lines:
            draft.add(Statement(dict(line), who))
        draft.write()
        assert check(open_desk(folder).case(), day).is_yes


@pytest.mark.parametrize("day", [date(2026, 6, 12), date(2026, 6, 15), date(2026, 6, 29)])
def test_a_day_on_which_thirty_surfaces_are_held_up_has_ways(day: date, tmp_path: Path) -> None:
    """What is booked after the foam holds all of them; they are left by room, within the limits."""
    sample = ROOT / "sample_jobs" / "two-storey-house"
    answer = ways(open_desk(sample).case(), day)
    assert len(answer.ways) >= 3
    assert answer.forecasts <= 400
    for way in answer.ways:
        folder = tmp_path / str(way.number)
        shutil.copytree(sample, folder)
        desk = open_desk(folder)
        who = writer_of("Noor Haddad, contractor")
        draft = Draft(desk, who, "by ways")
        for line in way.lines:
            draft.add(Statement(dict(line), who))
        draft.write()
        assert check(open_desk(folder).case(), day).is_yes


def test_a_search_that_takes_too_long_ends_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The house six days later: thirty surfaces, each held up by what is booked after the foam."""
    monkeypatch.setattr("readiness.planning.search.MOST_FORECASTS_TO_THE_FIRST", 3)
    case = open_desk(ROOT / "sample_jobs" / "two-storey-house").case()
    answer = ways(case, date(2026, 6, 15))
    assert answer.ways == ()
    assert answer.proof == ()
    assert 3 <= answer.forecasts < 60
    assert "not everything was tried" in answer.sentence
