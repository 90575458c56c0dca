"""`spreadsheet` and `receive` of what came back: shown first, row by row, all of it or nothing."""

from __future__ import annotations

import csv
from datetime import date, datetime
from io import StringIO
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.exchange.grid import guarded
from readiness.exchange.spreadsheet_rows import COLUMNS
from tests.conftest import ROOT
from tests.desk.builders import DANA, Ran, entries, note, run
from tests.pages.test_paper_html import HOSTILE

JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
site = { time_zone = "America/New_York", country = "US", state = "OH", contact = "Dana Ruiz" }
as_of = 2026-05-04T06:30:00
board = 2026-06-01

[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }
kitchen.outer = { is = "wall above grade", area = "100 sq ft" }

[trades]
electrician = { name = "Bao Electric", phone = "555-0142" }
spray = { name = "Pell Foam", phone = "555-0107" }

[offices]
city = { name = "Building office", phone = "555-0101", visits = "Mon-Fri 08:00-12:00" }

[work]
wires = { title = "Pull cable", trade = "electrician", in = ["bath", "kitchen"], \
order = "before", takes = "16 h", agreed = 2026-05-05, approval = "electrical-approval" }
boxes = { title = "=Set boxes", trade = "electrician", in = ["bath", "kitchen"], \
order = "before", takes = "4 h" }
shelf = { title = "Hang shelves", trade = "electrician", in = ["bath"], order = "after", \
takes = "8 h", booked = "2026-05-20 to 2026-05-21" }

[approvals]
electrical-approval = []

[obstructions]
tub-1 = { is = "tub", blocks = ["bath.outer"], set = 2026-05-01, pull_takes = "3 h" }

[trips]
first = { agreed = 2026-05-11T07:00:00, lasts = "4 h" }
"""

EARLIER = "2026-05-04 07:00"
LATER = "2026-05-04 09:00"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "cedar"
    folder.mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    return folder


class Table:
    """A spreadsheet as somebody edits it."""

    def __init__(self, job: Path, at: str = EARLIER) -> None:
        self.job = job
        self.file = job.parent / "dates.csv"
        self.file.unlink(missing_ok=True)
        ran = run("spreadsheet", job, "--out", str(self.file), at=at)
        assert ran.code == 0, ran.err
        text = self.file.read_bytes().decode("utf-8-sig")
        self.rows = list(csv.reader(StringIO(text, newline="")))

    def row(self, name: str) -> list[str]:
        return next(row for row in self.rows if row[0].endswith(f"[{name}]"))

    def number(self, name: str) -> int:
        return self.rows.index(self.row(name)) + 1

    def get(self, name: str, column: str) -> str:
        return self.row(name)[COLUMNS.index(column)]

    def put(self, name: str, **cells: str) -> Table:
        names = {"first": "from", "last": "to", "by": "confirmed by", "waits": "waits for"}
        for column, text in cells.items():
            self.row(name)[COLUMNS.index(names.get(column, column))] = text
        return self

    def save(self, separator: str = ",", encoding: str = "utf-8-sig") -> None:
        text = StringIO(newline="")
        csv.writer(text, delimiter=separator).writerows(self.rows)
        self.file.write_bytes(text.getvalue().encode(encoding))

    def receive(self, *words: str, at: str = LATER) -> Ran:
        return run("receive", self.job, str(self.file), *words, at=at, by=DANA)

    def taken(self, at: str = LATER) -> list[tuple[str, ...]]:
        """Save the table, take it, and return what was written."""
        self.save()
        ran = self.receive("--yes", at=at)
        assert ran.code == 0, ran.err
        return [told(entry) for entry in entries(self.job) if entry["via"] == "by spreadsheet"]

    def refused(self, *says: str, at: str = LATER) -> str:
        """Save the table and return why it is refused; nothing was written."""
        self.save()
        before = diary_of(self.job)
        ran = self.receive("--yes", at=at)
        assert ran.code == 3
        assert diary_of(self.job) == before
        assert ran.err.rstrip().endswith("nothing of it was written")
        for each in says:
            assert each in ran.err
        return ran.err


def diary_of(job: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in sorted((job / "diary").glob("*.jsonl"))}


def told(entry: dict[str, object]) -> tuple[str, ...]:
    about = entry.get("what") or entry.get("work") or entry.get("approval") or entry.get("thing")
    about = about or entry.get("trip")
    when = entry.get("when") or entry.get("pull") or entry.get("slot") or entry.get("result") or ""
    agreed = {True: "agreed", False: "booked", None: ""}[entry.get("agreed")]  # type: ignore[index]
    return tuple(str(each) for each in (entry["kind"], about, when, agreed, entry["by"]))


def test_its_columns_rows_and_stamp(job: Path) -> None:
    table = Table(job)
    assert table.rows[0] == list(COLUMNS)
    assert table.row("wires")[1:5] == ["Bao Electric", "Bath, Kitchen", "2026-05-05", "2026-05-05"]
    assert table.get("wires", "confirmed by") == "Bao Electric"
    assert table.get("shelf", "from") == "2026-05-20"
    assert table.get("shelf", "to") == "2026-05-21"
    assert table.get("shelf", "confirmed by") == ""
    assert table.get("trip:first", "from") == "2026-05-11 07:00"
    assert table.get("board", "from") == "2026-06-01"
    assert "Approval of rough wiring" in table.get("trip:first", "waits for")
    assert "Pull cable" in table.get("approval:electrical-approval", "waits for")
    assert table.rows[-1][0].startswith("Leave this row as it is: Cedar Lane 3 as of 2026-05-04 07")


def test_no_forecast_stands_among_the_dates(job: Path) -> None:
    assert Table(job).row("boxes")[3:5] == ["", ""]


def test_open_rows_stand_in_their_order_before_what_is_over(job: Path) -> None:
    note(job, "done", "wires", at="2026-05-04 06:40")
    table = Table(job)
    assert table.number("approval:electrical-approval") < table.number("trip:first")
    assert table.number("trip:first") < table.number("wires")
    assert table.get("wires", "seen") == "done 2026-05-04"
    assert table.get("wires", "confirmed by") == "Dana Ruiz"


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@pytest.mark.parametrize("sample", sorted((ROOT / "sample_jobs").glob("*/job.toml")), ids=str)
def test_every_sample_comes_back_as_it_went(ending: str, sample: Path, tmp_path: Path) -> None:
    file = tmp_path / f"dates.{ending}"
    assert run("spreadsheet", sample, "--out", str(file)).code == 0
    ran = run("receive", sample, str(file), "--show", by=DANA)
    assert (ran.code, ran.out, ran.err) == (0, f"{file}: nothing in it differs from the job\n", "")


def test_a_changed_day_is_shown_and_written_on_a_yes(job: Path) -> None:
    table = Table(job).put("wires", first="2026-05-06")
    table.save()
    shown = table.receive("--show")
    number = table.number("wires")
    assert shown.out.splitlines()[0] == (
        f"{table.file}:{number}: Pull cable [wires]: from 2026-05-05 -> 2026-05-06"
        " (booked, not agreed)"
    )
    assert diary_of(job) == {}
    assert table.taken() == [("dated", "wires", "2026-05-06", "booked", "Dana Ruiz")]
    assert Table(job, at=LATER).row("wires")[3:5] == ["2026-05-06", "2026-05-06"]
    assert (job / "job.toml").read_text(encoding="utf-8") == JOB


def test_nothing_is_written_on_a_no(job: Path) -> None:
    table = Table(job).put("wires", first="2026-05-06")
    table.save()
    call = ["receive", str(job), str(table.file), "--writer", DANA]
    ran = CliRunner().invoke(readiness, call, input="n\n", standalone_mode=False)
    assert ran.return_value == 4
    assert "write 1 entry?" in ran.stderr
    assert diary_of(job) == {}


def test_a_name_beside_a_date_agrees_it(job: Path) -> None:
    table = Table(job).put("shelf", by="Kim Bao, electrician")
    assert table.taken() == [("dated", "shelf", "2026-05-20 to 2026-05-21", "agreed", "Kim Bao")]
    assert Table(job, at=LATER).get("shelf", "confirmed by") == "Kim Bao"


def test_a_rig_that_has_slipped_is_confirmed_no_more(job: Path) -> None:
    """The dispatcher has spoken of the old arrival."""
    pat = "Pat Hale, dispatcher"
    assert run("note", job, "confirmed", "first", at=LATER, by=pat).code == 0
    assert Table(job, at=LATER).get("trip:first", "confirmed by") == "Pat Hale"
    slip = ("slip", "first", "2 working days", "--cause", "rain")
    assert run("note", job, *slip, at="2026-05-04 11:00", by=DANA).code == 0
    assert Table(job, at="2026-05-04 11:00").get("trip:first", "confirmed by") == ""


def test_an_old_name_agrees_no_new_date(job: Path) -> None:
    """Bao Electric agreed to the 5th, which says nothing of the 7th."""
    table = Table(job).put("wires", first="2026-05-07", last="2026-05-07")
    assert table.taken() == [("dated", "wires", "2026-05-07", "booked", "Dana Ruiz")]
    assert Table(job, at=LATER).get("wires", "confirmed by") == ""


@pytest.mark.parametrize(
    ("first", "last", "when"),
    [
        ("2026-05-06", "2026-05-05", "2026-05-06"),
        ("2026-05-06", "", "2026-05-06"),
        ("2026-05-06", "2026-05-08", "2026-05-06 to 2026-05-08"),
        ("2026-05-06 09:00", "2026-05-06", "2026-05-06 09:00"),
        ("2026-05-06 morning", "2026-05-06", "2026-05-06 morning"),
        ("by", "2026-05-08", "by 2026-05-08"),
        ("7 May 2026", "2026-05-07", "2026-05-07"),
        ("Thu 7 May", "", "2026-05-07"),
        ("May 7, 2026", "", "2026-05-07"),
        ("5/13/2026", "", "2026-05-13"),
        ("13.5.26", "", "2026-05-13"),
        ("2026/05/07", "", "2026-05-07"),
        ("7 May 2026 3:30 pm", "", "2026-05-07 15:30"),
        ("struck", "2026-05-05", ""),
    ],
)
def test_dates_in_the_ways_people_write_them(job: Path, first: str, last: str, when: str) -> None:
    table = Table(job).put("wires", first=first, last=last)
    assert table.taken() == [("dated", "wires", when, "booked", "Dana Ruiz")]


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        ("6/7/2026", "", "Sun 7 Jun 2026 or Mon 6 Jul 2026? write 2026-06-07 or 2026-07-06"),
        ("thursday", "", "write the day itself"),
        ("tomorrow", "", "write the day itself"),
        ("2026-05-08", "2026-05-07", "it ends 2026-05-07, before it starts 2026-05-08"),
        ("2026-05-08 09:00", "2026-05-09", "an hour or several days, not both"),
        ("", "", "from: it was emptied, and was 2026-05-05; write struck under from"),
        ("2026-02-30", "", "no such day"),
        ("46149", "", "write the day itself"),
        ("Thu 8 May 2026", "", "Fri 8 May 2026"),
        ("1826-05-08", "", "1826"),
    ],
)
def test_dates_that_nobody_guesses(job: Path, first: str, last: str, says: str) -> None:
    Table(job).put("wires", first=first, last=last).refused(says)


def test_a_program_that_turns_all_days_into_its_own_spelling_is_understood(job: Path) -> None:
    """The rows that nobody changed tell the order of the numbers, and it is said."""
    table = Table(job)
    for row in table.rows[1:]:
        for at in (3, 4):
            day, _, hour = row[at].partition(" ")
            if day.startswith("2026-"):
                moment = date.fromisoformat(day)
                row[at] = f"{moment.month}/{moment.day}/{moment.year} {hour}".strip()
    table.put("wires", first="6/7/2026", last="6/7/2026")
    table.save()
    ran = table.receive("--show")
    assert "days in numbers are read as month/day/year" in ran.err
    assert [line.split(": ", 2)[2] for line in ran.out.splitlines()[:1]] == [
        "from 2026-05-05 -> 2026-06-07; to 2026-05-05 -> 2026-06-07 (booked, not agreed)"
    ]


@pytest.mark.parametrize(
    ("name", "cells", "entry"),
    [
        ("boxes", {"seen": "done"}, ("done", "boxes", "", "", "Dana Ruiz")),
        ("boxes", {"seen": "60 %"}, ("begun", "boxes", "", "", "Dana Ruiz")),
        ("boxes", {"seen": "begun 12,5 %"}, ("begun", "boxes", "", "", "Dana Ruiz")),
        ("boxes", {"seen": "done 3 May 2026 bath"}, None),
        ("boxes", {"seen": "done bath 2026-05-03"}, ("done", "boxes", "", "", "Dana Ruiz")),
        ("boxes", {"seen": "done", "by": "Kim Bao"}, ("done", "boxes", "", "", "Kim Bao")),
        ("pull:tub-1", {"seen": "pulled 2026-05-03"}, ("pulled", "tub-1", "", "", "Dana Ruiz")),
        (
            "pull:tub-1",
            {"first": "2026-05-06"},
            ("thing-dated", "tub-1", "2026-05-06", "", DANA[:9]),
        ),
        (
            "approval:electrical-approval",
            {"seen": "passed 2026-05-03", "by": "R. Lemay, office"},
            ("result", "electrical-approval", "passed", "", "R. Lemay"),
        ),
        (
            "approval:electrical-approval",
            {"first": "2026-05-07 09:00"},
            ("requested", "electrical-approval", "2026-05-07T09:00:00", "", "Dana Ruiz"),
        ),
        ("trip:first", {"by": "Pat Hale, dispatcher"}, ("confirmed", "first", "", "", "Pat Hale")),
        ("board", {"first": "2026-06-02"}, ("dated", "board", "2026-06-02", "booked", "Dana Ruiz")),
        (
            "trip:first",
            {"first": "2026-05-12 07:00", "last": "2026-05-12"},
            ("dated", "first", "2026-05-12 07:00", "booked", "Dana Ruiz"),
        ),
    ],
)
def test_what_may_be_written_into_each_kind_of_row(
    job: Path, name: str, cells: dict[str, str], entry: tuple[str, ...] | None
) -> None:
    table = Table(job).put(name, **cells)
    if entry is None:
        table.refused(f":{table.number(name)}: seen: ")
    else:
        assert table.taken() == [entry]


def test_what_was_seen_keeps_its_share_places_and_day(job: Path) -> None:
    table = Table(job).put("boxes", seen="begun 12,5 %").put("wires", seen="done bath 2026-05-03")
    table.taken()
    kept = {entry["kind"]: entry for entry in entries(job) if entry["via"] == "by spreadsheet"}
    assert kept["begun"]["share"] == "12.5 %"
    assert (kept["done"]["places"], kept["done"]["seen"]) == (["bath"], "2026-05-03")
    assert kept["done"]["how"] == "said"


@pytest.mark.parametrize(
    ("name", "cells", "says"),
    [
        ("wires", {"work": "Pull wire [wires]"}, "work: it was changed to 'Pull wire [wires]'"),
        ("wires", {"trade": "plumber"}, "trade: it was changed to 'plumber'; put 'Bao Electric' b"),
        ("wires", {"waits": "nothing"}, "waits for: it was changed to 'nothing'; empty it"),
        ("wires", {"place": ""}, "place: it was emptied; put 'Bath, Kitchen' back"),
        ("wires", {"seen": "done 2026-05-05"}, "seen: 2026-05-05 has not come yet"),
        ("wires", {"seen": "nearly"}, "seen: 'nearly' is nothing that can be seen of it; write"),
        ("wires", {"seen": "done attic"}, "seen: 'attic' is no place of this job"),
        ("trip:first", {"seen": "sprayed"}, "seen: what was seen of it is not written here; tell"),
        ("trip:first", {"first": "2026-05-11", "last": "2026-05-12"}, "it is one day or one hour"),
        ("approval:electrical-approval", {"first": "2026-05-07"}, "needs its hour"),
        ("boxes", {"by": "Kim Bao"}, "confirmed by: there is no date that could be confirmed"),
        ("wires", {"by": ""}, "confirmed by: there is nothing here that this name could"),
        (
            "wires",
            {"work": "Pull cable [wire]"},
            "'wire' is no row of this job; did you mean wires",
        ),
        ("wires", {"work": "Pull cable"}, "each row ends its work with an id in brackets"),
    ],
)
def test_a_row_that_cant_be_taken_is_told_with_its_number(
    job: Path, name: str, cells: dict[str, str], says: str
) -> None:
    table = Table(job)
    number = table.number(name)
    table.put(name, **cells)
    table.refused(f"{table.file}:{number}: ", says)


def test_all_rows_that_are_wrong_are_told_at_once_and_good_ones_are_not_written(job: Path) -> None:
    table = Table(job)
    numbers = [table.number("wires"), table.number("shelf")]
    table.put("wires", first="soon").put("shelf", trade="x").put("boxes", seen="done")
    said = table.refused(f":{numbers[0]}: from: ", f":{numbers[1]}: trade: ")
    assert said.count(f"{table.file}:") == 3
    table.put("boxes", seen="")


def test_rows_may_be_sorted_removed_and_parted_by_empty_ones(job: Path) -> None:
    table = Table(job)
    table.put("wires", first="2026-05-06")
    body = [row for row in table.rows[1:-1] if not row[0].endswith("[shelf]")]
    stamp = table.rows[-1]
    table.rows = [["Dates for Kim"], table.rows[0], stamp, *sorted(body), [], ["", "", ""]]
    table.save(separator=";")
    ran = table.receive("--yes")
    assert "1 row is not in it, and stay as they are" in ran.err
    assert ran.code == 0
    assert [entry["what"] for entry in entries(job) if entry["kind"] == "dated"] == ["wires"]


def test_a_row_that_was_added_or_doubled_is_refused(job: Path) -> None:
    table = Table(job)
    table.rows.insert(2, ["Paint the door [paint]", "painter", "", "2026-05-06"])
    table.rows.insert(3, list(table.row("wires")))
    table.refused(
        f"{table.file}:3: work: 'paint' is no row of this job; new work is written in the job file",
        "wires stands in row ",
    )


def test_columns_may_move_go_and_come(job: Path) -> None:
    """What the job says itself may go; a column of the reader's own is told and left alone."""
    table = Table(job).put("wires", first="2026-05-06")
    keep = [0, 7, 4, 3]
    table.rows = [["mine", *(row[at] for at in keep)] if row else row for row in table.rows]
    for row in table.rows[1:]:
        row[0] = ""
    table.save()
    ran = table.receive("--yes")
    assert "the column mine is not read" in ran.err
    assert [entry["when"] for entry in entries(job) if entry["kind"] == "dated"] == ["2026-05-06"]


def test_a_table_without_our_columns_is_refused(job: Path) -> None:
    table = Table(job)
    table.rows[0] = ["task", "who"]
    table.refused("no row names the columns; the first row is: work, trade, place")


def test_an_old_spreadsheet_is_told_and_changes_only_what_it_changes(job: Path) -> None:
    """Base, theirs, ours: what the job moved meanwhile stays moved."""
    table = Table(job, at=EARLIER)
    note(job, "agreed", "wires", "2026-05-07", at="2026-05-04 08:00")
    table.put("shelf", first="2026-05-22", last="2026-05-22")
    table.save()
    ran = table.receive("--show")
    assert "it is of Mon 4 May 2026 07:00, and the job has moved on since" in ran.err
    assert "wires" not in ran.out
    assert table.taken() == [("dated", "shelf", "2026-05-22", "booked", "Dana Ruiz")]
    assert Table(job, at=LATER).get("wires", "from") == "2026-05-07"


def test_an_old_spreadsheet_that_changes_what_moved_meanwhile_is_refused(job: Path) -> None:
    table = Table(job, at=EARLIER)
    note(job, "agreed", "wires", "2026-05-07", at="2026-05-04 08:00")
    table.put("wires", first="2026-05-06")
    table.refused(
        "from: the job moved on meanwhile: it was 2026-05-05, is 2026-05-07 now, and 2026"
    )


def test_a_name_in_an_old_spreadsheet_agrees_no_date_that_it_does_not_show(job: Path) -> None:
    """The cell of the date was not touched, and the date has moved: the name meant the old one."""
    table = Table(job, at=EARLIER)
    note(job, "booked", "shelf", "2026-05-25", at="2026-05-04 08:00")
    table.put("shelf", by="Kim Bao")
    table.refused("from: the job moved on meanwhile: it was 2026-05-20, is 2026-05-25 now")


def test_an_old_spreadsheet_in_a_job_whose_clock_stands_is_told_by_its_last_entries(
    job: Path,
) -> None:
    """All entries bear one moment there, so only their numbers tell what the file knew."""
    table = Table(job, at="2026-05-04 06:30")
    note(job, "agreed", "wires", "2026-05-07", at="2026-05-04 06:30")
    table.put("shelf", first="2026-05-22", last="2026-05-22")
    assert table.taken(at="2026-05-04 06:30") == [
        ("dated", "shelf", "2026-05-22", "booked", "Dana Ruiz")
    ]


def test_a_spreadsheet_of_a_job_file_that_changed_since_is_held_against_the_kept_one(
    job: Path,
) -> None:
    note(job, "remark", "begun", at="2026-05-04 06:50")
    table = Table(job, at=EARLIER)
    text = JOB.replace("agreed = 2026-05-05,", "agreed = 2026-05-08,")
    (job / "job.toml").write_text(text, encoding="utf-8")
    table.put("shelf", first="2026-05-22", last="2026-05-22")
    assert table.taken() == [("dated", "shelf", "2026-05-22", "booked", "Dana Ruiz")]


def test_a_spreadsheet_of_a_job_file_that_nobody_kept_is_refused(job: Path) -> None:
    table = Table(job, at=EARLIER)
    text = JOB.replace("agreed = 2026-05-05,", "agreed = 2026-05-08,")
    (job / "job.toml").write_text(text, encoding="utf-8")
    table.put("shelf", first="2026-05-22")
    table.refused("nobody knows any more what the job said then; write a new one and carry")


def test_taken_twice_it_changes_nothing_more(job: Path) -> None:
    table = Table(job).put("wires", first="2026-05-06").put("boxes", seen="done 2026-05-03")
    table.taken()
    count = len(entries(job))
    ran = table.receive("--yes")
    assert ran.code == 0
    assert "nothing in it differs from the job" in ran.out
    assert len(entries(job)) == count


def test_without_its_last_row_it_is_held_against_the_job_as_it_is(job: Path) -> None:
    table = Table(job).put("wires", first="2026-05-06")
    table.rows.pop()
    table.save()
    assert "its last row is gone" in table.receive("--show").err
    assert table.taken() == [("dated", "wires", "2026-05-06", "booked", "Dana Ruiz")]


def test_a_spreadsheet_of_another_job_is_refused(job: Path) -> None:
    table = Table(job)
    (job / "job.toml").write_text(JOB.replace("5b0e77a1", "5b0e77a2"), encoding="utf-8")
    table.refused("it is of another job")


def test_a_title_that_looks_like_a_formula_is_none_and_comes_back(job: Path) -> None:
    table = Table(job)
    assert table.get("boxes", "work") == "'=Set boxes [boxes]"
    file = job.parent / "dates.xlsx"
    assert run("spreadsheet", job, "--out", str(file)).code == 0
    page = openpyxl.load_workbook(file).worksheets[0]
    cell = next(row[0] for row in page.iter_rows() if str(row[0].value).endswith("[boxes]"))
    assert (cell.value, cell.data_type) == ("=Set boxes [boxes]", "s")
    table.put("boxes", seen="done")
    assert table.taken() == [("done", "boxes", "", "", "Dana Ruiz")]


def test_a_workbook_that_was_edited_is_taken(job: Path) -> None:
    """Edited by another library: a day as a date cell, an hour, and a name."""
    file = job.parent / "dates.xlsx"
    assert run("spreadsheet", job, "--out", str(file), at=EARLIER).code == 0
    book = openpyxl.load_workbook(file)
    page = book.worksheets[0]
    rows = {str(row[0].value).rpartition("[")[2].rstrip("]"): row for row in page.iter_rows()}
    rows["wires"][3].value = datetime.fromisoformat("2026-05-06")
    rows["wires"][4].value = None
    rows["trip:first"][3].value = datetime.fromisoformat("2026-05-12 07:30")
    rows["trip:first"][4].value = datetime.fromisoformat("2026-05-12")
    rows["shelf"][8].value = "Kim Bao"
    book.save(file)
    ran = run("receive", job, str(file), "--yes", at=LATER, by=DANA)
    assert ran.code == 0, ran.err
    assert sorted(told(e) for e in entries(job) if e["via"] == "by spreadsheet") == [
        ("dated", "first", "2026-05-12 07:30", "booked", "Dana Ruiz"),
        ("dated", "shelf", "2026-05-20 to 2026-05-21", "agreed", "Kim Bao"),
        ("dated", "wires", "2026-05-06", "booked", "Dana Ruiz"),
    ]


def test_merged_cells_and_formulas_are_refused_by_row(job: Path) -> None:
    file = job.parent / "dates.xlsx"
    assert run("spreadsheet", job, "--out", str(file), at=EARLIER).code == 0
    book = openpyxl.load_workbook(file)
    page = book.worksheets[0]
    page["D2"] = "=D3+1"
    page.merge_cells("H3:H4")
    book.save(file)
    ran = run("receive", job, str(file), "--yes", at=LATER, by=DANA)
    assert ran.code == 3
    assert f"{file}:2: from: it holds a formula; write the value itself" in ran.err
    assert f"{file}:3: seen: its cell is merged with others; split them again" in ran.err
    assert f"{file}:4: seen: its cell is merged with others; split them again" in ran.err
    assert diary_of(job) == {}


def test_a_file_that_is_there_is_not_overwritten(job: Path) -> None:
    table = Table(job)
    before = table.file.read_bytes()
    ran = run("spreadsheet", job, "--out", str(table.file))
    assert ran.code == 3
    assert "it is there already, perhaps with changes that nobody has taken yet" in ran.err
    assert table.file.read_bytes() == before


def test_another_ending_is_wrong_usage(job: Path) -> None:
    ran = run("spreadsheet", job, "--out", str(job.parent / "dates.ods"))
    assert ran.code == 2
    assert "ends neither in .csv nor in .xlsx" in ran.err


def test_a_past_moment_is_written_as_it_was(job: Path) -> None:
    note(job, "agreed", "wires", "2026-05-07", at="2026-05-04 08:00")
    assert Table(job, at=EARLIER).get("wires", "from") == "2026-05-05"
    assert Table(job, at=LATER).get("wires", "from") == "2026-05-07"


def test_other_files_beside_it_are_taken_all_the_same(job: Path) -> None:
    table = Table(job).put("wires", first="soon")
    table.save()
    text = job.parent / "message.txt"
    text.write_text("done boxes bath\n", encoding="utf-8")
    ran = run("receive", job, str(table.file), str(text), "--yes", at=LATER, by=DANA)
    assert ran.code == 3
    assert [entry["kind"] for entry in entries(job)] == ["job-file", "done"]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_title_goes_out_and_comes_back(job: Path, name: str) -> None:
    title = name.replace("\\", "\\\\").replace('"', '\\"')
    text = JOB.replace("=Set boxes", title)
    (job / "job.toml").write_text(text, encoding="utf-8")
    for ending in ("csv", "xlsx"):
        file = job.parent / f"hostile.{ending}"
        assert run("spreadsheet", job, "--out", str(file), at=EARLIER).code == 0
        ran = run("receive", job, str(file), "--show", at=EARLIER, by=DANA)
        assert (ran.code, ran.err) == (0, "")
        assert "nothing in it differs" in ran.out
    table = Table(job).put("boxes", seen="done")
    assert table.get("boxes", "work") == guarded(f"{name} [boxes]")
    assert table.taken() == [("done", "boxes", "", "", "Dana Ruiz")]


@pytest.mark.parametrize("sign", ["\x1b[31m", "\u202e", "\x00", "\r", "\x85", "[/b]" * 200])
def test_signs_in_a_cell_do_nothing_to_the_terminal(job: Path, sign: str) -> None:
    table = Table(job)
    table.rows[0].append(f"{sign}mine")
    table.rows[1].append("x")
    table.put("boxes", seen=f"{sign}done", by=f"{sign}Kim").put("shelf", first=f"{sign}soon")
    table.rows.insert(1, [f"Paint [{sign}paint]"])
    table.save()
    ran = table.receive("--yes")
    assert ran.code == 3
    assert all(one.isprintable() or one == "\n" for one in ran.out + ran.err)
    assert max(map(len, (ran.out + ran.err).splitlines())) < 500
    assert diary_of(job) == {}


def test_what_the_verdicts_would_be_is_shown_before_anybody_says_yes(job: Path) -> None:
    table = Table(job).put("wires", first="2026-05-12", last="2026-05-12")
    table.save()
    ran = table.receive("--show")
    assert "verdict: ..> too late -> >.< crossed: The first trip" in ran.out
    assert diary_of(job) == {}


def test_how_it_is_known_is_that_of_the_call(job: Path) -> None:
    table = Table(job).put("boxes", seen="done")
    table.save()
    ran = table.receive("--yes", "--how", "seen", "--from", "Kim Bao, electrician")
    assert "seen empty -> done (seen)" in ran.out
    (entry,) = [entry for entry in entries(job) if entry["kind"] == "done"]
    assert (entry["how"], entry["by"], entry["via"]) == ("seen", "Kim Bao", "by spreadsheet")


@pytest.mark.parametrize(
    ("booking", "first", "last"),
    [
        ('"by 2026-05-08"', "by", "2026-05-08"),
        ('"2026-05-08 morning"', "2026-05-08 morning", "2026-05-08"),
        ('"2026-05-08 09:00"', "2026-05-08 09:00", "2026-05-08"),
        ('"2026-05-08 to 2026-05-09"', "2026-05-08", "2026-05-09"),
    ],
)
def test_every_kind_of_booking_goes_out_and_comes_back(
    job: Path, booking: str, first: str, last: str
) -> None:
    text = JOB.replace("agreed = 2026-05-05,", f"agreed = {booking},")
    (job / "job.toml").write_text(text, encoding="utf-8")
    table = Table(job)
    assert table.row("wires")[3:5] == [first, last]
    table.put("wires", by="Kim Bao")
    assert table.taken() == [("dated", "wires", booking.strip('"'), "agreed", "Kim Bao")]
    assert Table(job, at=LATER).row("wires")[3:5] == [first, last]
