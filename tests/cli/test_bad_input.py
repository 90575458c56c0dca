"""What a bad file, folder or word ends in: exit 3 with lines, no traceback, nothing written.

Invariant: every case goes through the real command line, for each command that reads a job.
"""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from tests.cli.conftest import Run

GOOD = """\
name = "Short Lane 2"
key = "b4d1np"
site = { time_zone = "America/Chicago", country = "US" }
as_of = 2026-05-04T06:30:00
board = 2026-05-25
[rooms]
hall = { is = "hall" }
[surfaces]
hall.outer = { is = "wall above grade", area = "64 sq ft net", cavity = "5.5 in", depth = "3 in" }
[trades]
framer = { hours = "Mon-Fri 07:00-15:30" }
[work]
studs = { trade = "framer", in = ["hall"], order = "before", takes = "1 d", agreed = 2026-05-05 }
[trips]
main = { agreed = 2026-05-11T07:00:00, lasts = "1 d" }
"""

CIRCLE = "\n".join(
    f'w{number} = {{ trade = "framer", in = ["hall"], takes = "1 h", '
    f'starts_after = [{{ end_of = "w{(number + 1) % 40}" }}] }}'
    for number in range(40)
)

CHANGES = {
    "a circle of forty": ("[trips]", CIRCLE + "\n[trips]", "wait for each other"),
    "a room without surfaces": ('hall = { is = "hall" }', "hall = {}\nattic = {}", "no surface"),
    "an id twice": ('hall = { is = "hall" }', "hall = {}\nhall = {}", "hall"),
    "a negative duration": ('takes = "1 d"', 'takes = "-1 d"', "never negative"),
    "an end before its start": (
        "agreed = 2026-05-05",
        'agreed = "2026-05-05 to 2026-05-01"',
        "ends before it starts",
    ),
    "the year 9999": ("board = 2026-05-25", "board = 9999-05-25", "1990 to 2200"),
    "an unknown zone": ("America/Chicago", "America/Chikago", "America/Chicago?"),
    "foam deeper than its cavity": ('depth = "3 in"', 'depth = "7 in"', "deeper"),
    "a calendar without a working minute": (
        'hours = "Mon-Fri 07:00-15:30"',
        'hours = "Mon-Fri 07:00-15:30", off = ["FREQ=DAILY"]',
        "no working day",
    ),
    "an unknown country": ('country = "US"', 'country = "XX"', "public holidays"),
    "an unknown state": ('country = "US"', 'country = "US", state = "QQ"', "public holidays"),
    "an inch mark in quotes": ('cavity = "5.5 in"', 'cavity = "5.5""', ""),
    "a date with slashes": ("board = 2026-05-25", "board = 5/25/2026", ""),
    "a range that begins above its likely length": (
        'takes = "1 d"',
        'takes = "1 d", takes_at_least = "2 d"',
        "at least 2 d is more than the likely 1 d",
    ),
    "a range whose best is worse than its worst": (
        'takes = "1 d"',
        'takes = "1 d", takes_at_least = "3 d", takes_at_most = "2 d"',
        "at least 3 d is more than the likely 1 d",
    ),
    "a trade with no crews": (
        'hours = "Mon-Fri 07:00-15:30"',
        'hours = "Mon-Fri 07:00-15:30", crews = 0',
        "0 is not a number from 1",
    ),
    "a work booked for another day than agreed": (
        "agreed = 2026-05-05",
        "agreed = 2026-05-05, booked = 2026-05-06",
        "agreed for one date and booked for another",
    ),
    "a trip booked for another day than agreed": (
        "agreed = 2026-05-11T07:00:00",
        "agreed = 2026-05-11T07:00:00, booked = 2026-05-12",
        "agreed for one date and booked for another",
    ),
    "a price below nothing": ("[trips]", "[costs]\ntrip = -5\n[trips]", "-5"),
    "an unknown key": ('lasts = "1 d"', 'last = "1 d"', "lasts"),
}


def assert_refused(result: subprocess.CompletedProcess[str], wanted: str) -> None:
    """The answer is empty, the talk names the problem, and there is no traceback."""
    assert result.returncode == 3, result.stderr
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    assert wanted in result.stderr


def test_the_good_file_is_good(run: Run, tmp_path: Path) -> None:
    """What the changes are made to has no problem of its own."""
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    assert run("check", str(tmp_path)).returncode in {0, 4}


@pytest.mark.parametrize("case", CHANGES)
def test_a_bad_line_is_told_with_its_line(run: Run, case: str, tmp_path: Path) -> None:
    """Each names file and line, and what is wanted."""
    old, new, wanted = CHANGES[case]
    assert old in GOOD
    (tmp_path / "job.toml").write_text(GOOD.replace(old, new, 1), "utf-8")
    result = run("check", str(tmp_path))
    assert_refused(result, wanted)
    assert "job.toml:" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


@pytest.mark.parametrize("command", ["ways", "plan", "chance"])
@pytest.mark.parametrize(
    "case", [case for case in CHANGES if "crews" in case or "booked" in case or "range" in case]
)
def test_what_has_no_sense_is_refused_before_anything_is_searched(
    run: Run, command: str, case: str, tmp_path: Path
) -> None:
    """No partial plan, no chance and no way of a job that contradicts itself."""
    old, new, wanted = CHANGES[case]
    (tmp_path / "job.toml").write_text(GOOD.replace(old, new, 1), "utf-8")
    assert_refused(run(command, str(tmp_path)), wanted)


@pytest.mark.parametrize("command", ["ways", "chance"])
@pytest.mark.parametrize(
    ("day", "wanted"), [("2026-05-01", "Fri 1 May 07:00"), ("2026-05-09", "Sat 9 May")]
)
def test_a_day_that_is_past_or_closed_gets_clear_words(
    run: Run, command: str, day: str, wanted: str, tmp_path: Path
) -> None:
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    result = run(command, str(tmp_path), "--on", day)
    assert result.returncode == {"ways": 4, "chance": 2}[command]
    assert wanted in result.stdout + result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("command", ["ways", "plan", "chance"])
def test_without_costs_the_rest_is_told_and_what_is_missing_named(
    run: Run, command: str, tmp_path: Path
) -> None:
    """No price is taken for nothing, and none is needed for a plan."""
    moved = GOOD.replace("agreed = 2026-05-05", "booked = 2026-05-12")
    (tmp_path / "job.toml").write_text(moved, "utf-8")
    result = (
        run(command, str(tmp_path), "--on", "2026-05-11")
        if command != "plan"
        else (run(command, str(tmp_path)))
    )
    assert result.returncode in {0, 4}, result.stderr
    wanted = {
        "ways": "no prices are written",
        "plan": "Board may start",
        "chance": "No day is recommended: [costs] does not say trip and day",
    }
    assert wanted[command] in " ".join(result.stdout.split())


@pytest.mark.parametrize("command", ["check", "when", "ways", "plan", "chance", "calls", "open"])
@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xfeb\x00a\x00d\x00", b"\xe9t\xe9 = 1\n", b"\x00\x00", b"= 1\n", b"[[[\n"],
    ids=["empty", "UTF-16", "Latin-1", "zeros", "no key", "brackets"],
)
def test_what_is_no_job_file_is_refused_by_every_command(
    run: Run, command: str, content: bytes, tmp_path: Path
) -> None:
    (tmp_path / "job.toml").write_bytes(content)
    assert_refused(run(command, str(tmp_path)), "job.toml")


def test_fifty_megabytes_are_refused_without_being_read(run: Run, tmp_path: Path) -> None:
    with (tmp_path / "job.toml").open("wb") as file:
        file.truncate(50_000_000)
    assert_refused(run("check", str(tmp_path)), "too large")


@pytest.mark.parametrize("name", ["nowhere", "nowhere/job.toml"])
def test_a_missing_file_or_folder_is_told(run: Run, name: str, tmp_path: Path) -> None:
    assert_refused(run("check", str(tmp_path / name)), "no such file or folder")


def test_a_folder_without_a_job_is_told(run: Run, tmp_path: Path) -> None:
    assert_refused(run("check", str(tmp_path)), "has no job.toml")


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to root")
def test_a_file_without_permission_is_told(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(GOOD, "utf-8")
    file.chmod(0)
    assert_refused(run("check", str(tmp_path)), "permission")


@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("check", "JOB", "--on", "next thursday"),
        ("check", "JOB", "--on", "5/4/2026"),
        ("check", "JOB", "--gate", "hope"),
        ("check", "JOB", "--trip", "nope"),
        ("chek", "JOB"),
        ("when", "JOB", "--as-of", "soonish"),
    ],
    ids=" ".join,
)
def test_wrong_words_end_in_two_and_say_what_is_wanted(
    run: Run, words: tuple[str, ...], tmp_path: Path
) -> None:
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    result = run(*(str(tmp_path) if word == "JOB" else word for word in words))
    assert result.returncode == 2
    assert result.stdout == ""
    assert "Error" in result.stderr
    assert "Traceback" not in result.stderr
