"""The commands printed in the documentation, read from it and run as a reader would run them.

A block fenced as `console` holds lines that begin with `$ ` and, below each, what it prints; a line
of three dots stands for anything; a command with nothing below it may print what it likes. A block
fenced as `toml FILE` is that file, as the reader would have typed it by then.
Invariant: the steps of one page run in one folder, in order, so a page works for its reader too.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.conftest import ROOT

MODULE = ("-m", "readiness")
PROMPT = "$ "
ANYTHING = "..."
FENCE = re.compile(r"^(?P<fence>`{3,})(?P<info>[^`]*)$")


@dataclass(frozen=True)
class Command:
    """One `$ ` line of a page and what stands below it."""

    line: int
    words: str
    printed: tuple[str, ...]


@dataclass(frozen=True)
class TypedFile:
    """One file that the page asks its reader to write."""

    line: int
    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Ran:
    """What a command really printed (both streams, as on a terminal) and how it ended."""

    printed: tuple[str, ...]
    exit_code: int


Step = Command | TypedFile


def blocks_of(text: str) -> list[tuple[int, str, list[str]]]:
    """Return each fenced block as the line of its fence (from 1), what it is, and its lines."""
    blocks: list[tuple[int, str, list[str]]] = []
    fence = ""
    for number, line in enumerate(text.splitlines(), start=1):
        match = FENCE.match(line)
        if not fence and match:
            fence = match["fence"]
            blocks.append((number, match["info"].strip(), []))
        elif fence and line.strip() == fence:
            fence = ""
        elif fence:
            blocks[-1][2].append(line)
    return blocks


def steps_of(text: str) -> list[Step]:
    """Return what the page's reader does, in order."""
    steps: list[Step] = []
    for number, info, lines in blocks_of(text):
        kind, _, name = info.partition(" ")
        if kind == "toml" and name:
            steps.append(TypedFile(number, name, tuple(lines)))
        elif kind == "console":
            steps.extend(_commands_of(number, lines))
    return steps


def _commands_of(fence_line: int, lines: list[str]) -> list[Command]:
    commands: list[Command] = []
    for number, line in enumerate(lines, start=fence_line + 1):
        if line.startswith(PROMPT):
            commands.append(Command(number, line.removeprefix(PROMPT), ()))
        else:
            last = commands.pop()
            commands.append(Command(last.line, last.words, (*last.printed, line)))
    return commands


def own_part_of(words: str) -> str:
    """Return what the command asks `readiness`, without what sets the machine up before it."""
    *_, last = words.split(" && ")
    return last.replace(".venv/bin/readiness", "readiness")


def can_run(words: str) -> bool:
    """Say whether a test can run the command: the terminal screen and the suite itself it can't."""
    asked = shlex.split(own_part_of(words))
    return "pytest" not in asked and asked[:2] != ["readiness", "open"]


class Reader:
    """Somebody who follows one page in a folder that holds the sample jobs."""

    def __init__(self, folder: Path, started: Sequence[str] = (sys.executable, *MODULE)) -> None:
        """Take the folder, and the words that start the program.

        `started` of the tests stands for the program too, and is quicker.
        """
        self.folder = folder
        self.start = shlex.join(started)
        self.exit_code = 0
        shutil.copytree(ROOT / "sample_jobs", folder / "sample_jobs", dirs_exist_ok=True)

    def types(self, file: TypedFile) -> None:
        """Write the file the page shows."""
        target = self.folder / file.name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text("\n".join(file.lines) + "\n", encoding="utf-8")

    def runs(self, command: Command) -> Ran:
        """Run the command; `echo $?` tells how the one before it ended, as in a shell."""
        shell = (
            f'readiness() {{ {self.start} "$@"; }}\n'
            f"(exit {self.exit_code})\n"
            f"{own_part_of(command.words)}"
        )
        result = subprocess.run(
            ["bash", "-c", shell],
            cwd=self.folder,
            env={
                **os.environ,
                "PYTHONPATH": str(ROOT),
                "COLUMNS": "80",
                "XDG_STATE_HOME": str(self.folder / ".state"),
            },
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            check=False,
            timeout=120,
        )
        self.exit_code = result.returncode
        return Ran(tuple(line.rstrip() for line in result.stdout.splitlines()), result.returncode)


def agrees(shown: tuple[str, ...], printed: tuple[str, ...]) -> bool:
    """Say whether what the page shows is what was printed."""
    pattern = "".join(
        r"(?:[^\n]*\n)*" if line.strip() == ANYTHING else re.escape(line.rstrip()) + r"\n"
        for line in shown
    )
    return re.fullmatch(pattern, "".join(f"{line}\n" for line in printed)) is not None


def told_exit_code(steps: list[Step], number: int) -> int | None:
    """Return the exit code that the page prints for the command, if it asks for it next."""
    following = steps[number + 1] if number + 1 < len(steps) else None
    if isinstance(following, Command) and following.words == "echo $?":
        return int(following.printed[0])
    return None
