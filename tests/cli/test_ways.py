"""`ways` on the command line: exit codes, the difference before writing, days that can't be."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from readiness.cli.ways import command
from tests.conftest import ROOT

HOUSE = ROOT / "sample_jobs" / "two-storey-house"


def ask(*words: str, typed: str = "") -> tuple[int, str]:
    """Return exit code and all that was said."""
    result = CliRunner().invoke(command, list(words), input=typed, standalone_mode=False)
    code = result.return_value if result.exception is None else -1
    return int(code or 0), result.output + str(result.exception or "")


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a copy of the sample that can be written to."""
    shutil.copytree(HOUSE, tmp_path / "house")
    return tmp_path / "house"


def test_a_way_is_told_with_exit_code_0() -> None:
    code, said = ask(str(HOUSE))
    assert code == 0
    assert "Leave Bath north wall, Bath tub wall and Laundry wall to a further trip" in said
    assert "no prices are written" in said
    # 3838 sq ft less 70 and 56 of the bath and 60 of the laundry, by the job file
    assert "sprays 27 of 30 surfaces that day, 3652 of 3838 sq ft" in said


def test_nothing_is_written_without_a_yes(house: Path) -> None:
    code, said = ask(str(house), "--apply", "1", "--writer", "Noor, contractor", typed="n\n")
    assert code == 4
    assert "<.. too early -> [=] ready" in said
    assert not (house / "diary").exists()


def test_a_yes_writes_the_way(house: Path) -> None:
    code, said = ask(str(house), "--apply", "1", "--yes", "--writer", "Noor, contractor")
    assert code == 0, said
    assert "entries written" in said
    text = (house / "diary" / "noor.jsonl").read_text()
    kinds = [json.loads(line)["kind"] for line in text.splitlines()]
    assert kinds == ["job-file", "trip"]


def test_what_was_written_is_one_object_and_the_difference_is_talk(house: Path) -> None:
    """So a script reads what came of it, and a person still sees what it changes."""
    words = [str(house), "--apply", "1", "--json", "--writer", "Noor, contractor"]
    asked = CliRunner().invoke(command, words, input="n\n", standalone_mode=False)
    refused = json.loads(asked.stdout)
    assert asked.return_value == 4
    assert not refused["is_written"]
    assert "<.. too early -> [=] ready" in " ".join(refused["changed"])
    assert "<.. too early -> [=] ready" in asked.stderr
    assert not (house / "diary").exists()
    result = CliRunner().invoke(command, [*words, "--yes"], standalone_mode=False)
    assert result.return_value == 0
    written = json.loads(result.stdout)
    assert written["is_written"]
    assert written["entries"] == 1
    assert written["says"].startswith("Leave Bath north wall")
    assert (house / "diary" / "noor.jsonl").exists()


def test_a_way_that_is_not_told_is_wrong_usage() -> None:
    code, said = ask(str(HOUSE), "--apply", "9")
    assert code == -1
    assert "there is no way 9" in said


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        ("2026-06-08", "is past"),
        ("2026-06-13", "Sat 13 Jun; next to it are Fri 12 Jun"),
    ],
)
def test_a_day_that_is_past_or_closed_is_told(day: str, sentence: str) -> None:
    code, said = ask(str(HOUSE), "--on", day)
    assert code == 4
    assert sentence in said


def test_own_prices_order_the_ways_and_stand_in_them(house: Path) -> None:
    """A further trip has its coming, its own approvals and what its keep-out costs, apart."""
    costs = '\n[costs]\ncurrency = "USD"\ntrip = 850\nmove = 40\napproval = 90\ntrade_day = 500\n'
    with (house / "job.toml").open("a") as file:
        file.write(costs)
    code, said = ask(str(house))
    assert code == 0
    assert "the rig's further coming: 850.00 USD" in said
    assert "one more approval of rough wiring: 90.00 USD" in said
    assert "lost to its keep-out" in said
    assert "no prices" not in said


def test_costs_that_are_left_out_are_named(house: Path) -> None:
    with (house / "job.toml").open("a") as file:
        file.write("\n[costs]\ntrip = 850\n")
    _, said = ask(str(house))
    assert "It costs at least 850, " in said
    assert "without a price" in said
    assert "[costs] does not say" in said


def test_what_only_evidence_can_meet_is_told_as_a_sentence(house: Path) -> None:
    """The whole house lacks it, so leaving a surface can't help, and the proof names the call."""
    file = house / "job.toml"
    file.write_text(file.read_text().replace('"rig-access", ', ""))
    code, said = ask(str(house))
    assert code == 4
    assert "no change makes evidence" in said
    assert "555-0101" in said
