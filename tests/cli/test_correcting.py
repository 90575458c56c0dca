"""A line that was wrong is written anew and names the one it replaces; no file is rewritten.

Invariant: nobody corrects another person's word.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.desk.builders import DANA, Ran, job_folder, run

OMAR = "Omar Pell, electrician"
MONDAY = "2026-05-04 16:00"
TUESDAY = "2026-05-05 09:00"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return job_folder(tmp_path)


def says(folder: Path, *words: str, who: str = DANA, at: str = MONDAY) -> Ran:
    return run("note", folder, *words, at=at, by=who)


def words_of_surfaces(folder: Path, as_of: str) -> dict[str, str]:
    answer = json.loads(run("check", folder, "--json", at=as_of).out)
    return {line["surface"]: line["word"] for line in answer["surfaces"]}


def test_a_line_is_echoed_with_the_name_of_its_entry(folder: Path) -> None:
    assert "; entry dana-ruiz#2)" in says(folder, "begun", "wires", "bath", "40 %").out


def test_a_correction_counts_instead_of_the_line_it_names(folder: Path) -> None:
    says(folder, "done", "wires")
    wrong = (folder / "diary" / "dana-ruiz.jsonl").read_bytes()
    said = says(folder, "done", "wires", "bath", "--replaces", "dana-ruiz#2", at=TUESDAY)
    assert said.code == 0
    assert "entry dana-ruiz#3, instead of dana-ruiz#2" in said.out
    assert (folder / "diary" / "dana-ruiz.jsonl").read_bytes().startswith(wrong)
    spray_day = "2026-05-08 06:30"
    assert words_of_surfaces(folder, spray_day)["kitchen.outer"] == "too early"
    assert words_of_surfaces(folder, spray_day)["bath.outer"] == "ready"
    before = words_of_surfaces(folder, "2026-05-04 20:00")
    assert before["kitchen.outer"] == "on course"


def test_it_speaks_of_the_same_moment_unless_it_says_another(folder: Path) -> None:
    says(folder, "remark", "scaffold goes Friday")
    says(folder, "remark", "scaffold goes Thursday", "--replaces", "last", at=TUESDAY)
    lines = (folder / "diary" / "dana-ruiz.jsonl").read_text(encoding="utf-8").splitlines()
    first, second = (json.loads(line) for line in lines[1:])
    assert second["replaces"] == "dana-ruiz#2"
    assert second["seen"] == first["seen"]
    assert second["written"] > first["written"]


@pytest.mark.parametrize(
    ("who", "name", "told"),
    [
        (OMAR, "dana-ruiz#2", "dana-ruiz#2 is the word of Dana Ruiz"),
        (OMAR, "last", "Omar Pell has written nothing here yet"),
        (DANA, "dana-ruiz#1", "'dana-ruiz#1' is no entry of this diary"),
        (DANA, "danaruiz#2", "did you mean dana-ruiz#2?"),
        (DANA, "", ""),
    ],
    ids=["another person's", "nothing yet", "the job file", "mistyped", "none"],
)
def test_what_can_t_be_corrected_is_refused_and_nothing_is_written(
    who: str, name: str, told: str, folder: Path
) -> None:
    says(folder, "done", "wires")
    files = {path.name: path.read_bytes() for path in (folder / "diary").glob("*.jsonl")}
    said = says(folder, "not-done", "wires", "--replaces", name, who=who)
    if not name:
        assert said.code == 0
        return
    assert (said.code, said.out) == (2, "")
    assert told in said.err
    assert {p.name: p.read_bytes() for p in (folder / "diary").glob("*.jsonl")} == files


def test_an_entry_is_corrected_once_then_its_correction(folder: Path) -> None:
    says(folder, "done", "wires")
    says(folder, "done", "wires", "bath", "--replaces", "last")
    again = says(folder, "done", "wires", "kitchen", "--replaces", "dana-ruiz#2")
    assert again.code == 2
    assert "correct dana-ruiz#3 instead" in again.err


def test_what_a_change_rests_on_is_said(folder: Path) -> None:
    change = ("change", "outlet", "bath.outer", "--by", "owner", "--agreed-by", "Dana")
    said = says(folder, *change).out
    assert "asked by owner, agreed by Dana" in said


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("agreed wires 2026-05-06", "wires, when 2026-05-06, agreed ("),
        ("booked wires 2026-05-06", "wires, when 2026-05-06, not agreed ("),
        ("confirmed", "first, yes ("),
        ("ventilated no", "first, no ("),
        ("late electrician 2026-05-07 19:30", "late: electrician, until Thu 7 May 2026 19:30 ("),
        ("takes wires 2 h", "wires, takes 2 h ("),
        ("crews wires 2", "wires, crews 2 ("),
        ("extra electrician 2026-05-09", "extra: electrician, days 2026-05-09 ("),
    ],
)
def test_an_echo_reads_like_the_line(line: str, told: str, folder: Path) -> None:
    assert told in says(folder, *line.split()).out
