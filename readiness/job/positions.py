"""Finds the line of every key and element of a TOML text, because the parser does not keep it.

Invariant: for a text that `tomllib` reads, the paths found are exactly the paths of what it reads.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress
from dataclasses import dataclass, field

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_TEXT = re.compile(
    r'"{3}(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*"{3,5}'
    r"|'{3}(?:[^']|'{1,2}(?!'))*'{3,5}"
    r"|\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'"
)
_PLAIN = re.compile(r"[^,\]}#\n]*")


class ScanError(ValueError):
    """The text is no TOML, so it has no positions."""


@dataclass(slots=True)
class _Scan:
    """One walk over a text."""

    text: str
    at: int = 0
    lines: dict[Path, int] = field(default_factory=dict)
    twice: list[tuple[Path, int]] = field(default_factory=list)
    """Keys that stand a second time, with the line of the second."""
    headers: set[Path] = field(default_factory=set)
    counts: dict[Path, int] = field(default_factory=dict)
    """How many tables an array of tables has so far."""
    ends: list[int] = field(default_factory=list)

    def line(self, at: int) -> int:
        """Return the line of an offset, counted from 1."""
        return bisect_right(self.ends, at - 1) + 1

    def skip(self, pattern: re.Pattern[str]) -> None:
        """Move over what the pattern matches here."""
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def expect(self, sign: str) -> None:
        """Move over a sign that must stand here."""
        if not self.text.startswith(sign, self.at):
            raise ScanError(f"no {sign} at {self.at}")
        self.at += len(sign)

    def document(self) -> None:
        """Walk the whole text."""
        self.ends = [match.start() for match in re.finditer("\n", self.text)]
        table: Path = ()
        self.skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip(_BLANK)

    def header(self) -> Path:
        """Read `[table]` or `[[table]]` and return its path."""
        line = self.line(self.at)
        many = self.text.startswith("[[", self.at)
        self.expect("[[" if many else "[")
        self.skip(_SPACE)
        parts = self.key()
        self.skip(_SPACE)
        self.expect("]]" if many else "]")
        path: Path = ()
        for part in parts[:-1]:
            path = self.inside((*path, part))
            self.lines.setdefault(path, line)
        path = (*path, parts[-1])
        if not many:
            if path in self.headers:
                self.twice.append((path, line))
            else:
                self.lines[path] = line
            self.headers.add(path)
            return path
        self.lines.setdefault(path, line)
        number = self.counts.get(path, 0)
        self.counts[path] = number + 1
        self.lines[*path, number] = line
        return (*path, number)

    def inside(self, path: Path) -> Path:
        """Return the path itself, or its last table if it is an array of tables."""
        count = self.counts.get(path)
        return path if count is None else (*path, count - 1)

    def pair(self, table: Path) -> None:
        """Read `key = value` below a table."""
        line = self.line(self.at)
        parts = self.key()
        self.skip(_SPACE)
        self.expect("=")
        self.skip(_SPACE)
        path: Path = table
        for part in parts[:-1]:
            path = (*path, part)
            self.lines.setdefault(path, line)
        path = (*path, parts[-1])
        if path in self.lines:
            self.twice.append((path, line))
        self.lines.setdefault(path, line)
        self.value(path)

    def key(self) -> list[str]:
        """Read a key with its dots."""
        parts: list[str] = []
        while True:
            match = _KEY.match(self.text, self.at)
            if match is None:
                raise ScanError(f"no key at {self.at}")
            parts.append(_unquoted(match[0]))
            self.at = match.end()
            dot = re.compile(r"[ \t]*\.[ \t]*").match(self.text, self.at)
            if dot is None:
                return parts
            self.at = dot.end()

    def value(self, path: Path) -> None:
        """Move over a value, noting what stands in it."""
        sign = self.text[self.at : self.at + 1]
        if sign in {'"', "'"}:
            match = _TEXT.match(self.text, self.at)
            if match is None:
                raise ScanError(f"text without an end at {self.at}")
            self.at = match.end()
        elif sign == "[":
            self.array(path)
        elif sign == "{":
            self.inline_table(path)
        else:
            self.skip(_PLAIN)

    def array(self, path: Path) -> None:
        """Move over `[ ... ]`."""
        self.expect("[")
        number = 0
        self.skip(_BLANK)
        while not self.text.startswith("]", self.at):
            self.lines[*path, number] = self.line(self.at)
            self.value((*path, number))
            number += 1
            self.skip(_BLANK)
            if not self.text.startswith(",", self.at):
                break
            self.at += 1
            self.skip(_BLANK)
        self.expect("]")

    def inline_table(self, path: Path) -> None:
        """Move over `{ ... }`."""
        self.expect("{")
        self.skip(_BLANK)
        while not self.text.startswith("}", self.at):
            self.pair(path)
            self.skip(_BLANK)
            if not self.text.startswith(",", self.at):
                break
            self.at += 1
            self.skip(_BLANK)
        self.expect("}")


def _unquoted(key: str) -> str:
    """Return the key a bare or quoted one stands for."""
    if key[0] == "'":
        return key[1:-1]
    if key[0] != '"':
        return key
    if "\\" not in key:
        return key[1:-1]
    try:
        value: str = tomllib.loads(f"key = {key}")["key"]
    except tomllib.TOMLDecodeError as error:
        raise ScanError(str(error)) from None
    return value


def positions(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every table, key and element of a TOML text.

    Raises:
        ScanError: The text is no TOML.
    """
    scan = _Scan(text)
    scan.document()
    return scan.lines


def written_twice(text: str) -> list[tuple[Path, int, int]]:
    """Return each key that stands twice, with the lines of the first and the second."""
    scan = _Scan(text)
    with suppress(ScanError):
        scan.document()
    return [(path, scan.lines[path], line) for path, line in scan.twice if path in scan.lines]


def line_of(path: Path, known: dict[Path, int]) -> int | None:
    """Return the line of the path, or of the nearest parent that stands in the file."""
    while path and path not in known:
        path = path[:-1]
    return known.get(path)
