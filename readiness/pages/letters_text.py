"""The answer of `send` as text: what was written for whom, then what nobody has dated.

Invariant: one line per file; everything without an entry is told with its reason.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readiness.pages.moments import told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.questions.letters import Letter, LettersAnswer, Unsent
    from readiness.telling.calendar_entries import Entry
    from readiness.telling.changes import Change
    from readiness.telling.teller import Who

WIDTH = 96


def letters_text(answer: LettersAnswer, folder: str, *, show: bool = False) -> str:
    """Return the answer as text.

    Args:
        answer: The answer.
        folder: Where the files are; empty if nothing was written.
        show: Tell every entry too.
    """
    year = answer.as_of.year
    lines = [f"{answer.job}: as of {told(answer.as_of)} ({answer.time_zone})"]
    lines += _files(answer, folder)
    if show:
        lines += [line for letter in answer.letters for line in _letter(letter, year)]
    if answer.warnings:
        lines += ["", "Settle these first:"]
        lines += [line for warning in answer.warnings for line in _wrapped(warning, "  ")]
    lines += _unsent(answer.unsent)
    return "\n".join(lines) + "\n"


def changes_text(answer: LettersAnswer) -> str:
    """Return what has changed since the last sending, one recipient under another."""
    year = answer.as_of.year
    lines = [f"{answer.job}: as of {told(answer.as_of)} ({answer.time_zone})"]
    if answer.since is None:
        lines.append("nothing was sent before: everything is new")
    elif not answer.changes:
        lines.append(f"nothing has changed since {told(answer.since, year)}")
    else:
        lines.append(f"changed since {told(answer.since, year)}:")
    by_who: dict[Who, list[Change]] = {}
    for change in answer.changes:
        by_who.setdefault(change.who, []).append(change)
    for who, changes in by_who.items():
        lines += ["", _named(who)]
        lines += [line for change in changes for line in _wrapped(change.says, "  ")]
    if answer.held_back:
        count = len(answer.held_back)
        moves = "1 move" if count == 1 else f"{count} moves"
        lines += ["", f"{moves} of less than half a day not told; --every-move tells them"]
    if answer.warnings:
        lines += ["", "Settle these first:"]
        lines += [line for warning in answer.warnings for line in _wrapped(warning, "  ")]
    return "\n".join(lines) + "\n"


def _files(answer: LettersAnswer, folder: str) -> Iterable[str]:
    if not answer.letters:
        yield "nothing to send: nothing has an agreed or booked date"
        return
    count = len(answer.letters)
    noun = "calendar" if count == 1 else "calendars"
    yield f"wrote {count} {noun} to {folder}:" if folder else f"{count} {noun}, nothing written:"
    longest = max(len(letter.file) for letter in answer.letters)
    for letter in answer.letters:
        entries = len(letter.entries)
        noun = "entry  " if entries == 1 else "entries"
        yield f"  {letter.file:<{longest}}  {entries:>3} {noun}  {_named(letter.who)}"


def _named(who: Who) -> str:
    return f"{who.name}, {who.phone or 'no phone written'}"


def _letter(letter: Letter, year: int) -> Iterable[str]:
    yield ""
    yield f"{letter.file}: {_named(letter.who)}"
    for entry in letter.entries:
        yield from _entry(entry, year)


def _entry(entry: Entry, year: int) -> Iterable[str]:
    same_day = entry.starts.date() == entry.ends.date()
    ends = f"{entry.ends:%H:%M}" if same_day else told(entry.ends, year)
    yield f"  {told(entry.starts, year)} to {ends}, {entry.standing}"
    yield from _wrapped(entry.title, "    ")
    for line in entry.says:
        yield from _wrapped(line, "      ")


def _unsent(unsent: Iterable[Unsent]) -> Iterable[str]:
    by_who: dict[tuple[Who, str], list[str]] = {}
    for one in unsent:
        by_who.setdefault((one.who, one.reason), []).append(one.title)
    for number, ((who, reason), titles) in enumerate(by_who.items()):
        if number == 0:
            yield ""
        yield f"not sent: {reason}: {_named(who)}"
        yield from _wrapped("; ".join(titles), "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")
