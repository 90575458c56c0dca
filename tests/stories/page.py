"""Makes the page that tells the fortnight, from the very script that the test replays.

Run `python -m tests.stories.page` to write it anew; read the difference before committing it.

Invariant: every line of output on the page was printed by the command above it.
"""

from __future__ import annotations

import shlex
import tempfile
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from tests.conftest import ROOT
from tests.stories.replay import Seen, Step, copied, run, story

if TYPE_CHECKING:
    from collections.abc import Iterable

PAGE = ROOT / "docs" / "explanation" / "a-fortnight.md"
FOLDER = "addition"

LEAD = """# A fortnight

<!-- made by: python -m tests.stories.page -->

What the diary does to the answer, told on the addition among the samples: a failed look, an \
approval for part of the work, a storm, a change after the approval, a stop, an override, foam in \
two goes, a touch-up and a release that was asked for too soon.
Firms and people are invented.

The job file never changes; everything that happens is one line in the diary.
Each command stands at the clock it names, so you can follow it word by word on a copy:

```text
$ mkdir addition && cp sample_jobs/garden-room-addition/job.toml addition/
```
"""

LONGEST_SCRAP = 12
"""A line no longer than this is a scrap of a wrapped one, and shows nothing."""

MARKS = ("[=]", "[-]", "[~]", "<..", "..>", ">.<", "###", "!!!", "|||")


def page(replayed: Iterable[tuple[Step, Seen]]) -> str:
    """Return the page, from a replay."""
    lines = [LEAD]
    day = ""
    for step, seen in replayed:
        heading = f"{_moment(step):%A} {_moment(step).day} {_moment(step):%B}"
        if heading != day:
            day = heading
            lines += [f"## {day}", ""]
        lines += _told(step, seen)
    return "\n".join(lines).rstrip() + "\n"


def _moment(step: Step) -> datetime:
    return datetime.fromisoformat(step.at)


def _told(step: Step, seen: Seen) -> Iterable[str]:
    if step.tells:
        yield step.tells.strip()
        yield ""
    yield "```text"
    yield f"$ {_typed(step)}"
    yield from _shown(step, seen)
    yield "```"
    yield ""


def _typed(step: Step) -> str:
    """Return the command as a reader would type it."""
    words = step.run.replace("JOB", FOLDER)
    typed = f'readiness {words} --as-of "{step.at}"'
    if step.by:
        typed += f' --writer "{step.by}"'
    if not step.message:
        return typed
    said = " ".join(shlex.quote(line) for line in step.message.strip().splitlines())
    return f"printf '%s\\n' {said} | {typed}"


def _shown(step: Step, seen: Seen) -> Iterable[str]:
    """Yield the lines of the output that matter here; what lies between is dots."""
    was_left_out = False
    for line in seen.printed.splitlines():
        if _matters(line, step.prints):
            if was_left_out:
                yield "..."
            yield line
            was_left_out = False
        else:
            was_left_out = True
    if was_left_out:
        yield "..."


def _matters(line: str, prints: str) -> bool:
    plain = " ".join(line.split())
    if prints and (prints in plain or (len(plain) > LONGEST_SCRAP and plain in prints)):
        return True
    return line.startswith(("Error:", "verdict:", *MARKS)) or " -> " in line


def main() -> None:
    """Write the page."""
    told = story()
    with tempfile.TemporaryDirectory() as folder:
        job = copied(told.sample, Path(folder))
        text = page((step, run(step, job)) for step in told.steps)
    PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
