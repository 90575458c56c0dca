"""Makes random TOML documents that know the line of each of their keys.

Invariant: the lines are those the writer stood on when it wrote, found without reading anything.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from random import Random

Path = tuple[str | int, ...]

PLAIN = (
    "1", "-17", "3.5", "true", "false", "2026-05-07", "2026-05-07T09:00:00", "2026-05-07 09:00:00",
    "09:00:00", "0x1F", "1_000", "+0.5e3", "inf",
    '""', '"a"', "'b # no remark'", '"a \\" ] } , = # b"', "'[[x]]'", '"\\u00e9 \\\\"', "''",
)  # fmt: skip
LONG = (
    '"""\none\ntwo = 3\n[four]\n"""',
    '"""a "quoted" \\""" word"""',
    "'''\n# no remark\n'''",
    '"""end with quotes"""""',
    "'''x'y''z'''",
    '"""\\\n   folded"""',
)
BARE = ("a", "b-1", "c_2", "7", "2026-05-07")
QUOTED = ('"with space"', "'lit.dot'", '"\\u00fc"', '"q\\"uote"', "'#'", '""')


@dataclass
class Writer:
    """Writes one document and remembers where things stand."""

    random: Random
    newline: str
    text: str = ""
    lines: dict[Path, int] = field(default_factory=dict)
    serial: int = 0

    @property
    def line(self) -> int:
        """The line on which the next sign is written."""
        return self.text.count("\n") + 1

    def put(self, text: str) -> None:
        """Write text, with the document's own line ends."""
        self.text += text.replace("\n", self.newline)

    def mark(self, path: Path) -> None:
        """Remember that a path is written here, unless it was begun before."""
        self.lines.setdefault(path, self.line)

    def name(self) -> tuple[str, str]:
        """Return a key that was not used yet: as written, and as it is read."""
        self.serial += 1
        if self.random.random() < 0.75:
            bare = f"{self.random.choice(BARE)}-{self.serial}"
            return bare, bare
        written = self.random.choice(QUOTED)
        quote = written[0]
        written = f"{written[:-1]}{self.serial}{quote}"
        read = written[1:-1]
        if quote == '"':
            read = read.replace("\\u00fc", "ü").replace('\\"', '"')
        return written, read

    def dotted(self) -> tuple[str, tuple[str, ...]]:
        """Return a key of one to three parts."""
        names = [self.name() for _ in range(self.random.choice((1, 1, 1, 2, 3)))]
        dot = self.random.choice((".", " . ", ".\t"))
        return dot.join(written for written, _ in names), tuple(read for _, read in names)

    def blank(self) -> None:
        """Write what means nothing between lines."""
        for _ in range(self.random.choice((0, 0, 1, 2))):
            self.put(self.random.choice(("\n", '# remark [x] = "\n', "   \n", "\t# ''' \n")))

    def pair(self, table: Path, depth: int, *, inline: bool = False) -> None:
        """Write `key = value`."""
        written, parts = self.dotted()
        for length in range(1, len(parts) + 1):
            self.mark((*table, *parts[:length]))
        self.put(written + self.random.choice((" = ", "=", "\t=\t")))
        self.value((*table, *parts), depth, inline=inline)

    def value(self, path: Path, depth: int, *, inline: bool = False) -> None:
        """Write a value."""
        kind = self.random.random()
        if depth < 3 and kind < 0.15:
            self.array(path, depth, inline=inline)
        elif depth < 3 and kind < 0.3:
            self.inline_table(path, depth)
        elif kind < 0.4:
            self.put(self.random.choice(LONG))
        else:
            self.put(self.random.choice(PLAIN))

    def array(self, path: Path, depth: int, *, inline: bool) -> None:
        """Write `[ ... ]`, over several lines where that is allowed."""
        count = self.random.randrange(4)
        self.put("[")
        for number in range(count):
            self.put(self.random.choice(("", " ", "" if inline else "\n  # remark ]\n  ")))
            self.mark((*path, number))
            self.value((*path, number), depth + 1, inline=inline)
            if number < count - 1 or self.random.random() < 0.3:
                self.put(self.random.choice((",", " , ", "," if inline else ",\n")))
        self.put("]")

    def inline_table(self, path: Path, depth: int) -> None:
        """Write `{ ... }`."""
        self.put("{ ")
        for number in range(self.random.randrange(4)):
            if number:
                self.put(", ")
            self.pair(path, depth + 1, inline=True)
        self.put(" }")

    def pairs(self, table: Path) -> None:
        """Write some lines of a table."""
        for _ in range(self.random.randrange(4)):
            self.blank()
            self.put(self.random.choice(("", "  ")))
            self.pair(table, 0)
            self.put(self.random.choice(("\n", " # remark\n")))

    def header(self, brackets: str, written: str) -> None:
        """Write the line that begins a table."""
        opening, closing = brackets[: len(brackets) // 2], brackets[len(brackets) // 2 :]
        space = self.random.choice(("", " "))
        self.put(f"{opening}{space}{written}{space}{closing}\n")

    def document(self) -> None:
        """Write a whole document."""
        self.pairs(())
        for _ in range(self.random.randrange(5)):
            self.blank()
            written, parts = self.dotted()
            for length in range(1, len(parts) + 1):
                self.mark(parts[:length])
            if self.random.random() < 0.6:
                self.header("[]", written)
                self.pairs(parts)
                if self.random.random() < 0.3:
                    inner, inner_parts = self.name()
                    self.mark((*parts, inner_parts))
                    self.header("[]", f"{written}.{inner}")
                    self.pairs((*parts, inner_parts))
            else:
                self.array_of_tables(written, parts)

    def array_of_tables(self, written: str, parts: tuple[str, ...]) -> None:
        """Write some `[[tables]]` of one name, with tables inside."""
        for number in range(self.random.randrange(1, 4)):
            self.mark((*parts, number))
            self.header("[[]]", written)
            self.pairs((*parts, number))
            if self.random.random() < 0.4:
                inner, read = self.name()
                self.mark((*parts, number, read))
                self.header("[]", f"{written}.{inner}")
                self.pairs((*parts, number, read))


def document(random: Random) -> tuple[str, dict[Path, int]]:
    """Return a random document, and the line of every path in it."""
    writer = Writer(random, random.choice(("\n", "\r\n")))
    writer.document()
    return writer.text, writer.lines


def paths_of(value: object, path: Path = ()) -> set[Path]:
    """Return every path of a document that was read."""
    found = {path} if path else set()
    if isinstance(value, dict):
        for key, inner in value.items():
            found |= paths_of(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            found |= paths_of(inner, (*path, number))
    return found
