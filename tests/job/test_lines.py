"""Where each key of a job file stands, asked by its path in the job."""

from __future__ import annotations

from readiness.job.lines import key_text
from tests.job.builders import FILE, job_text, line_with, loaded

TEXT = job_text(
    work=(
        'rough-electrical = { takes = "3 d" }\n'
        'heat-cable = { trade = "electrician", takes = "4 h",'
        ' starts_after = { end_of = "rough-electrical" } }\n'
    ),
    approvals='electrical-approval = { result = "passed", at = 2026-05-01 }\n',
)
JOB, LINES = loaded(TEXT)


def test_a_written_key_has_its_own_line() -> None:
    assert LINES.of("name") == 1
    assert LINES.of("work", "heat-cable", "takes") == line_with(TEXT, "heat-cable")
    assert LINES.of("trips") == line_with(TEXT, "[trips]")


def test_a_surface_inside_a_room_is_found_by_its_flat_id() -> None:
    line = line_with(TEXT, "bath-1.outer")
    assert LINES.of("surfaces", "bath-1.outer") == line
    assert LINES.of("surfaces", "bath-1.outer", "cavity") == line
    assert LINES.written_path(("surfaces", "bath-1.outer", "cavity")) == (
        "surfaces", "bath-1", "outer", "cavity",
    )  # fmt: skip


def test_one_thing_written_without_brackets_is_the_first_of_its_list() -> None:
    path = ("work", "heat-cable", "starts_after", 0, "end_of")
    assert LINES.of(*path) == line_with(TEXT, "heat-cable")
    assert key_text(LINES.written_path(path)) == "work.heat-cable.starts_after.end_of"
    assert LINES.of("approvals", "electrical-approval", 0, "at") == line_with(TEXT, "passed")


def test_what_is_not_written_has_the_line_of_its_parent_or_none() -> None:
    assert LINES.of("trips", "first", "lasts") == line_with(TEXT, "first = ")
    assert LINES.of("readings", "one") is None


def test_an_origin_names_file_line_and_key() -> None:
    origin = LINES.origin("work", "rough-electrical", "takes")
    assert origin.told() == f"{FILE}:{line_with(TEXT, '3 d')} work.rough-electrical.takes"


def test_a_path_is_told_with_places_of_lists_counted_from_1() -> None:
    assert key_text(("work", "x", "starts_after", 0, "gap")) == "work.x.starts_after[1].gap"
    assert key_text(()) == ""
