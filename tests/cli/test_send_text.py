"""The command `send --text`: printed to paste, and written beside the calendars where asked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import readiness
from readiness.job.problems import JobFileError
from tests.golden.small_job import SMALL_JOB


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "job.toml"
    file.write_text(SMALL_JOB, encoding="utf-8")
    return file


def send(*words: str | Path) -> Result:
    call = ["send", *map(str, words), "--text"]
    return CliRunner().invoke(readiness, call, standalone_mode=False, catch_exceptions=False)


def test_the_texts_are_printed_and_nothing_is_written(job: Path, tmp_path: Path) -> None:
    result = send(job)
    assert result.return_value == 0
    assert "# Text for Bao Electric, 555-0142" in result.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_a_folder_gets_the_texts_beside_the_calendars(job: Path, tmp_path: Path) -> None:
    result = send(job, "--out", tmp_path / "out")
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"electrician.ics", "electrician.txt", "spray.txt", "contractor.ics"} <= names
    text = (tmp_path / "out" / "electrician.txt").read_text("utf-8")
    assert text.startswith("# Text for Bao Electric, 555-0142\n")
    assert text in result.stdout + "\n"


def test_show_writes_nothing(job: Path, tmp_path: Path) -> None:
    assert send(job, "--out", tmp_path / "out", "--show").stdout == send(job).stdout
    assert not (tmp_path / "out").exists()


def test_a_letter_of_somebody_else_is_left_alone(job: Path, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    letter = tmp_path / "out" / "electrician.txt"
    letter.write_text("Dear Bao", encoding="utf-8")
    with pytest.raises(JobFileError, match="not written by this program"):
        send(job, "--out", tmp_path / "out")
    assert letter.read_text("utf-8") == "Dear Bao"
    assert list((tmp_path / "out").iterdir()) == [letter]


def test_sending_again_writes_the_same_bytes(job: Path, tmp_path: Path) -> None:
    def content() -> dict[str, bytes]:
        send(job, "--out", tmp_path / "out")
        return {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}

    assert content() == content()


def test_json_is_one_object(job: Path) -> None:
    answer = json.loads(send(job, "--json").stdout)
    assert answer["texts"][0]["who"]["phone"]
    assert len(answer["texts"][0]["lines"]) >= 2
