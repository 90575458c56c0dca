"""The order of a diary, its corrections, and what is wrong with single lines."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from readiness.diary import history as histories
from readiness.diary.history import Line, history_of
from readiness.diary.line import read_in_full
from tests.diary.builders import TUESDAY, Data, history, numbered, said

NOON = datetime(2026, 5, 8, 12, tzinfo=UTC)
DONE = said("done", work="wires")


def names(*entries: Data, as_of: datetime = NOON) -> list[str]:
    return [noted.name for noted in history(*entries).until(as_of)]


def test_the_order_is_by_seen_then_written_then_writer_then_number() -> None:
    early = said("arrived", "2026-05-04T07:00:00", trip="first")
    whole_day = said("arrived", "2026-05-05", "Bo Lind", trip="first")
    late_written = {**early, "written": "2026-05-07T09:00:00Z"}
    other = {**late_written, "writer": "abe-hill", "by": "Abe Hill"}
    noon = said("arrived", "2026-05-05T12:00:00", trip="first")
    assert names(whole_day, late_written, noon, other, early, early) == [
        "ada-moss#3",
        "ada-moss#4",
        "abe-hill#1",
        "ada-moss#1",
        "ada-moss#2",
        "bo-lind#1",
    ]


def test_what_was_written_later_is_not_known_yet_however_early_it_was_seen() -> None:
    late = {**DONE, "written": "2026-05-07T09:00:00Z"}
    assert names(late, as_of=datetime(2026, 5, 7, 8, 59, tzinfo=UTC)) == []
    assert names(late, as_of=datetime(2026, 5, 7, 9, 0, tzinfo=UTC)) == ["ada-moss#1"]
    abroad = {**late, "written": "2026-05-07T11:00:00+02:00"}
    assert names(abroad, as_of=datetime(2026, 5, 7, 8, 59, tzinfo=UTC)) == []
    assert names(abroad, as_of=datetime(2026, 5, 7, 9, 0, tzinfo=UTC)) == ["ada-moss#1"]


def test_a_correction_takes_the_place_of_the_entry_it_names() -> None:
    kitchen = said("done", work="wires", places=["kitchen"], replaces="ada-moss#1")
    assert names(DONE, kitchen) == ["ada-moss#2"]
    before = {**kitchen, "written": "2026-05-07T09:00:00Z"}
    assert names(DONE, before, as_of=datetime(2026, 5, 6, tzinfo=UTC)) == ["ada-moss#1"]


def test_a_correction_may_be_corrected() -> None:
    first = said("done", work="wires", places=["bath"], replaces="ada-moss#1")
    second = said("done", work="wires", places=["kitchen"], replaces="ada-moss#2")
    assert names(DONE, first, second) == ["ada-moss#3"]


def test_who_typed_it_may_correct_it_and_nobody_else() -> None:
    """Else a pass could be made to vanish, where it must be contested."""
    quoted = {**DONE, "by": "Lee Fox"}
    assert names(quoted, said("done", work="pipes", replaces="ada-moss#1")) == ["ada-moss#2"]
    foreign = said("not-done", TUESDAY, "Lee Fox", work="wires", replaces="ada-moss#1")
    found, problems = history_of(numbered(DONE, foreign))
    assert [noted.name for noted in found.until(NOON)] == ["ada-moss#1", "lee-fox#1"]
    assert "both count" in problems[0].what


def test_a_correction_of_nothing_is_told_and_counts() -> None:
    found, problems = history_of(numbered({**DONE, "replaces": "ada-moss#9"}))
    assert len(found.until(NOON)) == 1
    assert (problems[0].file, problems[0].line) == ("diary/ada-moss.jsonl", 1)
    assert "stands in no file" in problems[0].what


def test_one_entry_in_two_files_counts_once_and_another_of_its_name_is_told() -> None:
    line = numbered(DONE)[0]
    other = {**line.data, "places": ["bath"]}
    copies = [
        line,
        Line(dict(line.data), "diary/copy.jsonl", 1),
        Line(other, "diary/copy.jsonl", 2),
        Line(dict(line.data), "diary/copy.jsonl", 3),
        Line(dict(other), "diary/copy.jsonl", 4),
    ]
    found, problems = history_of(copies)
    assert len(found.lines) == 2
    assert [problem.line for problem in problems] == [2]


WRONG: list[tuple[dict[str, Any], str]] = [
    ({"kind": "done", "written": None}, "written"),
    ({"written": "yesterday"}, "written"),
    ({"written": "2026-05-05T09:00:00"}, "written"),
    ({"written": "soonZ"}, "written"),
    ({"seen": "tuesday"}, "seen"),
    ({"seen": 5}, "seen"),
    ({"number": "1"}, "number"),
    ({"kind": ["done"]}, "kind"),
    ({"kind": "danced"}, ""),
    ({"kind": "arrived"}, "arrived.trip"),
    ({"kind": "arrived", "trip": "first", "mood": "good"}, "arrived.trip"),
]


@pytest.mark.parametrize(("change", "key"), WRONG)
def test_a_line_that_is_no_entry_is_told_with_its_place_and_hides_no_other(
    change: dict[str, Any], key: str
) -> None:
    bad = Line({**numbered(DONE)[0].data, **change}, "diary/x.jsonl", 7)
    found, problems = history_of([bad, *numbered(said("arrived", trip="first"))])
    assert [(problem.file, problem.line) for problem in problems] == [("diary/x.jsonl", 7)]
    assert problems[0].key.startswith(key.partition(".")[0])
    assert [noted.name for noted in found.until(NOON)] == ["ada-moss#1"]


def test_what_turns_out_to_be_no_entry_when_it_counts_lets_the_one_before_count() -> None:
    good, bad = numbered(DONE, {**DONE, "seen": "2026-05-06T09:00:00", "how": "dreamt"})
    found, problems = history_of([good, bad])
    assert not problems
    notes, problems = found.read_until(NOON)
    assert [noted.name for noted in notes] == ["ada-moss#1"]
    assert [(problem.line, problem.key) for problem in problems] == [(2, "done.how")]


def test_a_diary_full_of_bad_lines_is_read_whole_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each bad line hides the one before it; all are told at once, in two passes at most."""
    bad = [{**DONE, "how": "dreamt"} for _ in range(40)]
    lines = numbered(DONE, *bad)
    reads: list[int] = []

    def counted(line: Line) -> object:
        reads.append(line.line)
        return read_in_full(line)

    monkeypatch.setattr(histories, "read_in_full", counted)
    found, _ = history_of(lines)
    notes, problems = found.read_until(NOON)
    assert [noted.name for noted in notes] == ["ada-moss#1"]
    assert [problem.line for problem in problems] == list(range(2, 42))
    assert len(reads) <= 2 * len(lines)


def test_the_job_file_as_it_was_last_kept() -> None:
    texts = [
        said("job-file", f"2026-05-0{day}T09:00:00", text=f"text {day}", sha256=str(day))
        for day in (4, 6)
    ]
    found = history(*texts)
    kept = [
        found.job_text(datetime(2026, 5, day, hour, tzinfo=UTC))
        for day, hour in ((4, 8), (4, 9), (6, 8), (8, 0))
    ]
    assert [line.data["text"] if line else None for line in kept] == [
        None,
        "text 4",
        "text 4",
        "text 6",
    ]


def test_remarks_and_texts_are_no_evidence_but_are_kept() -> None:
    remark, photo = said("remark", text="hot day"), said("photo", reference="IMG_1")
    found = history(remark, photo, DONE)
    assert len(found.until(NOON)) == 1
    assert len(found.until(NOON, for_gates=False)) == 3
