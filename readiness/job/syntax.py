"""Reads TOML and, where it is none, says on which lines and how each is written.

Invariant: a text that `tomllib` reads is never refused here, a limit of nesting aside; a text that
it does not read is told by lines, each with the hint that fits what people usually typed.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

from readiness.job.positions import written_twice
from readiness.job.problems import JobFileError, Problem
from readiness.job.written import shown

MOST_PROBLEMS = 20
MOST_LEVELS = 30

_AT_LINE = re.compile(r" \(at line ([0-9]+), column ([0-9]+)\)$")
_AT_END = " (at end of document)"
_STATEMENT = re.compile(r"""\s*(?:[\w."' -]+?\s*[=:]|\[)""")

_HINTS = (
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


def read_toml(text: str, file_name: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises:
        JobFileError: It is no TOML; every line that is wrong on its own is told.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise JobFileError(_all_problems(text, file_name)) from None
    except (RecursionError, ValueError):
        raise JobFileError([_unreadable(file_name)]) from None
    if _levels(data) > MOST_LEVELS:
        raise JobFileError([_unreadable(file_name)])
    return data


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


def _all_problems(text: str, file_name: str) -> list[Problem]:
    """Return one problem per wrong line.

    The parser stops at the first; a line that is wrong on its own is blanked and the rest read
    again, so that all of them are told at once.
    """
    problems = [
        _twice(file_name, path, first, second) for path, first, second in written_twice(text)
    ]
    told = {problem.line for problem in problems}
    lines = text.replace("\r\n", "\n").split("\n")
    for _ in range(MOST_PROBLEMS):
        try:
            tomllib.loads("\n".join(lines))
        except tomllib.TOMLDecodeError as error:
            at = _line_at(error, lines)
            if at not in told:
                problems.append(_syntax_problem(file_name, lines, at, str(error)))
                told.add(at)
            if not _stands_alone(lines[at - 1]):
                break
            lines[at - 1] = ""
        except (RecursionError, ValueError):
            problems.append(_unreadable(file_name))
            break
        else:
            break
    return problems


def _line_at(error: tomllib.TOMLDecodeError, lines: list[str]) -> int:
    """Return the line an error of the parser names, or the last one that holds something."""
    match = _AT_LINE.search(str(error))
    if match:
        return _start_of(int(match[1]), int(match[2]), lines)
    return max((number for number, line in enumerate(lines, 1) if line.strip()), default=1)


def _start_of(line: int, column: int, lines: list[str]) -> int:
    """Return the line itself, or the one before where the parser stumbled over its line end."""
    if column == 1 and line > 1 and not _STATEMENT.match(lines[line - 1]):
        return line - 1
    return line


def _stands_alone(line: str) -> bool:
    """Say whether blanking the line takes away one whole statement and nothing else."""
    return (
        _STATEMENT.match(line) is not None
        and '"""' not in line
        and "'''" not in line
        and line.count("[") <= line.count("]")
        and line.count("{") <= line.count("}")
    )


def _twice(file_name: str, path: tuple[str | int, ...], first: int, second: int) -> Problem:
    key = ".".join(str(part) for part in path)
    what = f"stands in the file twice, first on line {first}"
    return Problem(file_name, second, key, what, hint="keep one of them")


def _syntax_problem(file_name: str, lines: list[str], at: int, message: str) -> Problem:
    """Return the problem of one line, with the hint that fits it."""
    line = lines[at - 1]
    hint = next((hint for pattern, hint in _HINTS if re.search(pattern, line)), "")
    hidden = next((sign for sign in line if not sign.isprintable() and sign != "\t"), None)
    if hidden is not None:
        hint = f"it holds U+{ord(hidden):04X}, a sign nobody sees; take it out"
    if not hint:
        reason = _AT_LINE.sub("", message).removesuffix(_AT_END)
        hint = f"the reader says: {reason}"
    what = f"this line can't be read: {shown(line.strip())}"
    return Problem(file_name, at, "", what, read=shown(line.strip()), hint=hint)
