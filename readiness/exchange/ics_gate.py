"""A gate before the calendar reader: what could hang it, blow it up or mislead it never gets there.

Some files of two hundred bytes never finish once a reader has them, and one bad line can cost a
reader the whole file; so a file is taken apart on its raw lines first, piece by piece.

Invariant: each piece that passes is small, well nested, holds no rule that repeats within a day and
nothing that is not asked for here; each piece that does not pass is told with its line, and costs
no other piece.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.exchange.ics_rules import wrong_with_line

if TYPE_CHECKING:
    from collections.abc import Iterator

LARGEST_FILE_BYTES = 5_000_000
LONGEST_LINE = 64_000
MOST_LINES = 200_000
MOST_PIECES = 20_000
DEEPEST = 4
_NAME = re.compile(r"[A-Z0-9-]{1,40}")
_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f]")
_HEAD = re.compile(r"([A-Za-z0-9-]{1,60})([;:])")
_IN_CALENDAR_ONLY = frozenset({"VEVENT", "VTODO", "VTIMEZONE", "VFREEBUSY", "VJOURNAL"})
_ONCE = frozenset({"DTSTART", "DTEND", "DURATION", "DTSTAMP", "UID", "SEQUENCE", "RRULE", "STATUS"})
_MOST_DATES = 1_000
_TOLD = frozenset(
    {"UID", "DTSTAMP", "SEQUENCE", "ORGANIZER", "ATTENDEE", "SUMMARY", "COMMENT", "STATUS"}
    | {"TRANSP", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "RECURRENCE-ID"}
    | {"FREEBUSY"}
)
"""What of an event or of busy times anybody here asks for; addresses, files, pictures are not."""
_READ = {"VEVENT": _TOLD, "VFREEBUSY": _TOLD}


@dataclass(frozen=True, slots=True)
class Loss:
    """Something that was left out, or changed on the way in."""

    line: int
    """Counted from 1; 0 is the whole file."""
    what: str


@dataclass
class Piece:
    """One component directly inside a calendar, as unfolded lines."""

    name: str
    line: int
    method: str = ""
    lines: list[tuple[int, str]] = field(default_factory=list)

    def text(self, *, whole: bool = True) -> str:
        """Return the piece as lines; without what is nested in it if not `whole`."""
        if whole:
            return "\r\n".join(line for _, line in self.lines) + "\r\n"
        depth, kept = 0, []
        for _, line in self.lines:
            begins = line[:6].upper() == "BEGIN:"
            depth += begins
            if depth == 1:
                kept.append(line)
            depth -= line[:4].upper() == "END:"
        return "\r\n".join(kept) + "\r\n"


@dataclass
class Gated:
    """What came through, and what did not."""

    pieces: list[Piece] = field(default_factory=list)
    losses: list[Loss] = field(default_factory=list)


def gated(content: bytes) -> Gated:
    """Return the pieces of a file that may be read."""
    found = Gated()
    refusal = _refusal(content)
    if refusal:
        found.losses.append(Loss(0, refusal))
        return found
    _Scan(found).run(_lines(content, found))
    return found


def _refusal(content: bytes) -> str:
    if len(content) > LARGEST_FILE_BYTES:
        return f"the file has {len(content)} bytes; at most {LARGEST_FILE_BYTES} are read"
    head = content[:200].lstrip()
    if content[:2] in {b"\xff\xfe", b"\xfe\xff"} or b"B\0E\0" in content[:100]:
        return "is UTF-16; save it as UTF-8"
    if content[:2] == b"\x1f\x8b" or content[:2] == b"PK":
        return "is packed; unpack it first"
    if head[:1] == b"<":
        return "is a web page, not a calendar"
    if b"BEGIN:VCALENDAR" not in content.upper():
        return "is no calendar: it has no BEGIN:VCALENDAR"
    return ""


def _lines(content: bytes, found: Gated) -> Iterator[tuple[int, str]]:
    """Yield the unfolded lines with their numbers; unfolding comes before decoding."""
    content = content.removeprefix(b"\xef\xbb\xbf")
    if b"\n" not in content:
        content = content.replace(b"\r", b"\n")
    told: set[str] = set()
    started, length = 1, 0
    parts: list[bytes] = []
    for number, raw in enumerate(content.split(b"\n"), 1):
        if number > MOST_LINES:
            found.losses.append(Loss(number, f"only {MOST_LINES} lines are read"))
            break
        line = raw.removesuffix(b"\r")
        if line[:1] in {b" ", b"\t"} and parts:
            length += len(line) - 1
            if length <= LONGEST_LINE:
                parts.append(line[1:])
            continue
        if parts:
            yield started, _decoded(b"".join(parts), length, started, found, told)
        started, parts, length = number, [line], len(line)
    if parts:
        yield started, _decoded(b"".join(parts), length, started, found, told)


def _decoded(raw: bytes, length: int, line: int, found: Gated, told: set[str]) -> str:
    if length > LONGEST_LINE:
        return "X-TOO-LONG:"
    try:
        text = raw.decode()
    except UnicodeDecodeError:
        text = raw.decode("cp1252", "replace")
        _once(found, told, line, "is not UTF-8: read as Windows text, look at the names")
    if _CONTROLS.search(text):
        text = _CONTROLS.sub("", text)
        _once(found, told, line, "held control signs: they are left out")
    return text


def _once(found: Gated, told: set[str], line: int, what: str) -> None:
    if what not in told:
        told.add(what)
        found.losses.append(Loss(line, what))


class _Scan:
    """Walks through the lines with the open components on a stack."""

    def __init__(self, found: Gated) -> None:
        self.found = found
        self.open: list[str] = []
        self.too_deep = 0
        self.piece: Piece | None = None
        self.wrong = ""
        self.wrong_at = 0
        self.method = ""
        self.counts: Counter[str] = Counter()
        self.dates = 0
        self.full = False

    def run(self, lines: Iterator[tuple[int, str]]) -> None:
        """Take all lines."""
        last = 1
        for number, line in lines:
            last = number
            if self.full:
                break
            if line:
                self._line(number, line)
        if self.open and not self.full:
            self._blame(last, f"the file ends inside {self.open[-1]}")
            self._close()

    def _line(self, number: int, line: str) -> None:
        upper = line[:60].upper()
        if upper.startswith("BEGIN:"):
            self._begin(number, line[6:].strip().upper())
        elif upper.startswith("END:"):
            self._end(number, line[4:].strip().upper())
        elif self.too_deep or not self.open:
            if not self.open:
                self.found.losses.append(Loss(number, "stands outside of any calendar"))
                self.full = len(self.found.losses) > MOST_PIECES
        elif self.piece is None:
            if upper.startswith("METHOD:") and not self.method:
                self.method = line[7:].strip().upper()[:30]
        else:
            self._property(number, line)

    def _property(self, number: int, line: str) -> None:
        piece = self.piece
        assert piece is not None  # noqa: S101  only called inside of one
        match = _HEAD.match(line)
        if match is None or line.startswith("X-TOO-LONG:"):
            what = "is longer than 64 kB" if match else "is no property"
            self.found.losses.append(Loss(number, f"{what}: the line is left out"))
            return
        name = match[1].upper()
        nested = len(self.open) > 2  # noqa: PLR2004  calendar and piece
        wrong = wrong_with_line(name, line[match.end() - 1 :], piece.name)
        if wrong and not (nested and piece.name != "VTIMEZONE"):
            self._blame(number, f"{name}: {wrong}")
        if not nested:
            self.counts[name] += 1
            if name in _ONCE and self.counts[name] > 1:
                self._blame(number, f"{name} stands twice")
            if name in {"RDATE", "EXDATE", "FREEBUSY"}:
                self.dates += line.count(",") + 1
                if self.dates > _MOST_DATES:
                    self._blame(number, f"more than {_MOST_DATES} single dates")
        asked_for = nested or name in _READ.get(piece.name, (name,))
        if asked_for and not self.wrong and not (nested and wrong):
            piece.lines.append((number, line))

    def _begin(self, number: int, name: str) -> None:
        if self.too_deep or len(self.open) >= DEEPEST:
            self.too_deep += 1
            self._blame(number, "components are nested too deep")
            return
        if not self.open:
            if name != "VCALENDAR":
                self.found.losses.append(Loss(number, f"{name[:40]} stands outside of a calendar"))
            self.method = ""
        elif len(self.open) == 1:
            self._start(number, name)
        elif name in _IN_CALENDAR_ONLY or name == "VCALENDAR":
            self._blame(number, f"{name} stands inside {self.open[-1]}")
        if not _NAME.fullmatch(name):
            self._blame(number, "the name of a component is none")
        self.open.append(name)
        if self.piece is not None and not self.wrong:
            self.piece.lines.append((number, f"BEGIN:{name}"))

    def _start(self, number: int, name: str) -> None:
        if len(self.found.pieces) + len(self.found.losses) >= MOST_PIECES:
            self.found.losses.append(Loss(number, f"only {MOST_PIECES} components are read"))
            self.full = True
        self.piece = Piece(name, number, self.method)
        self.wrong, self.counts, self.dates = "", Counter(), 0

    def _end(self, number: int, name: str) -> None:
        if self.too_deep:
            self.too_deep -= 1
            return
        if not self.open:
            self.found.losses.append(Loss(number, f"END:{name[:40]} closes nothing"))
            return
        if self.open[-1] != name:
            self._blame(number, f"END:{name[:40]} closes {self.open[-1]}")
            if name not in self.open:
                return
            while self.open[-1] != name:
                self._pop(number)
        self._pop(number)

    def _pop(self, number: int) -> None:
        name = self.open.pop()
        if self.piece is not None and not self.wrong:
            self.piece.lines.append((number, f"END:{name}"))
        if len(self.open) == 1:
            self._close()

    def _close(self) -> None:
        if self.piece is None:
            return
        if self.wrong:
            self.found.losses.append(Loss(self.wrong_at, f"{self.piece.name}: {self.wrong}"))
        else:
            self.found.pieces.append(self.piece)
        self.piece, self.wrong = None, ""

    def _blame(self, number: int, what: str) -> None:
        if self.piece is not None and not self.wrong:
            self.wrong, self.wrong_at = what, number
            self.piece.lines.clear()
        elif self.piece is None and len(self.found.losses) < MOST_PIECES:
            self.found.losses.append(Loss(number, what))
