"""Looks a workbook (.xlsx) over before a library unfolds it.

A workbook is an archive of XML, and both can hold far more than they weigh: an archive of a few
kilobytes unfolds to gigabytes, an entity to millions of letters, a range of merged cells to every
cell there is. So sizes are summed first, and each part is read once for its elements alone.

Invariant: what passes unfolds to at most `MOST_BYTES` and `MOST_ELEMENTS`, and declares nothing.
"""

from __future__ import annotations

import re
import zipfile
from dataclasses import dataclass, field
from typing import IO
from xml.parsers import expat

from readiness.exchange.grid import MOST_ROWS, GridError

MOST_BYTES = 20_000_000
MOST_PARTS = 500
MOST_ELEMENTS = 400_000
LONGEST_NUMBER = 10
HINT = "keep the rows of one job in it"
_PIECE = 65_536
_XML = (".xml", ".rels", ".vml")
_RANGE = re.compile(r"([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})")
_OLD_HEAD = b"\xd0\xcf\x11\xe0"
"""Begins an old workbook (.xls), and a new one that is locked by a password."""


@dataclass(frozen=True, slots=True)
class Merged:
    """One range of merged cells; rows from 1, columns from 0."""

    first_row: int
    last_row: int
    first_column: int
    last_column: int


@dataclass(frozen=True, slots=True)
class Looked:
    """What was seen of a workbook."""

    merged: dict[str, list[Merged]] = field(default_factory=dict)
    """By the name of the part."""
    last_row: dict[str, int] = field(default_factory=dict)
    """The last row that holds a value, by the name of the part."""


def look_over(file: IO[bytes]) -> Looked:
    """Return what was seen of a workbook that may be unfolded.

    Raises:
        GridError: It is none, is damaged or locked, or unfolds to far too much.
    """
    head = file.read(len(_OLD_HEAD))
    file.seek(0)
    if head == _OLD_HEAD:
        raise GridError("it is an old or a locked workbook", "save it as .xlsx without a password")
    looked = Looked()
    try:
        with zipfile.ZipFile(file) as archive:
            _check_sizes(archive.infolist())
            elements = 0
            for info in archive.infolist():
                if info.filename.casefold().endswith(_XML):
                    elements = _read_part(archive, info, looked, elements)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError) as error:
        raise GridError(f"it is no workbook, or a damaged one ({error})") from None
    except expat.ExpatError as error:
        raise GridError(f"a part of it is damaged ({error})", "save it again") from None
    file.seek(0)
    return looked


def _check_sizes(parts: list[zipfile.ZipInfo]) -> None:
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_BYTES:
        raise GridError(f"it unfolds to more than {MOST_BYTES // 1_000_000} MB", HINT)
    if any(part.flag_bits & 1 for part in parts):
        raise GridError("it is locked by a password", "save it without one")
    if len({part.filename for part in parts}) < len(parts):
        raise GridError("a part of it is there twice", "save it again")


def _read_part(
    archive: zipfile.ZipFile, info: zipfile.ZipInfo, looked: Looked, elements: int
) -> int:
    """Read one part for its elements, and return how many there were so far."""
    count = elements
    row = 0

    def started(name: str, attributes: dict[str, str]) -> None:
        nonlocal count, row
        count += 1
        if count > MOST_ELEMENTS:
            raise GridError(f"it has more than {MOST_ELEMENTS:,} cells and marks")
        match name.rpartition(":")[2]:
            case "row":
                row = _number(attributes.get("r", ""), row + 1)
            case "v" | "f" | "is":
                if row > MOST_ROWS:
                    raise GridError(f"it has more than {MOST_ROWS} rows", HINT)
                looked.last_row[info.filename] = max(row, looked.last_row.get(info.filename, 0))
            case "mergeCell":
                found = _merged(attributes.get("ref", ""))
                if found is not None:
                    looked.merged.setdefault(info.filename, []).append(found)
            case _:
                pass

    def declared(*_: object) -> None:
        raise GridError("it declares entities, which no spreadsheet program writes")

    parser = expat.ParserCreate()
    parser.StartElementHandler = started
    parser.StartDoctypeDeclHandler = declared
    parser.EntityDeclHandler = declared
    with archive.open(info) as part:
        while piece := part.read(_PIECE):
            parser.Parse(piece, False)  # noqa: FBT003  the library's own argument
    parser.Parse(b"", True)  # noqa: FBT003  the library's own argument
    return count


def _number(text: str, otherwise: int) -> int:
    return int(text) if text.isdecimal() and len(text) < LONGEST_NUMBER else otherwise


def _merged(reference: str) -> Merged | None:
    found = _RANGE.fullmatch(reference)
    if found is None:
        return None
    return Merged(int(found[2]), int(found[4]), _column(found[1]), _column(found[3]))


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1
