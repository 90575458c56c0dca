"""A past moment is answered from what was known and from the job file that was kept then."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.desk.builders import DANA, JOB, Ran, job_folder, note, run

EDITED = JOB.replace('takes = "16 h"', 'takes = "80 h"')


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a job with a remark on Tuesday, another file on Wednesday, a remark on Thursday."""
    folder = job_folder(tmp_path)
    note(folder, "remark", "first day", at="2026-05-05 09:00")
    (folder / "job.toml").write_text(EDITED, encoding="utf-8")
    note(folder, "remark", "longer than we thought", at="2026-05-07 09:00")
    return folder


def asked(job: Path, at: str, *words: str) -> Ran:
    return run("check", job, "--on", "2026-05-08 07:00", *words, at=at)


def test_the_job_file_that_was_kept_by_then_is_read_and_named(job: Path) -> None:
    ran = run("check", job, "--on", "2026-05-07 07:00", "--why", at="2026-05-06 06:30")
    assert "too early" in ran.out
    assert "the job file was another one then: it is read from entry dana-ruiz#1" in ran.err
    assert "job.toml kept in dana-ruiz#1:" in ran.out
    monday = run("check", job, "--json", at="2026-05-05 09:00")
    assert json.loads(monday.out)["verdict"] == "on course"
    assert json.loads(run("check", job, "--json", at="2026-05-07 09:00").out)["verdict"] == (
        "too early"
    )


def test_today_s_file_is_asked_without_a_word(job: Path) -> None:
    for at in ("2026-05-07 09:00", "2026-05-08 06:00"):
        assert asked(job, at).err == ""


def test_before_the_first_kept_file_today_s_is_used_and_the_answer_says_so(job: Path) -> None:
    for at in ("2026-05-04 06:00", "2026-05-05 08:59"):
        assert "no job file was kept by" in asked(job, at).err
    shutil.rmtree(job / "diary")
    assert asked(job, "2026-05-04 06:00").err == ""


def test_a_kept_file_that_can_t_be_used_is_told_with_its_line(job: Path) -> None:
    file = job / "diary" / "dana-ruiz.jsonl"
    first, *rest = file.read_text(encoding="utf-8").splitlines()
    broken = json.dumps({**json.loads(first), "text": "name = 3"})
    file.write_text("\n".join([broken, *rest]) + "\n", encoding="utf-8")
    ran = asked(job, "2026-05-06 06:30")
    assert "diary/dana-ruiz.jsonl:1: the job file kept there can't be used: today's is" in ran.err
    assert "too early" in ran.out


def test_the_whole_folder_as_of_a_moment_is_the_folder_cut_at_it(job: Path) -> None:
    note(job, "done", "wires", at="2026-05-07 10:00")
    note(job, "stop", "deck wet", at="2026-05-07 11:00", by="Lee Fox, crew lead")
    moments = ["2026-05-05 08:00", "2026-05-05 09:00", "2026-05-06 12:00"]
    moments += ["2026-05-07 09:30", "2026-05-07 10:30", "2026-05-07 11:00"]
    for at in moments:
        cut = job.parent / "cut"
        shutil.copytree(job, cut)
        for file in (cut / "diary").iterdir():
            kept = [
                line
                for line in file.read_text(encoding="utf-8").splitlines()
                if json.loads(line)["written"] <= _utc(at)
            ]
            file.write_text("".join(line + "\n" for line in kept), encoding="utf-8")
        whole, parts = asked(job, at, "--why"), asked(_without_clock(cut, job), at, "--why")
        assert whole.out == parts.out.replace("cut", "cedar"), at
        shutil.rmtree(cut)


def _utc(at: str) -> str:
    """Return a moment of New York in May as entries hold it."""
    day, hour = at.split()
    return f"{day}T{int(hour[:2]) + 4:02}:{hour[3:]}:00Z"


def _without_clock(cut: Path, job: Path) -> Path:
    """Let the clock of the copy stand where that of the whole folder would be: after it all."""
    for folder in (cut, job):
        file = folder / "job.toml"
        text = file.read_text(encoding="utf-8")
        text = text.replace("as_of = 2026-05-04T06:30:00", "as_of = 2026-05-09T06:30:00")
        file.write_text(text, encoding="utf-8")
    return cut


def test_problems_of_the_diary_are_told_by_every_command_and_change_no_exit_code(
    job: Path, tmp_path: Path
) -> None:
    good = asked(job, "2026-05-07 09:00")
    with (job / "diary" / "dana-ruiz.jsonl").open("a", encoding="utf-8") as file:
        file.write('{"half": "a li\n')
        file.write('{"kind": "done", "writer": "dana-ruiz", "number": 9, "seen": "2026-05-06"}\n')
    told = "diary/dana-ruiz.jsonl:5: "
    missing = "diary/dana-ruiz.jsonl:6: written: is missing from this entry"
    after = asked(job, "2026-05-07 09:00")
    assert (after.code, after.out) == (good.code, good.out)
    card = tmp_path / "card.toml"
    calls = [
        ("check", ()),
        ("when", ()),
        ("calls", ()),
        ("send", ("--show",)),
        ("handover", ("--to", str(card))),
        ("open", ("--plain",)),
        ("note", ("remark", "hot")),
    ]
    for command, words in calls:
        ran = run(command, job, *words, at="2026-05-07 09:00", by=DANA if command == "note" else "")
        assert ran.code in {0, 4}, (command, ran.err)
        assert told in ran.err, command
        assert missing in ran.err, command


def test_entries_of_a_clock_that_runs_ahead_are_told_and_left_out(job: Path) -> None:
    """Without --as-of the clock of this job stands on Monday."""
    note(job, "stop", "deck wet", at="2026-05-04 06:30", by="Lee Fox, crew lead")
    ran = run("check", job, "--json")
    assert json.loads(ran.out)["verdict"] == "stopped"
    assert "diary/dana-ruiz.jsonl:1: it was written Tue 5 May 2026 09:00, later than the clock" in (
        ran.err
    )
    assert "lee-fox" not in ran.err


def test_a_diary_without_faults_is_told_nothing_about(job: Path) -> None:
    assert asked(job, "2026-05-07 09:00").err == ""
