"""`plan` on the command line: exit codes, JSON, the difference before writing."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from readiness.cli.new import command as new
from readiness.cli.plan import command
from tests.conftest import ROOT

SHOP = ROOT / "sample_jobs" / "post-frame-shop"
FLAT = ROOT / "sample_jobs" / "basement-flat"


def ask(*words: str, typed: str = "") -> tuple[int, str]:
    """Return exit code and all that was said."""
    result = CliRunner().invoke(command, list(words), input=typed, standalone_mode=False)
    code = result.return_value if result.exception is None else -1
    return int(code or 0), result.output + str(result.exception or "")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Return a copy of a sample that can be written to."""
    shutil.copytree(SHOP, tmp_path / "shop")
    return tmp_path / "shop"


def test_a_plan_is_told_with_exit_code_0() -> None:
    """Who works where each day, what moves, and what holds each date."""
    code, said = ask(str(SHOP), "--why")
    assert code == 0
    assert "Proven, no plan does better" in said
    assert "Hollin Foam: spray, the main trip" in said
    assert "What holds each date:" in said


def test_a_job_without_a_date_for_the_board_ends_with_exit_code_4() -> None:
    """The part that can be dated is told, and labelled."""
    code, said = ask(str(FLAT))
    assert code == 4
    assert "Without a date:" in said
    assert "what can be dated is planned" in said


def test_the_answer_as_one_object() -> None:
    """The same dates, with the level that was proven."""
    code, said = ask(str(SHOP), "--json")
    answer = json.loads(said)
    assert code == 0
    assert answer["board"].startswith("2026-05-")
    assert {level["is_proven"] for level in answer["levels"]} == {True}


def test_nothing_is_written_without_a_yes(shop: Path) -> None:
    """The difference is shown first."""
    code, _ = ask(str(shop), "--apply", "--writer", "Noor, contractor", typed="n\n")
    assert code == 4
    assert not (shop / "diary").exists() or not list((shop / "diary").glob("noor*"))


def test_what_was_written_is_one_object(shop: Path) -> None:
    """And once it is written, a second time writes nothing and is no refusal."""
    words = [str(shop), "--apply", "--yes", "--json", "--writer", "Noor, contractor"]
    first = CliRunner().invoke(command, words, standalone_mode=False)
    answer = json.loads(first.stdout)
    assert first.return_value == 0
    assert answer["is_written"] == (answer["entries"] > 0)
    assert answer["says"] in first.stderr
    again = CliRunner().invoke(command, words, standalone_mode=False)
    assert again.return_value == 0
    assert json.loads(again.stdout)["entries"] == 0


def test_dates_are_written_into_the_diary_and_the_plan_then_changes_nothing(shop: Path) -> None:
    """Applied once more there is nobody to tell."""
    before = (shop / "job.toml").read_bytes()
    code, said = ask(str(shop), "--apply", "--yes", "--writer", "Noor, contractor")
    assert code == 0
    assert "entries written; the job file is as it was" in said
    assert (shop / "job.toml").read_bytes() == before
    code, said = ask(str(shop))
    assert code == 0
    assert "nobody has to be told a new date" in said


def test_a_plan_without_a_date_for_the_board_is_not_written(tmp_path: Path) -> None:
    """Half a plan would be booked as if it were whole."""
    shutil.copytree(FLAT, tmp_path / "flat")
    code, said = ask(str(tmp_path / "flat"), "--apply", "--yes", "--writer", "Noor, contractor")
    assert code == -1
    assert "nothing was written" in said


def test_a_card_and_a_shared_room_say_what_the_plan_takes_for_granted(tmp_path: Path) -> None:
    assert CliRunner().invoke(new, [str(tmp_path / "card"), "--card", "--yes"]).exit_code == 0
    assert "A site card knows of no work" in ask(str(tmp_path / "card"))[1]
    house = str(ROOT / "sample_jobs" / "two-storey-house")
    assert "One trade at a time works in a room (common practice, no source)" in ask(house)[1]
