"""Reads TOML and, where it is none, says on which lines and how each is written.

Invariant: a text that `tomllib` reads is never refused here, a limit of nesting aside; a text that
it does not read is told by lines, each with the hint that fits what people usually typed.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from readiness.job.lines import key_text
from readiness.job.positions import written_twice
from readiness.job.problems import JobFileError, Problem
from readiness.job.written import shown

MOST_PROBLEMS = 20
MOST_LEVELS = 30
MOST_LINES_OF_A_PAIR = 50

_AT_LINE = re.compile(r" \(at line ([0-9]+), column ([0-9]+)\)$")
_TWICE = re.compile(r"Cannot (?:overwrite|declare|mutate)")
_OPEN_TEXT = ("Unterminated string", "Expected \"'''\"")
_LONG_TEXT = re.compile(r"\"{3}|'{3}")
_AT_END = " (at end of document)"
_PAIR = re.compile(r"""\s*[\w."' -]+?\s*[=:]""")
_HEADER = re.compile(r"\s*\[")

_HINTS = (
    (r"=\s*(?:\"{3}|'{3})", "the three closing quotes are missing"),
    (r"[“”„‟‘’‚‛″′]", 'curly quotes are no quotes here; type the straight " of the keyboard'),
    (
        r"=\s*\"[^\"]*[0-9]\"\"(?!\")",
        "an inch mark ends the text; write in, or put the text between single quotes: '3-1/2\"'",
    ),
    (r"=\s*[0-9]{1,4}/[0-9]{1,2}/[0-9]{1,4}", "a date is written year-month-day: 2026-05-04"),
    (r"=\s*[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4}", "a date is written year-month-day: 2026-05-04"),
    (
        r"=\s*[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{1,2}:[0-9]{2}(?!:?[0-9])",
        "a time after a day has seconds: 2026-05-07T09:00:00",
    ),
    (
        r"=\s*[0-9]{4}-[0-9]-|=\s*[0-9]{4}-[0-9]{2}-[0-9](?![0-9])",
        "month and day have two digits: 2026-05-04",
    ),
    (r"=\s*[0-9]{4}-[0-9]{2}-[0-9]{2}", "there is no such day; look at month and day again"),
    (r"=\s*[0-9]{1,2}:[0-9]{2}", 'a time of day is text: put it between quotes, "07:30"'),
    (r"=\s*(?:yes|on|True|TRUE|Yes|YES)\b", "yes is written true"),
    (r"=\s*(?:no|off|False|FALSE|No|NO)\b", "no is written false"),
    (r"=\s*[-+]?[0-9][^\"'\[{#]*[^\W\d_%°]", 'a quantity is text: put it between quotes, "5.5 in"'),
    (r"=\s*[-+]?[0-9.]+\s*[%°\"']", 'a quantity is text: put it between quotes, "18 %"'),
    (
        r"=\s*0[0-9]+\s*(?:#|$)",
        "a number does not begin with 0; if it is a name, put it between quotes",
    ),
    (r"\{[^}]*,\s*\}", "no comma before the closing brace"),
    (r"\{[^}]*$", "a table in braces stands on one line; else begin it with a line [table]"),
    (r"=\s*\"[^\"]*$", "the closing quote is missing"),
    (r"=\s*(?:#|$)", "the value is missing"),
    (
        r"=\s*\"[^\"]*\\",
        "a backslash in text is written twice, or put the text between single quotes",
    ),
    (r"=\s*[^\W\d_]", 'words are text: put them between quotes, "kitchen"'),
    (r"^\s*\[+[^\]]*$", "the closing bracket is missing"),
    (r"^\s*[\w-]+\s*:", "between a key and its value stands =, not a colon"),
    (r"^\s*[\w-]+(?:\s+[\w-]+)+\s*=", "a key of several words is joined with -, e.g. bath-1"),
    (r"^[^=]*$", "a line is KEY = VALUE, [TABLE] or # remark"),
    (r"[\"'\]}\w]\s+[\w\"'{\[]", "a comma or a line break is missing"),
)
"""What people type, as patterns of the line, and how it is written; the first that fits is told."""


@dataclass(frozen=True, slots=True)
class Toml:
    """What could be read of a TOML text."""

    data: dict[str, Any]
    text: str
    """The text that was read: lines that can't be read are blank in it."""
    problems: tuple[Problem, ...]
    """One for each such line; none if all of it was read."""


def read_toml(text: str, file_name: str) -> Toml:
    """Return the tables of a TOML text, and a problem for every line that is wrong on its own.

    The parser stops at the first; a wrong line is blanked and the rest read again, so that all of
    them are told at once, together with what is wrong in the rest.

    Raises:
        JobFileError: Nothing of it can be read, or not without guessing.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return _without_wrong_lines(text, file_name)
    except (RecursionError, ValueError):
        raise JobFileError([_unreadable(file_name)]) from None
    if _levels(data) > MOST_LEVELS:
        raise JobFileError([_unreadable(file_name)])
    return Toml(data, text, ())


def _unreadable(file_name: str) -> Problem:
    what = "brackets stand in one another too deeply, or a number is far too long"
    return Problem(file_name, None, "", what, wanted="a job file")


def _levels(value: object) -> int:
    """Return how deeply tables and lists stand in one another, counted no further than needed."""
    deepest = 0
    waiting: list[tuple[object, int]] = [(value, 1)]
    while waiting and deepest <= MOST_LEVELS:
        one, level = waiting.pop()
        deepest = max(deepest, level)
        if isinstance(one, dict):
            waiting.extend((inner, level + 1) for inner in one.values())
        elif isinstance(one, list):
            waiting.extend((inner, level + 1) for inner in one)
    return deepest


def _without_wrong_lines(text: str, file_name: str) -> Toml:
    """Return what can be read once every wrong line is blank."""
    problems: list[Problem] = []
    lines = text.replace("\r\n", "\n").split("\n")
    for _ in range(MOST_PROBLEMS):
        rest = "\n".join(lines)
        try:
            return Toml(tomllib.loads(rest), rest, tuple(problems))
        except tomllib.TOMLDecodeError as error:
            problem = _problem_of(error, lines, file_name)
        except (RecursionError, ValueError):
            problems.append(_unreadable(file_name))
            break
        problems.append(problem)
        first = (problem.line or 1) - 1
        last = _end_of_statement(lines, first)
        if last is None:
            break
        lines[first:last] = [""] * (last - first)
    raise JobFileError(problems)


def _problem_of(error: tomllib.TOMLDecodeError, lines: list[str], file_name: str) -> Problem:
    """Return the problem of the line at which the parser stopped."""
    if _TWICE.match(str(error)):
        for path, first, second in written_twice("\n".join(lines)):
            what = f"stands in the file twice, first on line {first}"
            return Problem(file_name, second, key_text(path), what, hint="keep one of them")
        at = _line_at(error, lines)
        what = f"this line can't be read: {shown(lines[at - 1].strip())}"
        hint = "what stands between braces is complete; write it inside them"
        return Problem(file_name, at, "", what, hint=hint)
    return _syntax_problem(file_name, lines, _line_at(error, lines), str(error))


def _line_at(error: tomllib.TOMLDecodeError, lines: list[str]) -> int:
    """Return the line an error of the parser names, or the last one that holds something."""
    match = _AT_LINE.search(str(error))
    if str(error).startswith(_OPEN_TEXT):
        return max(number for number, line in enumerate(lines, 1) if _LONG_TEXT.search(line))
    if match:
        return _start_of(int(match[1]), int(match[2]), lines)
    return max((number for number, line in enumerate(lines, 1) if line.strip()), default=1)


def _start_of(line: int, column: int, lines: list[str]) -> int:
    """Return the line itself, or the one before where the parser stumbled over its line end."""
    if (
        column == 1
        and line > 1
        and not (_PAIR.match(lines[line - 1]) or _HEADER.match(lines[line - 1]))
    ):
        return line - 1
    return line


def _end_of_statement(lines: list[str], first: int) -> int | None:
    """Return the index after the last line of what begins on a line; None if that is not known.

    A header is never taken away: what follows it would land in another table.
    """
    if _HEADER.match(lines[first]):
        return None
    depth = 0
    for index in range(first, min(first + MOST_LINES_OF_A_PAIR, len(lines))):
        line = lines[index]
        if _LONG_TEXT.search(line):
            return None
        depth += sum(line.count(sign) for sign in "[{") - sum(line.count(sign) for sign in "]}")
        if depth <= 0:
            return index + 1
    return None


def _syntax_problem(file_name: str, lines: list[str], at: int, message: str) -> Problem:
    """Return the problem of one line, with the hint that fits it."""
    line = lines[at - 1]
    hint = next((hint for pattern, hint in _HINTS if re.search(pattern, line)), "")
    if message.startswith("Unclosed array"):
        hint = "between the elements of a list stand commas, after the last one ]"
    hidden = next((sign for sign in line if not sign.isprintable() and sign != "\t"), None)
    if hidden is not None:
        hint = f"it holds U+{ord(hidden):04X}, a sign nobody sees; take it out"
    if not hint:
        reason = _AT_LINE.sub("", message).removesuffix(_AT_END)
        hint = f"the reader says: {reason}"
    what = f"this line can't be read: {shown(line.strip())}"
    return Problem(file_name, at, "", what, read=shown(line.strip()), hint=hint)
