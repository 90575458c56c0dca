"""Writes what the commands print today into the pages that show it: `python -m tests.docs.refresh`.

Invariant: only the lines below a command that already shows an output change; read the difference
before it is committed, because the pages are a golden file like any other.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.conftest import ROOT
from tests.docs.commands import ANYTHING, Command, Reader, blocks_of, can_run, steps_of
from tests.docs.test_commands import PAGES


def refreshed(text: str) -> str:
    """Return the page with every shown output as it is printed now."""
    lines = text.splitlines()
    with tempfile.TemporaryDirectory() as folder:
        reader = Reader(Path(folder))
        changes: list[tuple[int, int, tuple[str, ...]]] = []
        for step in steps_of(text):
            if not isinstance(step, Command):
                reader.types(step)
            elif can_run(step.words):
                ran = reader.runs(step)
                shown = step.printed
                if shown and ANYTHING not in shown:
                    changes.append((step.line, len(shown), ran.printed))
                elif shown and shown.index(ANYTHING) == len(shown) - 1:
                    first = len(shown) - 1
                    changes.append((step.line, first, ran.printed[:first]))
                changes.extend(_block_shown_apart(text, step, ran.printed))
    for line, old_length, printed in sorted(changes, reverse=True):
        lines[line : line + old_length] = printed
    return "\n".join(lines) + "\n"


def _block_shown_apart(
    text: str, step: Command, printed: tuple[str, ...]
) -> list[tuple[int, int, tuple[str, ...]]]:
    """Return the change to the text block of README.md that shows its first command's answer."""
    if " && " not in step.words:
        return []
    apart = [
        (number, len(lines), printed)
        for number, kind, lines in blocks_of(text)
        if number > step.line and kind == "text"
    ]
    return apart[:1]


def main() -> None:
    """Refresh every page and name the ones that changed."""
    for page in PAGES:
        if not page.exists():
            continue
        old = page.read_text(encoding="utf-8")
        new = refreshed(old)
        if new != old:
            page.write_text(new, encoding="utf-8")
            sys.stdout.write(f"{page.relative_to(ROOT)}\n")


if __name__ == "__main__":
    main()
