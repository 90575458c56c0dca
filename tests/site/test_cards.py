"""A site card has no network: what stands in front of the foam is asked like everything else."""

from __future__ import annotations

from pathlib import Path

from readiness.site.answers import questions_of_things
from tests.desk.builders import DANA, job_folder, note, run

CARD = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
card = true
site = { time_zone = "America/New_York", country = "US", state = "OH" }

[rooms]
house = { is = "other" }

[surfaces]
house.walls = { is = "wall above grade", area = "900 sq ft" }
house.rim = { is = "rim joist", area = "100 sq ft" }

[trades]
contractor = { name = "Dana Ruiz", phone = "555-0101" }

[trips]
main = { agreed = 2026-05-11T07:30:00, surfaces = "all", lasts = "1 d" }
"""


def test_each_question_about_things_is_asked_where_such_a_thing_could_stand(tmp_path: Path) -> None:
    """A duct may hang before a wall; no recessed light is set in one."""
    card = job_folder(tmp_path, CARD)
    asked = run("check", card, "--json", at="2026-05-11 06:00")
    assert asked.code == 4
    found = {name for name in questions_of_things() if f'"{name}"' in asked.out}
    assert found == set(questions_of_things()) - {"lights-rated"}
    note(card, "no", "ducts-in-front", at="2026-05-11 06:00", by=DANA)
    told = run("check", card, at="2026-05-11 06:01").out
    assert "Out of the way: duct" in told
    note(card, "yes", "ducts-in-front", at="2026-05-11 06:05", by=DANA)
    assert "Out of the way: duct" not in run("check", card, at="2026-05-11 06:06").out


def test_they_are_called_about_a_week_and_two_days_before(tmp_path: Path) -> None:
    card = job_folder(tmp_path, CARD)
    tub = "Is the wall behind tub and shower free"
    assert tub not in run("calls", card, at="2026-05-01 09:00").out
    assert tub in run("calls", card, at="2026-05-04 09:00").out
    note(card, "yes", "tub-wall", at="2026-05-04 10:00", by=DANA)
    assert tub not in run("calls", card, at="2026-05-04 11:00").out
