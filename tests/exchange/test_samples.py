"""Every sample job sends calendars that a strict reader takes."""

from __future__ import annotations

from pathlib import Path

import pytest

from readiness.desk.desk import open_desk
from readiness.exchange.calendar_file import calendar_bytes
from readiness.questions.letters import letters
from tests.conftest import ROOT
from tests.exchange.rfc_lines import complaints, read, unescaped

SAMPLES = sorted(path.parent for path in (ROOT / "sample_jobs").glob("*/job.toml"))


def test_there_are_samples() -> None:
    assert len(SAMPLES) >= 5


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_a_sample_sends_calendars_without_a_complaint(sample: Path) -> None:
    answer = letters(open_desk(sample).case())
    assert answer.letters[-1].file == "contractor.ics"
    for letter in answer.letters:
        content = calendar_bytes(letter, answer)
        assert complaints(content) == [], letter.file
        for event in read(content).components:
            if event.name == "VEVENT":
                words = unescaped(event.first("SUMMARY").value + event.first("DESCRIPTION").value)
                assert "safe" not in words.lower()
                assert "no date" not in words
