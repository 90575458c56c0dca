"""Places that exist, once, and make sense."""

from __future__ import annotations

import pytest

from tests.job.builders import TABLES, checked, job_text, line_with, loaded


def one(text: str) -> tuple[int | None, str, str]:
    """Return line, key and sentence of the only problem of a text."""
    (problem,) = checked(text)
    return problem.line, problem.key, f"{problem.what}; {problem.hint}"


def test_a_sound_file_has_no_problem() -> None:
    loaded(job_text())


@pytest.mark.parametrize(
    ("tables", "first", "second"),
    [
        ({"groups": 'kitchen = ["bath-1"]'}, "kitchen", "a room"),
        ({"groups": '"upper" = ["bath-1"]'}, "upper", "a storey"),
        ({"rooms": TABLES["rooms"] + '\nupper = { is = "hall" }'}, "upper", "a storey"),
        ({"surfaces": 'kitchen = { is = "roof deck" }'}, "kitchen", "a room"),
    ],
)
def test_one_name_for_two_kinds_of_place_is_told(
    tables: dict[str, str], first: str, second: str
) -> None:
    """A list that names it could mean either."""
    whats = [problem.what for problem in checked(job_text(**tables))]
    assert f"{first} is already {second}" in whats


def test_a_group_can_not_be_named_like_a_surface() -> None:
    text = job_text(
        surfaces=TABLES["surfaces"] + '\nroof = { is = "roof deck" }', groups='roof = ["kitchen"]'
    )
    assert one(text)[2] == "roof is already a surface; give it another name"


def test_storeys_are_those_of_the_list_and_each_once() -> None:
    text = job_text('storeys = ["ground", "uper", "ground"]\n')
    problems = checked(text)
    assert [(problem.line, problem.what) for problem in problems] == [
        (line_with(text, "storeys"), "ground is in the list twice"),
        (line_with(text, "bath-1 ="), "upper is no storey of the list"),
    ]
    assert problems[1].hint == "did you mean uper?"


def test_a_group_must_hold_places_that_exist() -> None:
    text = job_text(groups='empty = []\nwet = ["bath-1", "kitchn"]')
    assert [(problem.key, problem.what) for problem in checked(text)] == [
        ("groups.empty", "the group is empty"),
        ("groups.wet[2]", "kitchn is no place of this job"),
    ]


def test_a_group_that_holds_itself_is_told_as_a_circle() -> None:
    text = job_text(groups='a = ["b"]\nb = ["a", "kitchen"]')
    assert [(problem.key, problem.what, problem.hint) for problem in checked(text)] == [
        ("groups.a", "a holds itself", "a > b > a"),
        ("groups.b", "b holds itself", "b > a > b"),
    ]


def test_a_surface_must_run_through_places_that_exist() -> None:
    text = job_text(surfaces='roof = { is = "roof deck", rooms = ["bath-1", "atic"] }')
    assert one(text)[:2] == (line_with(text, "roof"), "surfaces.roof.rooms[2]")
    text = job_text(surfaces='roof = { is = "roof deck", rooms = "roof" }')
    assert one(text)[2] == "roof runs through itself; "


@pytest.mark.parametrize(
    ("tables", "key"),
    [
        ({"work": 'tub = { in = ["bth-1"] }'}, "work.tub.in[1]"),
        ({"work": 'tub = { in = "all but bth-1" }'}, "work.tub.in"),
        ({"work": 'tub = { done_in = ["bth-1"] }'}, "work.tub.done_in[1]"),
        ({"work": "tub = { done_in = { bth-1 = 2026-05-01 } }"}, "work.tub.done_in"),
        ({"work": "tub = { weights = { bth-1 = 2 } }"}, "work.tub.weights"),
        ({"work": 'tub = { order = { bth-1 = "after" } }'}, "work.tub.order.bth-1"),
        ({"work": 'tub = { order = { "all but bth-1" = "after" } }'}, "work.tub.order"),
        (
            {"approvals": 'gas-approval = { surfaces = ["bth-1"] }'},
            "approvals.gas-approval.surfaces[1]",
        ),
        ({"obstructions": 't = { is = "tub", blocks = "bth-1" }'}, "obstructions.t.blocks"),
        ({"obstructions": 't = { is = "tub", in = "bth-1" }'}, "obstructions.t.in"),
        (
            {"obstructions": 't = { is = "tub", distance = { bth-1 = "2 in" } }'},
            "obstructions.t.distance",
        ),
        ({"trips": 'first = { surfaces = "bth-1" }'}, "trips.first.surfaces"),
        ({"trips": 'first = { zone = ["bth-1"] }'}, "trips.first.zone[1]"),
        ({"trips": 'first = { reserved = "bth-1" }'}, "trips.first.reserved"),
        ({"trips": 'first = { left_exposed = "bth-1" }'}, "trips.first.left_exposed"),
        (
            {"trips": 'first = { arrived = 2026-05-04T06:00:00, sprayed = "bth-1" }'},
            "trips.first.sprayed",
        ),
        (
            {"answers": 'a = { yes = "gate-and-keys", in = "bth-1", at = 2026-05-01 }'},
            "answers.a.in",
        ),
        (
            {
                "readings": 'a = { is = "wood moisture", value = "9 %", in = "bth-1", '
                "at = 2026-05-01T07:00:00 }"
            },
            "readings.a.in",
        ),
        (
            {
                "stops": 'a = { by = "A", role = "owner", reason = "b", places = "bth-1", '
                "at = 2026-05-01T07:00:00 }"
            },
            "stops.a.places",
        ),
    ],
)
def test_an_unknown_place_is_told_wherever_places_are_named(
    tables: dict[str, str], key: str
) -> None:
    line, told_key, sentence = one(job_text(**tables))
    assert told_key.startswith(key)
    assert sentence == "bth-1 is no place of this job; did you mean bath-1?" or (
        "order" in key and sentence.startswith("bth-1 is no place of this job")
    )
    assert line is not None


def test_an_order_may_be_told_by_kind_of_surface() -> None:
    loaded(job_text(work='tub = { order = { "wall above grade" = "after", all = "free" } }'))


def test_a_list_of_surfaces_must_reach_one() -> None:
    rooms = TABLES["rooms"] + '\npantry = { is = "other" }'
    text = job_text(rooms=rooms, obstructions='t = { is = "tub", blocks = "pantry" }')
    assert one(text)[1:] == ("obstructions.t.blocks", "no surface runs through these places; ")
    loaded(job_text(rooms=rooms, work='tub = { in = "pantry" }'))


@pytest.mark.parametrize(
    ("tables", "key"),
    [
        ({"trips": "first = { surfaces = [] }"}, "trips.first.surfaces"),
        ({"work": "tub = { in = [] }"}, "work.tub.in"),
        (
            {
                "waivers": 'a = { requirement = "swept", surfaces = [], trip = "first", '
                'role = "contractor", by = "A", reason = "b", at = 2026-05-01 }'
            },
            "waivers.a.surfaces",
        ),
    ],
)
def test_a_list_that_must_not_be_empty_is_told(tables: dict[str, str], key: str) -> None:
    problems = checked(job_text(**tables))
    assert (key, "the list is empty") in [(one.key, one.what) for one in problems]


def test_a_trip_without_any_surface_in_the_job_is_told() -> None:
    text = 'name = "A"\nkey = "abcd"\nsite = { time_zone = "UTC" }\n[trips]\nfirst = {}\n'
    assert one(text)[1:] == (
        "trips.first",
        "there is no surface in this job; a trip needs [surfaces] to spray",
    )


@pytest.mark.parametrize(
    ("depth", "deeper"),
    [("5.5 in", False), ("2x6", False), ("140 mm", True), ("6 in", True), ("139.7 mm", False)],
)
def test_foam_deeper_than_its_cavity_is_told(depth: str, *, deeper: bool) -> None:
    surfaces = f'kitchen.outer = {{ is = "roof deck", cavity = "5.5 in", depth = "{depth}" }}'
    text = job_text(surfaces=surfaces + '\nbath-1.outer = { is = "roof deck" }')
    if deeper:
        line, key, sentence = one(text)
        assert (line, key) == (line_with(text, "depth"), "surfaces.kitchen.outer.depth")
        assert f"foam of {depth} is deeper than its cavity of 5.5 in" in sentence
    else:
        loaded(text)


@pytest.mark.parametrize(("depth", "is_refused"), [("76 in", True), ("24 in", False)])
def test_a_depth_that_no_building_has_is_told(depth: str, *, is_refused: bool) -> None:
    text = job_text(surfaces=f'kitchen.outer = {{ is = "roof deck", depth = "{depth}" }}')
    told = [str(problem) for problem in checked(text)]
    assert any("deeper than any in a building" in one for one in told) is is_refused


def test_no_depth_at_all_is_told() -> None:
    text = job_text(surfaces='kitchen.outer = { is = "roof deck", depth = "0 in" }')
    assert ("surfaces.kitchen.outer.depth", "0 in is no depth") in [
        (problem.key, problem.what) for problem in checked(text)
    ]


def test_a_room_that_no_surface_runs_through_and_nothing_names_is_told() -> None:
    rooms = TABLES["rooms"] + '\npantry = { is = "other" }'
    text = job_text(rooms=rooms)
    assert one(text) == (
        line_with(text, "pantry"),
        "rooms.pantry",
        (
            "no surface runs through this room, and nothing names it; "
            "add a surface pantry.NAME, or take the room out"
        ),
    )


@pytest.mark.parametrize(
    "tables",
    [
        {"work": 'tub = { in = ["pantry"] }'},
        {"work": 'tub = { in = "all but pantry" }'},
        {"groups": 'small = ["pantry"]'},
        {"trips": 'first = { zone = ["kitchen", "pantry"] }'},
        {"surfaces": TABLES["surfaces"] + '\nroof = { is = "roof deck", rooms = "pantry" }'},
    ],
)
def test_a_room_that_something_names_may_have_no_surface_of_its_own(
    tables: dict[str, str],
) -> None:
    loaded(job_text(rooms=TABLES["rooms"] + '\npantry = { is = "other" }', **tables))
