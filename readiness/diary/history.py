"""The whole diary in one order, and what of it was known at a moment.

Years of a busy site are read for one verdict, so lines are told apart by a look at their raw
content first, and only those that can still matter are read in full.

Invariant: the diary as of a moment is the diary cut at that moment: nothing recorded later plays
any part.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from operator import itemgetter

from readiness.diary.counting import corrected, may_correct, still_counting
from readiness.diary.entries import AnyEntry
from readiness.diary.line import Line, read_in_full, seen_key, what_is_wrong, written_key
from readiness.job.origin import Origin
from readiness.job.problems import Problem

__all__ = ["History", "Line", "Noted", "history_of"]


@dataclass(frozen=True, slots=True)
class Noted:
    """One entry that still counts, and where it stands."""

    entry: AnyEntry
    origin: Origin
    name: str
    """As `writer#number`."""


@dataclass(frozen=True, slots=True)
class History:
    """All lines of a diary, oldest first by what was seen, then by when it was written."""

    lines: tuple[Line, ...]
    last_written: str = ""
    """The latest moment at which any of them was recorded, as `written_key` tells it."""

    def until(self, as_of: datetime, *, for_gates: bool = True) -> tuple[Noted, ...]:
        """Return the entries that count at a moment, oldest first.

        Args:
            as_of: Aware; entries written later are left out.
            for_gates: Leave out the kinds that no verdict reads.
        """
        return self.read_until(as_of, for_gates=for_gates)[0]

    def read_until(
        self, as_of: datetime, *, for_gates: bool = True
    ) -> tuple[tuple[Noted, ...], tuple[Problem, ...]]:
        """Return the entries that count at a moment, and what is wrong with others.

        A line that turns out to be no entry is left out as if it had never been, so that what it
        would have overtaken counts again.
        """
        limit = written_key(as_of.astimezone(UTC).isoformat())
        known = list(self.lines)
        if limit < self.last_written:
            known = [line for line in known if written_key(str(line.data["written"])) <= limit]
        kept = still_counting(known, corrected(known), for_gates=for_gates)
        read = [(line, read_in_full(line)) for line in kept]
        problems: tuple[Problem, ...] = ()
        if any(isinstance(entry, Problem) for _, entry in read):
            # A damaged diary is read whole, once: what a bad line hid may be as bad.
            whole = {id(line): (line, read_in_full(line)) for line in known}
            problems = tuple(entry for _, entry in whole.values() if isinstance(entry, Problem))
            good = [line for line, entry in whole.values() if not isinstance(entry, Problem)]
            read = [
                whole[id(line)]
                for line in still_counting(good, corrected(good), for_gates=for_gates)
            ]
        notes = (_noted(line, e) for line, e in read if not isinstance(e, Problem))
        return tuple(notes), problems

    def job_text(self, as_of: datetime) -> Line | None:
        """Return the last job file that was kept by a moment, or None if there was none yet."""
        limit = written_key(as_of.astimezone(UTC).isoformat())
        kept = [
            line
            for line in self.lines
            if line.data["kind"] == "job-file" and written_key(str(line.data["written"])) <= limit
        ]
        return max(kept, key=lambda line: written_key(str(line.data["written"])), default=None)


def history_of(lines: Iterable[Line]) -> tuple[History, tuple[Problem, ...]]:
    """Return the diary in its order, and what is wrong with single lines."""
    good: list[tuple[tuple[str, str, str, int], Line]] = []
    problems: list[Problem] = []
    names: dict[tuple[str, int], list[Line]] = {}
    correcting: list[Line] = []
    last_written = ""
    for line in lines:
        problem = what_is_wrong(line)
        if problem is not None:
            problems.append(problem)
            continue
        data = line.data
        name = (data["writer"], data["number"])
        twins = names.get(name)
        if twins is None:
            names[name] = [line]
        elif any(twin.data == data for twin in twins):
            continue
        else:
            what = f"entry {name[0]}#{name[1]} also stands in {twins[0].file}, with another content"
            hint = "both are kept; a second copy of the folder was written to"
            problems.append(Problem(line.file, line.line, "", what, hint=hint))
            twins.append(line)
        if data.get("replaces"):
            correcting.append(line)
        written = written_key(data["written"])
        last_written = max(last_written, written)
        good.append(((seen_key(data["seen"]), written, *name), line))
    good.sort(key=itemgetter(0))
    if correcting:
        by_name = {f"{writer}#{number}": found for (writer, number), found in names.items()}
        for line in correcting:
            problems += _wrongly_corrects(line, by_name)
    return History(tuple(line for _, line in good), last_written), tuple(problems)


def _wrongly_corrects(line: Line, by_name: Mapping[str, list[Line]]) -> Iterable[Problem]:
    """Yield what is wrong with a correction; the entry counts all the same."""
    name = str(line.data["replaces"])
    found = by_name.get(name)
    if not found:
        what = f"{name} stands in no file here"
        yield Problem(line.file, line.line, "replaces", what, name)
    elif not any(may_correct(line, each) for each in found):
        what = f"{name} is the word of {found[0].data['by']}; both count"
        yield Problem(line.file, line.line, "replaces", what, name)


def _noted(line: Line, entry: AnyEntry) -> Noted:
    name = f"{line.data['writer']}#{line.data['number']}"
    return Noted(entry, Origin(line.file, line.line, f"entry {name}"), name)
