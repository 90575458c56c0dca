"""The calendars of one small job, byte by byte.

After a wanted change look at the difference, then write them anew with
`python -m tests.golden.test_ics`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.exchange.calendar_file import calendar_bytes
from readiness.questions.letters import letters
from tests.exchange.rfc_lines import complaints
from tests.golden.small_job import SMALL_JOB

FOLDER = Path(__file__).parent / "alder_street_ics"


def calendars() -> dict[str, bytes]:
    answer = letters(desk_of(SMALL_JOB, Path("job.toml")).case())
    return {letter.file: calendar_bytes(letter, answer) for letter in answer.letters}


def test_every_calendar_is_kept() -> None:
    assert sorted(calendars()) == sorted(path.name for path in FOLDER.iterdir())


@pytest.mark.parametrize("path", sorted(FOLDER.iterdir()), ids=lambda path: path.name)
def test_a_calendar_is_as_kept(path: Path) -> None:
    assert calendars()[path.name].decode() == path.read_bytes().decode()


@pytest.mark.parametrize("path", sorted(FOLDER.iterdir()), ids=lambda path: path.name)
def test_a_kept_calendar_has_no_complaint(path: Path) -> None:
    """Line ends too: a checkout that changes them is noticed here."""
    assert complaints(path.read_bytes()) == []


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, content in calendars().items():
        (FOLDER / name).write_bytes(content)
