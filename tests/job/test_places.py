"""What written lists of places mean."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.places import PlaceError, resolve, rooms_of, surfaces_of
from tests.job.builders import job_text, read

HOUSE = read(
    job_text(
        'storeys = ["lower floor", "upper floor"]\n',
        rooms=(
            'bath-1 = { is = "bath", storey = "upper floor" }\n'
            'hall = { is = "hall", storey = "lower floor" }\n'
            'kitchen = { is = "kitchen", storey = "lower floor" }\n'
            'pantry = { storey = "lower floor" }'
        ),
        surfaces=(
            'kitchen.outer = { is = "wall above grade" }\n'
            'bath-1.outer = { is = "wall above grade" }\n'
            'stairwell = { is = "wall above grade", rooms = ["hall", "bath-1"] }\n'
            'hall.outer = { is = "wall above grade", rooms = "kitchen" }\n'
            'roof = { is = "roof deck" }'
        ),
        groups=(
            '"wet rooms" = ["bath-1", "kitchen"]\n'
            'outside = ["kitchen.outer", "bath-1.outer", "hall.outer"]\n'
            'both = ["wet rooms", "roof"]\n'
            'rest = ["all but wet rooms"]'
        ),
    )
)


@pytest.mark.parametrize(
    ("names", "surfaces"),
    [
        (["kitchen"], "kitchen.outer hall.outer"),
        (["bath-1"], "bath-1.outer stairwell"),
        (["hall"], "stairwell hall.outer"),
        (["pantry"], ""),
        (["stairwell"], "stairwell"),
        (["all"], "kitchen.outer bath-1.outer stairwell hall.outer roof"),
        (["lower floor"], "stairwell hall.outer kitchen.outer"),
        (["upper floor", "kitchen"], "bath-1.outer stairwell kitchen.outer hall.outer"),
        (["wet rooms"], "bath-1.outer stairwell kitchen.outer hall.outer"),
        (["both"], "bath-1.outer stairwell kitchen.outer hall.outer roof"),
        (["all but wet rooms"], "roof"),
        (["all but roof"], "kitchen.outer bath-1.outer stairwell hall.outer"),
        (["all but outside, roof"], "stairwell"),
        (["rest"], "roof"),
        ([], ""),
    ],
)
def test_places_stand_for_their_surfaces(names: list[str], surfaces: str) -> None:
    assert surfaces_of(names, HOUSE) == tuple(surfaces.split())


@pytest.mark.parametrize(
    ("names", "rooms"),
    [
        (["kitchen", "kitchen"], "kitchen"),
        (["stairwell"], "hall bath-1"),
        (["hall.outer"], "hall kitchen"),
        (["roof"], ""),
        (["all"], "bath-1 hall kitchen pantry"),
        (["lower floor"], "hall kitchen pantry"),
        (["wet rooms"], "bath-1 kitchen"),
        (["all but kitchen, hall"], "bath-1 pantry"),
        (["all but stairwell"], "kitchen pantry"),
    ],
)
def test_places_stand_for_their_rooms(names: list[str], rooms: str) -> None:
    assert rooms_of(names, HOUSE) == tuple(rooms.split())


@pytest.mark.parametrize(
    ("names", "places"),
    [
        (["kitchen", "stairwell"], "kitchen stairwell"),
        (["wet rooms"], "bath-1 kitchen"),
        (["upper floor"], "bath-1"),
        (["all"], "bath-1 hall kitchen pantry roof"),
        (["all but pantry"], "bath-1 hall kitchen roof"),
        (["all but stairwell"], "bath-1.outer hall.outer kitchen pantry roof"),
    ],
)
def test_places_are_kept_as_they_are_named(names: list[str], places: str) -> None:
    assert resolve(names, HOUSE) == tuple(places.split())


def test_a_room_comes_first_among_those_its_own_surface_runs_through() -> None:
    assert HOUSE.place_names.rooms_through("hall.outer") == ("hall", "kitchen")


@pytest.mark.parametrize("ask", [surfaces_of, rooms_of, resolve])
@pytest.mark.parametrize("name", ["kitchn", "all but kitchn", "nowhere", ""])
def test_an_unknown_name_is_an_error_with_the_nearest_known(ask: object, name: str) -> None:
    assert callable(ask)
    with pytest.raises(PlaceError) as caught:
        ask([name], HOUSE)
    assert caught.value.what == "is no place of this job"
    assert caught.value.hint == ("did you mean kitchen?" if "kitchn" in name else "")


def test_a_group_that_holds_itself_is_an_error_with_the_way_round() -> None:
    job = read(job_text(groups='a = ["b"]\nb = ["kitchen", "a"]'))
    with pytest.raises(PlaceError) as caught:
        surfaces_of(["a"], job)
    assert (caught.value.name, caught.value.hint) == ("a", "a > b > a")


def test_a_surface_that_runs_through_itself_is_an_error() -> None:
    job = read(job_text(surfaces='odd = { is = "roof deck", rooms = "odd" }'))
    with pytest.raises(PlaceError, match="runs through itself"):
        surfaces_of(["kitchen"], job)


NAMES = sorted(HOUSE.place_names.known - {"all"})


@given(st.lists(st.sampled_from(NAMES), max_size=4), st.lists(st.sampled_from(NAMES), max_size=4))
def test_a_longer_list_never_stands_for_less(names: list[str], more: list[str]) -> None:
    for ask in (surfaces_of, rooms_of):
        few, many = ask(names, HOUSE), ask([*names, *more], HOUSE)
        assert many[: len(few)] == few
        assert len(set(many)) == len(many)


@given(st.sampled_from(NAMES))
def test_all_but_a_name_and_that_name_are_everything_and_share_nothing(name: str) -> None:
    for ask in (surfaces_of, rooms_of):
        rest, these = set(ask([f"all but {name}"], HOUSE)), set(ask([name], HOUSE))
        assert rest | these == set(ask(["all"], HOUSE))
        assert not rest & these
