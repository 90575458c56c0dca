"""Depth readings that can't be: refused where they are typed, told where they stand in a file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.desk.builders import job_folder, run

AT = "2026-05-05 09:00"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("bath.outer", "-3"), "'-3' is no depth"),
        (("bath.outer", "3in"), "'3in' is no depth"),
        (("bath.outer", "deep"), "'deep' is no depth"),
        (
            ("bath.outer", "76"),
            "76 in is deeper than any foam in a building; readings of this job are in in",
        ),
        (("cellar.outer", "3"), "'cellar.outer' is no place of this job"),
        (("bath", "3"), "'bath' is no surface"),
        (("bath.outer",), "depth"),
    ],
)
def test_a_line_that_says_no_depth_is_refused_whole(
    tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    folder = job_folder(tmp_path)
    ran = run("note", folder, "depth", *words, "--writer", "Lea, crew lead", at=AT)
    assert ran.code == 2
    assert told in ran.err
    assert not (folder / "diary").exists()


def line(**fields: Any) -> str:  # noqa: ANN401  whatever a hand may write
    """Return a line of a diary as a hand would add it."""
    whole = {
        "kind": "depth",
        "writer": "lea",
        "number": 1,
        "seen": "2026-05-05T08:00:00",
        "written": "2026-05-05T08:00:00Z",
        "by": "Lea",
        "surface": "bath.outer",
        "field": ["3 in"],
        "perimeter": [],
        **fields,
    }
    return json.dumps(whole) + "\n"


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        (
            {"surface": "bath.oter"},
            "is no surface of this job, so these readings count for nothing",
        ),
        ({"field": ["-3 in"]}, "can't be read"),
        ({"field": ["3"]}, "can't be read"),
        ({"field": ["75 mm", "huge"]}, "can't be read"),
    ],
)
def test_a_line_in_a_file_is_told_with_its_place_and_hides_no_other(
    tmp_path: Path, fields: dict[str, object], told: str
) -> None:
    folder = job_folder(tmp_path)
    (folder / "diary").mkdir()
    good = line(number=2)
    (folder / "diary" / "lea.jsonl").write_text(line(**fields) + good, encoding="utf-8")
    ran = run("check", folder, at=AT)
    assert ran.code in {0, 4}
    assert told in ran.err
    assert "lea.jsonl:1" in ran.err


def test_inches_and_millimetres_in_one_set_are_read_as_what_they_are(tmp_path: Path) -> None:
    """Mixed units are no problem where each reading carries its own."""
    folder = job_folder(tmp_path)
    (folder / "diary").mkdir()
    mixed = line(field=["3 in", "76.2 mm"])
    (folder / "diary" / "lea.jsonl").write_text(mixed, encoding="utf-8")
    assert run("check", folder, at=AT).err == ""
