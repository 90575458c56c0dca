"""What is wrong with a file: every problem at once, by line, with what was read and what is wanted.

Invariant: a problem is told in our own words; the error of a file holds its problems sorted by
line, each once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

NEAR_ENOUGH = 0.72
"""Share of equal letters from which on a known word is proposed."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with a file."""

    file: str
    line: int | None
    """Counted from 1; None for the file as a whole."""
    key: str
    """Path of keys with dots; empty for the file as a whole or a line that can't be read."""
    what: str
    """What is wrong, as a sentence fragment."""
    read: str = ""
    """What was read, as it would be typed."""
    wanted: str = ""
    """What the place wants, as a noun with its article."""
    hint: str = ""
    """What to do, as a sentence fragment."""

    def __str__(self) -> str:
        at = self.file if self.line is None else f"{self.file}:{self.line}"
        wanted = f"wanted {self.wanted}" if self.wanted and self.wanted not in self.what else ""
        told = [self.what, wanted, self.hint]
        sentence = "; ".join(part for part in told if part)
        return f"{at}: {self.key}: {sentence}" if self.key else f"{at}: {sentence}"


class JobFileError(Exception):
    """A job file that can't be used, with all its problems."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Sort the problems by line and drop doubles."""
        once = dict.fromkeys(problems)
        self.problems = tuple(
            sorted(once, key=lambda problem: (problem.file, problem.line or 0, problem.key))
        )
        super().__init__("\n".join(str(problem) for problem in self.problems))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that is most alike, if one is near enough."""
    from difflib import get_close_matches

    by_folded = {one.casefold(): one for one in sorted(known, reverse=True)}
    found = get_close_matches(word.casefold(), sorted(by_folded), n=1, cutoff=NEAR_ENOUGH)
    return by_folded[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return the hint that proposes the nearest known word, or nothing."""
    near = nearest(word, known)
    return f"did you mean {near}?" if near else ""
