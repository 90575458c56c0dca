"""Spreadsheets as files: read by other programs' readers, hostile ones refused within their room.

The csv module of the language, openpyxl (which did not write them) and calamine, a reader in
another language, read what is written here; openpyxl and xlsxwriter write what is read here.
"""

from __future__ import annotations

import codecs
import csv
import subprocess
import sys
import zipfile
from datetime import date, datetime
from io import BytesIO, StringIO
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from readiness.exchange import xlsx_gate
from readiness.exchange.csv_grid import csv_bytes, csv_grid
from readiness.exchange.grid import (
    LONGEST_TEXT,
    MOST_ROWS,
    GridError,
    guarded,
    unguarded,
)
from readiness.exchange.spreadsheet_rows import COLUMNS, Cell
from readiness.exchange.xlsx_grid import write_xlsx, xlsx_grid
from tests.conftest import ROOT

WANTED = frozenset(COLUMNS)
ACTIVE = (
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1",
    "'=1",
    "''@x",
    "＝1",
    "＠x",
)
"""Beginnings that OWASP's page on CSV injection lists, and what an escape could trip over."""

cells = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="\t\r\n=+-@'\",;"),
    max_size=20,
)


def workbook(*rows: tuple[Cell, ...], head: tuple[str, ...] = COLUMNS) -> bytes:
    file = BytesIO()
    write_xlsx(head, rows, "foot", file)
    return file.getvalue()


def values(content: bytes) -> list[tuple[Any, ...]]:
    return [row.values for row in xlsx_grid(BytesIO(content), WANTED).rows]


@pytest.mark.parametrize("text", ACTIVE)
def test_no_text_is_a_formula_in_csv_and_each_comes_back(text: str) -> None:
    """Source: OWASP, CSV Injection: a cell that begins with = + - @, tab or return may be run."""
    content = csv_bytes([("work", "place"), (text, "x")])
    other = list(csv.reader(StringIO(content.decode("utf-8-sig"), newline="")))
    assert other[1][0][0] == "'"
    assert csv_grid(content).rows[1].values == (text, "x")


@given(cells)
def test_what_guards_a_text_is_taken_off_exactly(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\r", "\n"))


@given(st.lists(st.lists(cells, min_size=2, max_size=2), min_size=1, max_size=4))
def test_texts_in_csv_come_back_unchanged(rows: list[list[str]]) -> None:
    content = csv_bytes([("work", "place"), *(tuple(row) for row in rows)])
    kept = [tuple(row) for row in rows if any(cell.strip() for cell in row)]
    assert [row.values for row in csv_grid(content).rows[1:]] == kept


@pytest.mark.parametrize("text", [text for text in ACTIVE if text.strip() == text])
def test_no_text_is_a_formula_in_a_workbook_and_each_comes_back(text: str) -> None:
    content = workbook((text, "x"))
    cell = openpyxl.load_workbook(BytesIO(content)).worksheets[0]["A2"]
    assert (cell.data_type, cell.value, cell.quotePrefix) == ("s", text, True)
    assert (
        CalamineWorkbook.from_filelike(BytesIO(content)).get_sheet_by_index(0).to_python()[1][0]
        == text
    )
    assert values(content)[1] == (text, "x")


def test_days_and_hours_are_dates_for_other_programs() -> None:
    day, hour = date(2026, 5, 7), datetime.fromisoformat("2026-05-07 09:30")
    content = workbook(("a [x]", "b", "c", day, hour))
    other = CalamineWorkbook.from_filelike(BytesIO(content)).get_sheet_by_index(0).to_python()
    assert other[0] == list(COLUMNS)
    assert other[1][3:5] == [day, hour]
    assert values(content)[1][3:5] == (day, hour)
    assert csv_grid(csv_bytes([COLUMNS, ("a", "b", "c", day, hour)])).rows[1].values[3:] == (
        "2026-05-07",
        "2026-05-07 09:30",
    )


def test_equal_rows_give_equal_bytes() -> None:
    assert workbook(("a [x]", "b")) == workbook(("a [x]", "b"))


@pytest.mark.parametrize("epoch", ["1900", "1904"])
def test_dates_of_both_calendars_of_workbooks_are_read(epoch: str) -> None:
    """Source: ECMA-376 part 1, section 18.17.4.1: two date systems, told by `date1904`."""
    file = BytesIO()
    book = xlsxwriter.Workbook(
        file, {"in_memory": True, "date_1904": epoch == "1904", "default_date_format": "d/m/yy"}
    )
    page = book.add_worksheet()
    page.write_row(0, 0, COLUMNS)
    page.write_datetime(1, 3, datetime.fromisoformat("2026-05-07"))
    page.write_number(2, 7, 0.6, book.add_format({"num_format": "0%"}))
    page.write_number(2, 3, 46149)
    book.close()
    assert values(file.getvalue())[1][3] == date(2026, 5, 7)
    assert values(file.getvalue())[2][7] == "60 %"
    assert values(file.getvalue())[2][3] == 46149


def test_formulas_and_merged_cells_are_marked() -> None:
    file = BytesIO()
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    page.append(list(COLUMNS))
    page.append(["a [x]", "b", "c", "=TODAY()"])
    page.append(["a [y]", "b", "c", "2026-05-07"])
    page.append(["a [z]"])
    page.merge_cells("D3:D4")
    book.save(file)
    rows = xlsx_grid(BytesIO(file.getvalue()), WANTED).rows
    assert rows[1].formulas == {3}
    assert [sorted(row.merged) for row in rows] == [[], [], [3], [3]]


def test_the_page_with_our_columns_is_read() -> None:
    file = BytesIO()
    book = openpyxl.Workbook()
    first = book.active
    assert first is not None
    first.append(["remarks"])
    book.create_sheet("Dates").append(list(COLUMNS))
    book.save(file)
    assert values(file.getvalue()) == [COLUMNS]


@pytest.mark.parametrize(
    ("encoding", "mark"),
    [("utf-8", codecs.BOM_UTF8), ("utf-16-le", codecs.BOM_UTF16_LE), ("utf-8", b"")],
)
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_text_of_any_country_is_read(encoding: str, mark: bytes, separator: str) -> None:
    text = f"work{separator}seen\r\nDämmung [x]{separator}begun 12,5 %\r\n"
    text = text.replace("begun 12,5 %", '"begun 12,5 %"')
    grid = csv_grid(mark + text.encode(encoding))
    assert [row.values for row in grid.rows] == [("work", "seen"), ("Dämmung [x]", "begun 12,5 %")]
    assert not grid.remarks


def test_text_in_old_signs_is_read_and_told() -> None:
    grid = csv_grid("work;seen\nDämmung [x];done\n".encode("cp1252"))
    assert grid.rows[1].values[0] == "Dämmung [x]"
    assert "Windows-1252" in grid.remarks[0]


def test_a_line_that_names_the_separator_is_obeyed() -> None:
    """Some programs write and want such a first line; the rows below keep their numbers."""
    grid = csv_grid(b"sep=;\r\nwork;seen\r\nA [x];done\r\n")
    assert [(row.number, row.values) for row in grid.rows] == [
        (2, ("work", "seen")),
        (3, ("A [x]", "done")),
    ]


def test_empty_rows_are_passed_over_and_keep_their_number() -> None:
    assert [row.number for row in csv_grid(b"work,seen\r\n\r\n,\r\nA,done\r\n").rows] == [1, 4]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"work,seen\n" * (MOST_ROWS + 1), "rows"),
        (b"work," * 200, "columns"),
        (b"work," + b"x" * (LONGEST_TEXT + 1), "signs"),
        (b"work\x00,seen", "no text"),
        (codecs.BOM_UTF16_LE + b"\x00\xd8a", "signs can't be read"),
    ],
    ids=["rows", "columns", "long", "null", "half"],
)
def test_text_that_is_no_spreadsheet_is_refused(content: bytes, says: str) -> None:
    with pytest.raises(GridError, match=says):
        csv_grid(content)


def archive(parts: dict[str, bytes], *, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    file = BytesIO()
    with zipfile.ZipFile(file, "w", method) as zipped:
        for name, content in parts.items():
            zipped.writestr(name, content)
    return file.getvalue()


def with_part(content: bytes, name: str, part: bytes) -> bytes:
    """Return a workbook in which one part says something else."""
    with zipfile.ZipFile(BytesIO(content)) as zipped:
        parts = {info.filename: zipped.read(info) for info in zipped.infolist()}
    return archive({**parts, name: part})


PAGE = "xl/worksheets/sheet1.xml"
ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "bbbbbbbbbb">'
    b'<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]><worksheet>&c;</worksheet>'
)
ELSEWHERE = b'<?xml version="1.0"?><!DOCTYPE a SYSTEM "http://example.com/a.dtd"><a/>'
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>'


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"PK\x03\x04 not a zip", "no workbook"),
        (b"\xd0\xcf\x11\xe0" + b"\x00" * 100, "old or a locked"),
        (archive({PAGE: b"<a>"}), "damaged"),
        (with_part(workbook(("a", "b")), PAGE, ENTITIES), "entities"),
        (with_part(workbook(("a", "b")), PAGE, OUTSIDE), "entities"),
        (with_part(workbook(("a", "b")), PAGE, ELSEWHERE), "entities"),
        (with_part(workbook(("a", "b")), PAGE, ENTITIES.decode().encode("utf-16")), "entities"),
        (archive({PAGE: b"<a>" + b"<c/>" * 500_000 + b"</a>"}), "cells and marks"),
        (archive({PAGE: b" " * 30_000_000}), "unfolds"),
        (archive({f"x{number}.xml": b"<a/>" for number in range(600)}), "unfolds"),
        (archive({"xl/workbook.xml": b"<a/>"}), "can't be read as a workbook"),
    ],
    ids=[
        "garbage",
        "old",
        "torn",
        "entities",
        "outside",
        "elsewhere",
        "utf-16",
        "cells",
        "bomb",
        "parts",
        "no book",
    ],
)
def test_a_hostile_workbook_is_refused(content: bytes, says: str) -> None:
    with pytest.raises(GridError, match=says):
        xlsx_grid(BytesIO(content), WANTED)


ROOM = """
import sys, time
from io import BytesIO
from tests.exchange.test_grids import WANTED, bomb
from tests.memory import peak_megabytes
from readiness.exchange.grid import GridError
from readiness.exchange.xlsx_grid import xlsx_grid
content = bomb(sys.argv[1])
before, began = peak_megabytes(), time.perf_counter()
try:
    print(len(xlsx_grid(BytesIO(content), WANTED).rows), end=" ")
except GridError as error:
    print("refused", end=" ")
print(len(content), int(peak_megabytes() - before), round(time.perf_counter() - began, 2))
"""


def bomb(kind: str) -> bytes:
    """Return a small file that unfolds to far more than a spreadsheet of ours ever does."""
    if kind == "layers":
        return archive({PAGE: b"<a>" + b"<c/>" * 60_000_000 + b"</a>"})
    book = workbook(("a [x]", "b"))
    head = (
        b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    )
    row = b'<row r="%d"><c r="%s%d" t="inlineStr"><is><t>x</t></is></c></row>'
    if kind == "far corner":
        body = row % (1, b"A", 1) + row % (1_048_576, b"XFD", 1_048_576) + b"</sheetData>"
    elif kind == "wide rows":
        body = b"".join(row % (n, b"XFD", n) for n in range(1, 60_000)) + b"</sheetData>"
    else:
        body = row % (1, b"A", 1) + b"</sheetData><mergeCells>"
        body += b'<mergeCell ref="A1:XFD1048576"/></mergeCells>'
    return with_part(book, PAGE, head + body + b"</worksheet>")


@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in other units elsewhere")
@pytest.mark.parametrize("kind", ["layers", "far corner", "wide rows", "merged"])
def test_a_workbook_takes_no_more_room_and_time_than_it_may(kind: str) -> None:
    """Own bounds: 150 MB more than before and 5 s, for files of less than a megabyte."""
    ran = subprocess.run(
        [sys.executable, "-c", ROOM, kind],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=170,
    )
    rows, size, megabytes, seconds = ran.stdout.split()
    assert rows == ("1" if kind == "merged" else "refused")
    assert int(size) < 1_000_000
    assert int(megabytes) < 150
    assert float(seconds) < 5


def test_every_bound_of_the_gate_is_below_what_hurts() -> None:
    """A job of a hundred rooms has some hundred rows of nine cells."""
    assert 500 * len(COLUMNS) * 4 < xlsx_gate.MOST_ELEMENTS < 1_000_000
    assert xlsx_gate.MOST_BYTES < 50_000_000
