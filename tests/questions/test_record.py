"""The closing record: promised and measured, who said so, what is missing, and nothing private."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.diary.kept import Picture
from readiness.pages.record_text import record_text
from readiness.questions.record import RecordAnswer, record
from tests.conftest import ROOT
from tests.diary.builders import said
from tests.gates.test_board import FILLED, GOOD, JOB, LOW, RELEASED, WEDNESDAY, depth, job

PICTURE = Picture("bath-01.jpg", ("bath.outer",), datetime(2026, 5, 13, 8), "Ada Moss")  # noqa: DTZ001  wall clock
SHEET = JOB.replace('lasts = "1 d"', 'lasts = "1 d", sheet = "sheet 4", keep_out = "24 h elapsed"')
CLOSED = SHEET.replace('depth = "3 in"', 'depth = "3 in", foam = "closed cell"')


def kept(*entries: dict[str, object], text: str = CLOSED, as_of: str = WEDNESDAY) -> RecordAnswer:
    """Return the record of the small job."""
    return record(job(*entries, text=text, as_of=as_of).case, [PICTURE])


def test_a_whole_record_is_a_yes() -> None:
    answer = kept(*RELEASED, *GOOD)
    assert (answer.is_yes, answer.missing) == (True, ())
    assert answer.sentence == "All 2 sprayed surfaces have passed."


def test_promised_and_measured_stand_side_by_side() -> None:
    line = kept(*RELEASED, *GOOD).surfaces[0]
    assert line.depth.agreed == "average 3 in with a tolerance of 0.5 in either side"
    assert line.readings_inches == (3.1, 3.0, 2.9)
    assert line.depth.outcome == "accept"
    assert (line.area_square_feet, line.foam, line.word) == (100.0, "closed cell", "passed")


def test_what_is_mended_stands_with_the_reading_of_the_mended_spot() -> None:
    again = depth("bath.outer", 3.3, when="2026-05-14T13:00:00")
    line = kept(*RELEASED, LOW, FILLED, again, as_of="2026-05-14 14:00").surfaces[0]
    assert line.readings_inches == (3.1, 3.0, 3.3)


def test_what_is_missing_is_told_as_missing() -> None:
    answer = record(job(*RELEASED, text=JOB).case)
    told = " ".join(answer.missing)
    assert not answer.is_yes
    for word in ("depth readings", "class of the foam", "product data sheet", "pictures"):
        assert word in told


def test_before_the_spray_there_is_nothing_to_keep() -> None:
    answer = record(job(as_of="2026-05-04 06:30").case)
    assert (answer.surfaces, answer.is_yes) == ((), False)


def test_lots_are_told_where_somebody_wrote_them_down() -> None:
    lots = said("lots", "2026-05-11T16:00:00", trip="first", lots=["A-5521", "B-77"])
    assert kept(*RELEASED, *GOOD, lots).trips[0].lots == ("A-5521", "B-77")


def test_it_names_the_picture_the_approval_and_who_released() -> None:
    answer = kept(*RELEASED, *GOOD)
    assert answer.pictures[0].reference == "bath-01.jpg"
    assert answer.approvals[0].result == "passed"
    assert answer.trips[0].released_by == "Ada Moss"


def test_roofers_are_told_of_a_roof_and_the_others_of_walls() -> None:
    roof = CLOSED.replace(
        'kitchen.outer = { is = "wall above grade"', 'kitchen.outer = { is = "roof deck"'
    )
    told = " ".join(kept(*RELEASED, *GOOD, text=roof).later_trades)
    assert "Kitchen outer is foamed from below" in told
    assert "foam fills Bath outer" in told


def test_bare_foam_is_told_to_the_owner() -> None:
    text = CLOSED.replace('lasts = "1 d"', 'lasts = "1 d", left_exposed = ["bath.outer"]')
    told = " ".join(kept(*RELEASED, *GOOD, text=text).owner)
    assert "Foam stays uncovered at: Bath outer" in told


def test_the_page_is_one_page() -> None:
    assert len(record_text(kept(*RELEASED, *GOOD)).splitlines()) < 60


def test_nothing_private_reaches_it(tmp_path: Path) -> None:
    """A private remark, a door code in a remark, and a code in the name of a picture."""
    folder = tmp_path / "addition"
    folder.mkdir()
    sample = ROOT / "sample_jobs" / "garden-room-addition" / "job.toml"
    (folder / "job.toml").write_text(sample.read_text("utf-8"), encoding="utf-8")
    clock = ["--as-of", "2026-08-24 08:00", "--writer", "Grete Lind, contractor"]
    for line in (
        ["remark", "the owner has asthma", "--private"],
        ["remark", "gate code 4411"],
        ["photo", "gate-code-4411.jpg"],
        ["photo", "south-wall.jpg", "garden-room.south-wall"],
    ):
        CliRunner().invoke(readiness, ["note", str(folder), *line, *clock], catch_exceptions=False)
    asked = ["record", str(folder), *clock[:2]]
    told = CliRunner().invoke(readiness, asked).output
    as_json = CliRunner().invoke(readiness, [*asked, "--json"]).output
    for page in (told, as_json):
        assert "south-wall.jpg" in page
        assert "asthma" not in page
        assert "4411" not in page
    assert json.loads(as_json)["job"] == "Heron Lane 5"
