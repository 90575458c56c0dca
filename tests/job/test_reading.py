"""From bytes to a job, or to every problem at once."""

from __future__ import annotations

from random import Random

import pytest

from readiness.facts.loader import load_facts
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError, Problem
from readiness.job.quantities import Length
from readiness.job.reading import LARGEST_FILE_BYTES
from tests.job.builders import FILE, TABLES, job_text, line_with, problems, read, told

SKETCH = """\
name  = "Alder Street 14"
key   = "c1b7d0a29e"
site  = { time_zone = "America/New_York", country = "US", state = "OH", climate = "5A" }
as_of = 2026-05-04T06:30:00          # samples and tests only
board = 2026-05-18                   # agreed: board may start

[surfaces]
bath-1.outer = { is = "wall above grade", area = "64 sq ft net", cavity = "5.5 in" }

[trades]
electrician = { phone = "555-0142", hours = "Mon-Fri 07:00-15:30", off = ["FREQ=WEEKLY;BYDAY=FR"] }

[work]
rough-electrical = { takes = "3 d", agreed = 2026-04-30, done_in = ["bath-1"] }
range-hood-duct  = false
heat-cable       = { trade = "electrician", in = ["bath-1"], order = "before", takes = "4 h", \
starts_after = [{ end_of = "rough-electrical", gap = "1 d" }] }

[obstructions]
tub-1 = { is = "tub", blocks = ["bath-1.outer"], set = 2026-05-14, pull_takes = "3 h" }

[trips]
first = { agreed = 2026-05-11T07:00:00, surfaces = "all", lasts = "1 d" }
"""


def test_a_whole_file_becomes_a_job() -> None:
    job, lines = load_job_text(SKETCH, FILE, load_facts())
    assert job.name == "Alder Street 14"
    assert list(job.surfaces) == ["bath-1.outer"]
    assert job.surfaces["bath-1.outer"].cavity == Length.parse("5.5 in")
    assert job.work["range-hood-duct"] is False
    cable = job.work["heat-cable"]
    assert cable is not False
    assert str(cable.starts_after[0].gap) == "1 d"
    assert job.trips["first"].surfaces == ("all",)
    assert lines.of("trips", "first", "lasts") == line_with(SKETCH, "lasts")


def test_a_job_reads_back_from_what_it_dumps() -> None:
    job = read(job_text())
    again = type(job).model_validate(job.model_dump(by_alias=True), by_alias=True, by_name=False)
    assert again == job


def test_one_row_or_a_list_of_rows_says_what_is_known_of_an_approval() -> None:
    row = '{ result = "passed", at = 2026-05-01 }'
    for written in (row, f"[{row}]"):
        rows = read(job_text(approvals=f"electrical-approval = {written}")).approvals
        passed = rows["electrical-approval"]
        assert passed is not False
        assert len(passed) == 1


def test_single_strings_stand_for_lists_of_one() -> None:
    job = read(
        job_text(
            trades='electrician = { off = "FREQ=WEEKLY;BYDAY=FR" }',
            trips='first = { surfaces = "all but bath-1", zone = "all" }',
        )
    )
    assert job.trips["first"].surfaces == ("all but bath-1",)
    assert len(job.trades["electrician"].off) == 1


def test_a_byte_order_mark_is_passed_over() -> None:
    job = read(job_text())
    from_bytes = load_job_text(("\ufeff" + job_text()).encode(), FILE, load_facts())[0]
    assert from_bytes == job
    assert read("\ufeff" + job_text()) == job


def test_windows_line_ends_are_read_alike() -> None:
    assert read(job_text().replace("\n", "\r\n")) == read(job_text())


@pytest.mark.parametrize(
    ("content", "told_problem"),
    [
        (b"", "job.toml: there is nothing in it; readiness new FOLDER writes one to start from"),
        (b"\n# only a remark\n", "job.toml: there is nothing in it"),
        ("name = 'Zoë'\n".encode("latin-1"), "job.toml:1: byte 0xeb is no UTF-8; the file was"),
        (b"a = 1\nb = '\xff'\n", "job.toml:2: byte 0xff is no UTF-8"),
        (b"\n\xff'\n", "job.toml:2: byte 0xff is no UTF-8"),
        ("name = 'x'".encode("utf-16"), "job.toml:1: it is written in UTF-16; save it as UTF-8"),
        (b"x" * (LARGEST_FILE_BYTES + 1), "job.toml: the file is too large for a job file"),
        (b"a = '" + b"x" * 5000 + b"'", "job.toml:1: the line has 5006 signs; wanted at most 4000"),
        (b"\x00\x01\x02", "job.toml:1: this line can't be read: <U+0000><U+0001><U+0002>"),
        (b"\x89PNG\r\n\x1a\n", "job.toml:1: byte 0x89 is no UTF-8"),
    ],
)
def test_a_file_that_is_no_job_file_is_told(content: bytes, told_problem: str) -> None:
    (problem,) = told(content)
    assert problem.startswith(told_problem)


def test_fifty_megabytes_are_refused_before_they_are_read() -> None:
    assert "too large" in told(b"a" * 50_000_000)[0]
    assert "too large" in told("a\n" * 2_000_000)[0]


def test_a_file_of_exactly_the_largest_size_is_read() -> None:
    text = job_text()
    remark = "#" + "x" * 98 + "\n"
    whole = text + remark * ((LARGEST_FILE_BYTES - len(text)) // len(remark))
    whole += "#" * (LARGEST_FILE_BYTES - len(whole))
    assert read(whole) == load_job_text(whole.encode(), FILE, load_facts())[0]


def test_wrong_lines_and_wrong_values_are_told_together() -> None:
    text = job_text(
        "x = “y”\n",
        work='rough-electrical = { takes = "2 days" }\ntub = yes\ntub-wall-lining = 5',
    )
    assert [problem.line for problem in problems(text)] == [
        line_with(text, "“y”"),
        line_with(text, "2 days"),
        line_with(text, "yes"),
        line_with(text, "lining"),
    ]


def test_what_a_wrong_line_may_hold_is_not_called_missing() -> None:
    text = job_text().replace('name = "Cedar Lane 3"', "name = “Cedar Lane 3”")
    (problem,) = problems(text)
    assert problem.line == 1


def test_every_problem_of_a_file_is_told_at_once_by_line() -> None:
    text = job_text(
        rooms='bath-1 = { is = "bth" }\nkitchen = { storey = 5 }',
        surfaces='bath-1.outer = { is = "wall", cavity = 5.5, area = "64" }\nkitchen.outer = {}',
        trips='first = { agreed = 5, laasts = "1 d" }',
    )
    lines = [problem.line or 0 for problem in problems(text)]
    assert len(lines) == 8
    assert lines == sorted(lines)


RAW = ("Input should", "Field required", "Extra inputs", "validation error", "pydantic", "type=")


@pytest.mark.parametrize("seed", range(8))
def test_a_damaged_file_is_read_or_told_in_our_words(seed: int) -> None:
    """Letters, lines and values are lost, doubled and swapped; only our own error may leave."""
    random = Random(seed)
    whole = job_text(
        'storeys = ["upper"]\ndone = ["framing"]\n',
        rooms=TABLES["rooms"].replace(" }", ', floor_area = "90 sq ft" }'),
        groups='wet = ["bath-1"]',
        offices='county = { visits = "Tue,Thu 09:00-12:00", cut_off = "15:00" }',
        approvals='electrical-approval = [{ result = "passed", at = 2026-05-01 }]',
        obstructions='tub-1 = { is = "tub", blocks = "bath-1.outer", set = 2026-05-14 }',
        requirements='wood-moisture = { at_most = "15 %", sheet = "Sheet 7" }',
        answers='call = { yes = ["gate-and-keys"], at = 2026-05-03 }',
        readings='one = { is = "wood moisture", value = "12 %", at = 2026-05-04T06:00:00 }',
        stops='lead = { by = "A", role = "crew lead", reason = "wind", at = 2026-05-04T06:00:00 }',
    )
    signs = "\"'[]{}=.,#\n -0\u202e½yesall"
    read_whole = 0
    for _ in range(120):
        text = whole
        for _ in range(random.randrange(1, 4)):
            at = random.randrange(len(text))
            kind = random.randrange(4)
            if kind == 0:
                text = text[:at] + text[at + random.randrange(1, 9) :]
            elif kind == 1:
                text = text[:at] + random.choice(signs) + text[at:]
            else:
                lines = text.split("\n")
                first, second = random.randrange(len(lines)), random.randrange(len(lines))
                lines[first] = lines[second]
                text = "\n".join(lines)
        found = problems_or_none(text)
        read_whole += not found
        for problem in found:
            assert not any(word in str(problem) for word in RAW), str(problem)
            assert problem.what
    assert read_whole < 60


def problems_or_none(text: str) -> tuple[Problem, ...]:
    """Return the problems of a text that may have some."""
    try:
        load_job_text(text, FILE, load_facts())
    except JobFileError as error:
        return error.problems
    return ()
