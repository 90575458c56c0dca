"""The command `send`: what it writes, prints and ends with."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import readiness
from readiness.job.problems import JobFileError
from tests.exchange.rfc_lines import complaints
from tests.golden.small_job import SMALL_JOB

AS_OF = "2026-05-04 06:30"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "job.toml"
    file.write_text(SMALL_JOB, encoding="utf-8")
    return file


def send(*words: str | Path) -> Result:
    runner = CliRunner()
    return runner.invoke(
        readiness, ["send", *map(str, words)], standalone_mode=False, catch_exceptions=False
    )


def test_each_trade_gets_a_file(job: Path, tmp_path: Path) -> None:
    result = send(job, "--out", tmp_path / "out")
    assert result.return_value == 0
    names = ["contractor.ics", "electrician.ics", "owner.ics", "plumber.ics", "spray.ics"]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == names
    for path in (tmp_path / "out").iterdir():
        assert complaints(path.read_bytes()) == []


def test_the_answer_has_one_line_per_file(job: Path, tmp_path: Path) -> None:
    lines = send(job, "--out", tmp_path / "out").stdout.splitlines()
    assert lines[0] == "Alder Street 14: as of Mon 4 May 2026 06:30 (America/New_York)"
    assert lines[1] == f"wrote 5 calendars to {tmp_path / 'out'}:"
    assert lines[2] == "  electrician.ics    4 entries  Bao Electric, 555-0142"
    assert "not sent: no agreed or booked date: Reed Plumbing, 555-0144" in lines
    assert "  Set tub" in lines


def test_sending_again_writes_the_same_bytes(job: Path, tmp_path: Path) -> None:
    send(job, "--out", tmp_path / "out")
    first = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    send(job, "--out", tmp_path / "out")
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == first


def test_show_prints_every_entry_and_writes_nothing(job: Path, tmp_path: Path) -> None:
    result = send(job, "--out", tmp_path / "out", "--show")
    assert result.return_value == 0
    assert "5 calendars, nothing written:" in result.stdout
    assert (
        "    Pull cable, Bath 1; before the foam Mon 11 May; 14 Alder Street (day 1 of 2)"
        in result.stdout
    )
    assert not (tmp_path / "out").exists()
    assert send(job, "--show").stdout == result.stdout


def test_without_a_folder_it_asks_for_one(job: Path) -> None:
    import click

    with pytest.raises(click.UsageError, match="--out FOLDER"):
        send(job)


def test_json_is_one_object(job: Path, tmp_path: Path) -> None:
    answer = json.loads(send(job, "--out", tmp_path / "out", "--json").stdout)
    assert [letter["file"] for letter in answer["letters"]] == [
        "electrician.ics",
        "owner.ics",
        "plumber.ics",
        "spray.ics",
        "contractor.ics",
    ]
    assert answer["as_of"].startswith("2026-05-04T06:30")


def test_as_of_is_heeded(job: Path, tmp_path: Path) -> None:
    send(job, "--out", tmp_path / "out", "--as-of", "2026-05-05 09:00")
    assert b"DTSTAMP:20260505T130000Z" in (tmp_path / "out" / "spray.ics").read_bytes()


def test_a_file_of_somebody_else_is_a_problem_of_the_input(job: Path, tmp_path: Path) -> None:
    (tmp_path / "plumber.ics").write_text("theirs", encoding="utf-8")
    with pytest.raises(JobFileError, match="was not written by this program"):
        send(job, "--out", tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml", "plumber.ics"]


def test_an_older_calendar_is_pointed_at(job: Path, tmp_path: Path) -> None:
    send(job, "--out", tmp_path / "out")
    text = SMALL_JOB.replace("booked = 2026-05-14\n", "").replace("agreed = 2026-05-11", "# ")
    job.write_text(text, encoding="utf-8")
    assert send(job, "--out", tmp_path / "out").stderr == ""
    assert b"SUMMARY:CANCELLED: Keep-out" in (tmp_path / "out" / "plumber.ics").read_bytes()
    later = ("--as-of", "2026-05-20 08:00")
    result = send(job, "--out", tmp_path / "out", *later)
    assert "plumber.ics is older: it has no entry now; take it back" in result.stderr


def test_nothing_dated_is_said_and_writes_nothing(job: Path, tmp_path: Path) -> None:
    text = "\n".join(line for line in SMALL_JOB.splitlines() if "agreed" not in line)
    job.write_text(text, encoding="utf-8")
    result = send(job, "--out", tmp_path / "out")
    assert result.return_value == 0
    assert "nothing to send: nothing has an agreed or booked date" in result.stdout
    assert not (tmp_path / "out").exists()


def test_links_can_be_left_out(job: Path, tmp_path: Path) -> None:
    send(job, "--out", tmp_path / "with")
    send(job, "--out", tmp_path / "without", "--no-links")
    assert b"RELATED-TO;RELTYPE=DEPENDS-ON" in (tmp_path / "with" / "contractor.ics").read_bytes()
    assert b"RELATED-TO" not in (tmp_path / "without" / "contractor.ics").read_bytes()
