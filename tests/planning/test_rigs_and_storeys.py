"""One more rig, or one storey first, is found where it is the least that makes a day work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from readiness.desk.desk import Desk, desk_of, open_desk
from readiness.desk.drafting import Draft
from readiness.desk.statement import Statement, writer_of
from readiness.planning.change import Offer
from readiness.planning.listing import offer_of
from readiness.planning.trying import Trying
from readiness.questions.check import check
from readiness.questions.foam import foam
from readiness.questions.ways import WayLine, WaysAnswer, ways
from tests.builders import at

MONDAY = date(2026, 5, 11)
HEAD = """
name = "Cedar Lane 3"
key = "5b0e77a1"
as_of = 2026-05-04T06:30:00
site = { time_zone = "UTC", country = "US", holidays = false, hours = "Mon-Fri 07:00-15:00" }
[rooms]
bath = { is = "bath", storey = "upper" }
kitchen = { is = "kitchen", storey = "ground" }
[surfaces]
bath.outer = { is = "wall above grade", area = "40 sq ft" }
kitchen.outer = { is = "wall above grade", area = "40 sq ft" }
[trades]
plumber = { name = "Ada Pipe" }
framer = { name = "Cal Frame" }
spray = { name = "Pell Foam" }
[requirements]
[approvals]
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }
[costs]
trip = 9000
move = 900
rig = 700
approval = 90
trade_day = 400
"""
TILES = (
    '[work.tiles]\ntrade = "framer"\nin = "bath"\norder = "after"\ntakes = "1 d"\n'
    "agreed = 2026-05-12T10:00:00\n"
)


def asked(tables: str) -> WaysAnswer:
    """Return the ways to spray on Monday 11 May."""
    desk = desk_of((HEAD + tables).encode(), Path("job.toml"))
    return ways(desk.case(), MONDAY, origin_of=desk.lines.origin)


def offered(text: str) -> set[str]:
    """Return the ids of all that could be changed."""
    outlook = desk_of(text.encode(), Path("job.toml")).case().outlook
    nothing = Offer((), frozenset(), (), (), "")
    on = at("2026-05-11 07:00")
    base = Trying(outlook, nothing, "first", on).attempt(frozenset())
    return {change.id for change in offer_of(base, nothing, "first").changes}


def written(text: str, way: WayLine, folder: Path) -> Desk:
    """Return a job into whose diary a way was written last."""
    (folder / "job.toml").write_text(text)
    desk = open_desk(folder)
    who = writer_of("Noor Haddad, contractor")
    draft = Draft(desk, who, "by ways")
    for line in way.lines:
        draft.add(Statement(dict(line), who))
    draft.write()
    return open_desk(folder)


def test_a_second_rig_is_the_way_where_the_release_comes_a_little_late(tmp_path: Path) -> None:
    """4 h and a keep-out of 24 h end at 11:00; the tiles are agreed for 10:00 of that day."""
    found = asked(TILES)
    assert found.verdict == "too late"
    way = found.ways[0]
    assert way.changes == ("rig:first",)
    assert way.does == "Spray the first trip with 2 rigs at once."
    assert (way.amount, way.bill[0].price) == (700, "rig")
    assert [who.name for who in way.people] == ["Pell Foam"]
    told = " ".join(way.brings)
    for word in (
        "has to confirm",
        "hose",
        "full protection",
        "last foam of any rig",
        "no shorter",
        "ask how long",
    ):
        assert word in told
    assert "nobody else inside" in way.cautions[0]
    desk = written(HEAD + TILES, way, tmp_path)
    assert check(desk.case(), MONDAY).verdict == "on course"
    trip = desk.case().site.trips["first"]
    assert trip.keep_out_minutes == 24 * 60


def test_without_a_second_rig_the_day_is_too_late(tmp_path: Path) -> None:
    """The entry taken back by a new one, as whoever changes their mind writes it."""
    way = replace(asked(TILES).ways[0], lines=())
    assert check(written(HEAD + TILES, way, tmp_path).case(), MONDAY).verdict == "too late"
    way = replace(way, lines=({"kind": "rigs", "trip": "first", "rigs": 2},))
    assert check(written(HEAD + TILES, way, tmp_path).case(), MONDAY).verdict == "on course"
    way = replace(way, lines=({"kind": "rigs", "trip": "first", "rigs": 1},))
    assert check(written(HEAD + TILES, way, tmp_path).case(), MONDAY).verdict == "too late"


@pytest.mark.parametrize(
    ("is_offered", "was", "now"),
    [
        pytest.param(True, "T10:00", "T10:00", id="late by an hour, half the spraying"),
        pytest.param(True, "T10:00", "T09:30", id="by more: the rest is left to another trip"),
        pytest.param(False, "T10:00", "T09:00", id="by two hours, which is all the spraying"),
        pytest.param(False, "agreed =", "not_after =", id="nothing is booked after the foam"),
        pytest.param(False, "05-12T", "05-14T", id="in time, at any hour of the day"),
        pytest.param(False, '"4 h"', '"4 h", surfaces = "bath"', id="one surface only"),
    ],
)
def test_a_second_rig_is_offered_only_where_it_can_help(
    was: str, now: str, *, is_offered: bool
) -> None:
    text = HEAD + TILES
    assert was in text
    assert ("rig:first" in offered(text.replace(was, now))) == is_offered


def test_a_rig_without_its_price_is_not_offered_and_that_is_said() -> None:
    desk = desk_of((HEAD + TILES).replace("rig = 700\n", "").encode(), Path("job.toml"))
    found = ways(desk.case(), MONDAY)
    assert all("rig:first" not in way.changes for way in found.ways)
    assert any("one more rig on a trip (rig)" in note for note in found.notes)


def test_two_rigs_share_the_hours_of_the_guns_and_no_others() -> None:
    """What `foam` reckons from the surfaces: every step but the spraying is as long as before."""
    of_rigs = []
    for rigs in (1, 2):
        text = HEAD.replace('lasts = "4 h"', f'lasts = "4 h", rigs = {rigs}')
        text = text.replace("area =", 'depth = "3 in", foam = "closed cell", area =').replace(
            "40 sq", "400 sq"
        )
        day = foam(desk_of(text.encode(), Path("job.toml")).case()).day
        assert day is not None
        of_rigs.append({step.name: step.minutes for step in day.steps})
    one, two = of_rigs
    assert one["spray"]
    assert two["spray"] == pytest.approx(one["spray"] / 2, abs=5)
    assert {**one, "spray": 0} == {**two, "spray": 0}


UPPER_ONLY = HEAD.replace('"4 h"', '"4 h", surfaces = "bath"')
PIPES = (
    '[work.pipes]\ntrade = "plumber"\nin = ["kitchen", "bath"]\norder = "before"\ntakes = "48 h"\n'
)


BEGUN = 'begun = 2026-05-01\ntakes = "80 h"'


def test_the_storey_that_the_trip_needs_comes_first_where_that_is_enough(tmp_path: Path) -> None:
    """Three days on each storey, six until Tuesday: of a week the upper one needs three."""
    desk = desk_of((UPPER_ONLY + PIPES).encode(), Path("job.toml"))
    found = ways(desk.case(), MONDAY)
    assert found.verdict == "too early"
    way = found.ways[0]
    assert way.changes == ("first:pipes:upper",)
    assert way.does == 'Let Ada Pipe do "pipes" on storey upper first.'
    assert (way.amount, [who.name for who in way.people]) == (0, ["Ada Pipe"])
    assert "later than before" in way.brings[0]
    untouched = written(UPPER_ONLY + PIPES, replace(way, lines=()), tmp_path)
    assert check(untouched.case(), MONDAY).verdict == "too early"
    turned = written(UPPER_ONLY + PIPES, way, tmp_path)
    assert check(turned.case(), MONDAY).verdict == "on course"
    back = replace(way, lines=({"kind": "first", "work": "pipes", "places": ["all"]},))
    assert check(written(UPPER_ONLY + PIPES, back, tmp_path).case(), MONDAY).verdict == "too early"


def test_the_free_storey_comes_first_while_another_one_is_shut() -> None:
    """The ground is shut until Wednesday 11:00, 16 h on each: done on Friday instead of Tuesday.

    Half the crew on each storey, half as fast, would need until Tuesday 11:00 on the ground too.
    """
    shut = HEAD.replace(
        "first = {",
        'early = { booked = 2026-05-04T07:00:00, surfaces = "hall", lasts = "4 h", '
        'keep_out = "48 h elapsed", zone = "ground" }\nfirst = { surfaces = ["bath", "kitchen"],',
    )
    shut = shut.replace("[surfaces]", 'hall = { is = "hall", storey = "ground" }\n[surfaces]')
    shut = shut.replace("[trades]", 'hall.outer = { is = "wall above grade" }\n[trades]')
    desk = desk_of((shut + PIPES.replace("48 h", "32 h")).encode(), Path("job.toml"))
    way = ways(desk.case(), MONDAY).ways[0]
    assert way.changes == ("first:pipes:upper",)


def test_a_storey_first_moves_a_date_that_was_agreed_and_costs_that() -> None:
    text = UPPER_ONLY + PIPES + "agreed = 2026-05-04\n"
    found = ways(desk_of(text.encode(), Path("job.toml")).case(), MONDAY)
    assert [way.amount for way in found.ways if way.changes == ("first:pipes:upper",)] == [900]


@pytest.mark.parametrize(
    ("is_offered", "was", "now"),
    [
        pytest.param(True, "48 h", "48 h", id="the crew comes from the ground"),
        pytest.param(False, '"kitchen", "bath"', '"bath", "kitchen"', id="it is first already"),
        pytest.param(False, "48 h", "32 h", id="it is done in time"),
        pytest.param(False, 'takes = "48 h"', f"{BEGUN}", id="it has begun"),
        pytest.param(False, "takes =", "together = true\ntakes =", id="all of it at once"),
        pytest.param(False, '"ground"', '"upper"', id="there is one storey"),
    ],
)
def test_a_storey_first_is_offered_only_where_it_can_help(
    was: str, now: str, *, is_offered: bool
) -> None:
    text = UPPER_ONLY + PIPES
    assert was in text
    assert ("first:pipes:upper" in offered(text.replace(was, now))) == is_offered
