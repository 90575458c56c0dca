"""The tutorial stays short enough to be followed standing up.

Invariant: what is counted is what its reader types, from the page itself.
"""

from __future__ import annotations

from tests.conftest import ROOT
from tests.docs.commands import Command, TypedFile, steps_of

TEXT = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")
MOST_COMMANDS = 8
MOST_LINES = 25


def counted(text: str) -> tuple[int, int]:
    """Return the commands of the page, and the lines typed up to the first verdict."""
    steps = steps_of(text)
    commands = [s for s in steps if isinstance(s, Command) and not s.words.startswith("echo $?")]
    first = next(n for n, s in enumerate(steps) if isinstance(s, Command) and " check " in s.words)
    lines = sum(
        len(step.lines) if isinstance(step, TypedFile) else 1 for step in steps[: first + 1]
    )
    return len(commands), lines


def test_the_first_calendar_takes_few_commands_and_the_first_verdict_few_lines() -> None:
    commands, lines = counted(TEXT)
    assert 0 < commands <= MOST_COMMANDS
    assert 0 < lines <= MOST_LINES


def test_it_goes_from_a_file_of_ones_own_to_a_calendar() -> None:
    steps = steps_of(TEXT)
    assert isinstance(steps[0], TypedFile)
    assert isinstance(steps[-1], Command)
    assert " send " in steps[-1].words


def test_a_longer_page_is_noticed() -> None:
    longer = "```toml job.toml\n" + "# more\n" * MOST_LINES + "```\n\n" + TEXT
    assert counted(longer)[1] > MOST_LINES
