"""Jobs between foam and board: the small one and a sample, sprayed, cleaned and released.

Invariant: their clocks stand, and nothing of the foam has been looked at yet.
"""

from __future__ import annotations

from tests.conftest import ROOT
from tests.screens.small_job import TEXT

ROW = """first = { agreed = 2026-05-11T07:00:00, surfaces = "all", lasts = "1 d", \
arrived = 2026-05-11T07:00:00, sprayed = "all", last_foam = 2026-05-11T14:00:00, \
cleaned = 2026-05-11T15:00:00, ventilated = true, released = 2026-05-12T15:30:00, \
released_by = "Ines Ferro" }

[requirements]
bond-holds = {}
foam-sound = {}
depth-proven = {}
faces-clean = {}

[depth]
means = "average with tolerance"
tolerance = "0.5 in"
"""

SAMPLE = ROOT / "sample_jobs" / "garden-room-addition" / "job.toml"


def sprayed(text: str = TEXT) -> str:
    """Return the small job two days after its spray; the wiring was done in time."""
    row = 'first = { agreed = 2026-05-11T07:00:00, surfaces = "all", lasts = "1 d" }\n'
    assert row in text
    return (
        text.replace(row, ROW)
        .replace("as_of = 2026-05-04T06:30:00", "as_of = 2026-05-13T09:00:00")
        .replace("board = 2026-05-21\n", 'board = 2026-05-21\ndone = ["wiring", "drains"]\n')
        .replace('cavity = "5.5 in"', 'cavity = "5.5 in", depth = "3 in"')
        .replace('cavity = "9.25 in"', 'cavity = "9.25 in", depth = "6 in"')
    )


def sprayed_sample() -> str:
    """Return a sample the day after its spray."""
    sheet = 'sheet = "data sheet 1/2026, as sent by High Plains Spray" }\n\n[answers]'
    text = SAMPLE.read_text(encoding="utf-8")
    assert sheet in text
    said = (
        "arrived = 2026-08-27T07:30:00, sprayed = 'all', last_foam = 2026-08-27T14:00:00,"
        " cleaned = 2026-08-27T15:00:00, ventilated = true, released = 2026-08-28T15:30:00,"
        " released_by = 'Ines Ferro' }\n\n[answers]"
    )
    return text.replace(sheet, sheet.replace(" }\n\n[answers]", f", {said}")).replace(
        "as_of   = 2026-08-24T07:00:00", "as_of   = 2026-08-28T16:30:00"
    )
