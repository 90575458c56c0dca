"""Surfaces written inside a room, and the rooms their ids name."""

from __future__ import annotations

from readiness.facts.vocabulary import RoomKind
from readiness.job.room_ids import flat_surfaces
from tests.job.builders import job_text, line_with, read, told


def test_rooms_come_from_the_surfaces_of_a_file_without_rooms() -> None:
    job = read(
        'name = "A"\nkey = "abcd"\nsite = { time_zone = "UTC" }\n'
        '[surfaces]\nbath-1.outer = { is = "roof deck" }\nroof = { is = "roof deck" }\n'
    )
    assert list(job.rooms) == ["bath-1"]
    assert job.rooms["bath-1"].is_ is RoomKind.OTHER


def test_a_room_that_the_list_of_rooms_leaves_out_is_a_slip() -> None:
    text = job_text(surfaces='bath1.outer = { is = "roof deck" }')
    line = line_with(text, "bath1.outer")
    assert told(text) == [
        f"job.toml:{line}: surfaces.bath1.outer: room bath1 is not in [rooms]; did you mean bath-1?"
    ]


def test_surfaces_may_be_written_in_every_way_toml_has_for_a_table_in_a_table() -> None:
    for surfaces in (
        'bath-1.outer = { is = "roof deck" }',
        'bath-1 = { outer = { is = "roof deck" } }',
        '[surfaces.bath-1]\nouter = { is = "roof deck" }',
        '[surfaces.bath-1.outer]\nis = "roof deck"',
        '"bath-1.outer" = { is = "roof deck" }',
        'bath-1.outer.is = "roof deck"',
    ):
        assert list(read(job_text(surfaces=surfaces)).surfaces) == ["bath-1.outer"]


def test_a_value_beside_the_surfaces_of_a_room_is_told() -> None:
    text = job_text(surfaces='bath-1.outer = { is = "roof deck" }\nbath-1.area = "5 m2"')
    line = line_with(text, "bath-1.area")
    where = f"job.toml:{line}: surfaces.bath-1.area"
    assert told(text) == [f'{where}: "5 m2" is not a table: {{ key = value }}']


def test_surfaces_deeper_than_a_room_are_told() -> None:
    text = job_text(surfaces='bath-1.outer.left = { is = "roof deck" }')
    assert "surfaces.bath-1.outer" in told(text)[0]


def test_a_table_without_is_and_without_tables_is_a_surface_that_lacks_it() -> None:
    flat = flat_surfaces({"roof": {"area": "5 m2"}, "a": {"b": {}}, "c": {}, "d": 5})
    assert list(flat.rows) == ["roof", "a.b", "c", "d"]
    assert flat.renamed == {("surfaces", "a.b"): ("surfaces", "a", "b")}
    assert flat.twice == []


def test_a_surface_named_is_may_stand_inside_a_room() -> None:
    flat = flat_surfaces({"a": {"is": {"is": "roof deck"}}})
    assert list(flat.rows) == ["a.is"]


def test_what_is_no_table_holds_no_surfaces() -> None:
    assert flat_surfaces(5).rows == {}


def test_one_surface_written_in_two_ways_is_told_with_both_lines() -> None:
    """For the parser these are two tables; the later one would win in silence."""
    text = job_text(
        surfaces='bath-1.outer = { is = "roof deck" }\n"bath-1.outer" = { is = "gable wall" }'
    )
    second = line_with(text, "gable wall")
    assert told(text) == [
        (
            f"job.toml:{second}: surfaces.bath-1.outer: stands in the file twice, "
            f"first on line {second - 1}; keep one of them"
        )
    ]
