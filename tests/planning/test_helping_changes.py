"""What ends work sooner is found where it is the least that makes a day work."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.questions.ways import WaysAnswer, ways

HEAD = """
name = "Cedar Lane 3"
key = "5b0e77a1"
as_of = 2026-05-04T06:30:00
site = { time_zone = "UTC", country = "US", holidays = false, hours = "Mon-Fri 07:00-15:00" }
[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }
[surfaces]
bath.outer = { is = "wall above grade", area = "40 sq ft" }
kitchen.outer = { is = "wall above grade", area = "40 sq ft" }
[trades]
plumber = { name = "Ada Pipe" }
framer = { name = "Cal Frame" }
[requirements]
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }
"""


def asked(tables: str, day: int = 11) -> WaysAnswer:
    """Return the ways to spray the bath and the kitchen on a day of May."""
    case = desk_of((HEAD + tables).encode(), Path("job.toml")).case()
    return ways(case, date(2026, 5, day))


PIPES = (
    'pipes = { trade = "plumber", in = ["bath", "kitchen"], order = "before", takes = "44 h" }\n'
)
COSTS = "[costs]\ntrip = 9000\nmove = 900\napproval = 90\ntrade_day = 400\n"


def test_one_evening_ends_what_would_have_ended_on_the_next_day() -> None:
    """44 h of work in a week of 40 h: an evening of four hours, late in that week."""
    found = asked(f"[approvals]\n[work]\n{PIPES}{COSTS}shift = 120\n")
    assert found.ways[0].changes == ("evening:plumber:2026-05-07",)
    assert found.ways[0].does == "Let Ada Pipe work on Thu 7 May until 19:30."
    assert found.ways[0].amount == 120
    assert [who.name for who in found.ways[0].people] == ["Ada Pipe"]
    assert "keeps the site open" in found.ways[0].brings[0]


def test_the_fast_way_of_a_work_costs_what_its_line_says() -> None:
    pipes = PIPES.replace("takes =", 'fast_takes = "40 h", fast_costs = 75, takes =')
    found = asked(f"[approvals]\n[work]\n{pipes}{COSTS}shift = 120\n")
    assert found.ways[0].changes == ("fast:pipes",)
    assert "the fast way, in 40 h" in found.ways[0].does
    assert found.ways[0].amount == 75


def test_heat_is_paid_by_the_hour_and_brings_its_caution() -> None:
    """A deck that dries for ten days, or for three with heat: 72 hours at 2 each."""
    drying = (
        'dry-out = { title = "Let the deck dry", trade = "framer", in = ["bath"], '
        'order = "before", takes = "240 h elapsed", dried_takes = "72 h elapsed" }\n'
    )
    found = asked(f"[approvals]\n[work]\n{drying}{COSTS}heat_hour = 2\n")
    way = found.ways[0]
    assert way.changes == ("dry:dry-out",)
    assert way.does == 'Run heat or a dehumidifier for 72 h, for "Let the deck dry".'
    assert way.amount == 144
    assert way.bill[0].price == "heat_hour"
    assert any("Indirect heat only" in caution for caution in way.cautions)


def test_heat_without_its_price_is_not_offered_and_that_is_said() -> None:
    drying = (
        'dry-out = { trade = "framer", in = ["bath"], order = "before", '
        'takes = "240 h elapsed", dried_takes = "72 h elapsed" }\n'
    )
    found = asked(f"[approvals]\n[work]\n{drying}{COSTS}")
    assert all("dry:dry-out" not in way.changes for way in found.ways)
    assert any("drying with heat (heat_hour)" in note for note in found.notes)


OFFICE = '[offices]\ntown = { name = "Town office", visits = "Mon-Fri 08:00-09:00" }\n'


def test_an_earlier_slot_is_asked_for_where_a_later_one_is_confirmed() -> None:
    """The slot of Tuesday 12 is confirmed; the notice of two days allows Wednesday 6."""
    pipes = PIPES.replace("44 h", "8 h").replace("takes", 'approval = "plumbing-approval", takes')
    look = "plumbing-approval = { requested = 2026-05-01T09:00:00, slot = 2026-05-12T08:00:00 }\n"
    found = asked(f"{OFFICE}[approvals]\n{look}[work]\n{pipes}{COSTS}")
    way = found.ways[0]
    assert way.changes == ("slot:plumbing-approval",)
    assert "instead of Tue 12 May 08:00" in way.does
    assert "Wed 6 May 08:00" in way.does
    assert way.brings == ("the office has to confirm it",)
    assert way.lines[0]["wanted"] == "2026-05-06T08:00:00"
    assert "slot" not in way.lines[0]


@pytest.mark.parametrize("kind", ["evening", "fast", "dry", "slot"])
def test_nothing_of_that_is_offered_on_the_day_itself(kind: str) -> None:
    """Nothing but what was seen counts then; so none of it could help."""
    pipes = PIPES.replace("takes", 'approval = "plumbing-approval", fast_takes = "8 h", takes')
    pipes = pipes.replace("fast_takes", 'dried_takes = "9 h", fast_takes')
    found = asked(f"{OFFICE}[approvals]\nplumbing-approval = {{}}\n[work]\n{pipes}", day=4)
    assert not any(change.startswith(kind) for way in found.ways for change in way.changes)
