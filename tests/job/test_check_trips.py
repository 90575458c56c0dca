"""Trips against one another, and readings against what they measure."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import ReadingKind
from readiness.job.instruments import QUANTITY_OF
from tests.job.builders import checked, job_text, line_with, loaded


def one(text: str) -> str:
    (problem,) = checked(text)
    return f"{problem.key}: {problem.what}; {problem.hint}"


def test_a_surface_of_two_trips_is_told_at_the_later_one() -> None:
    text = job_text(trips='first = { }\nsecond = { surfaces = ["kitchen"] }')
    (problem,) = checked(text)
    assert (problem.line, problem.key) == (line_with(text, "second"), "trips.second.surfaces")
    assert problem.what == "kitchen.outer belongs to trip first already"


def test_two_trips_for_everything_are_told_once() -> None:
    text = job_text(trips="first = { }\nsecond = { }")
    assert one(text) == (
        "trips.second: bath-1.outer belongs to trip first already; "
        "and 1 more; name the surfaces of each trip"
    )


def test_trips_that_share_nothing_are_taken() -> None:
    loaded(job_text(trips='first = { surfaces = "kitchen" }\nsecond = { surfaces = "bath-1" }'))


@pytest.mark.parametrize("key", ["sprayed", "reserved", "left_exposed"])
def test_a_trip_speaks_of_its_own_surfaces(key: str) -> None:
    arrived = "arrived = 2026-05-04T06:00:00"
    text = job_text(trips=f'first = {{ {arrived}, surfaces = "kitchen", {key} = "bath-1" }}')
    assert one(text) == f"trips.first.{key}: bath-1.outer is no surface of this trip; "
    loaded(job_text(trips=f'first = {{ {arrived}, surfaces = "kitchen", {key} = "kitchen" }}'))


def test_unknown_places_of_a_trip_are_told_once() -> None:
    assert "ktchen is no place" in one(job_text(trips='first = { surfaces = "ktchen" }'))


@pytest.mark.parametrize(
    ("kind", "value", "words"),
    [
        ("wood moisture", "12", '"12" is not a share in percent; a number needs its unit'),
        ("wood moisture", "12 F", '"12 F" is not a share in percent'),
        ("substrate temperature", "62", '"62" is not a temperature in F or C'),
        ("relative humidity", "62 F", '"62 F" is not a share in percent'),
    ],
)
def test_a_reading_without_its_unit_is_told(kind: str, value: str, words: str) -> None:
    reading = f'a = {{ is = "{kind}", value = "{value}", at = 2026-05-04T06:00:00 }}'
    assert one(job_text(readings=reading)).startswith(f"readings.a.value: {words}")


@pytest.mark.parametrize(
    ("kind", "value", "words"),
    [
        ("relative humidity", "0 %", '"0 %" is not a humidity of air'),
        ("relative humidity", "140 %", '"140 %" is not a share from 0 % to 100 %'),
        ("wood moisture", "-3 %", '"-3 %" is not a share in percent; it can\'t be negative'),
        ("substrate temperature", "400 F", '"400 F" is not the substrate temperature of a site'),
        ("substrate temperature", "-90 C", '"-90 C" is not the substrate temperature of a site'),
        (
            "air temperature",
            "150 F",
            '"150 F" is not the air temperature of a site, -40 F to 130 F',
        ),
    ],
)
def test_a_reading_that_no_site_can_have_is_told(kind: str, value: str, words: str) -> None:
    reading = f'a = {{ is = "{kind}", value = "{value}", at = 2026-05-04T06:00:00 }}'
    assert one(job_text(readings=reading)).startswith(f"readings.a.value: {words}")


def test_a_limit_of_the_spread_is_a_difference_of_temperatures() -> None:
    wrong = 'above-dew-point = { at_least = "7 %", sheet = "Sheet 7" }'
    told = one(job_text(requirements=wrong))
    assert told.startswith('requirements.above-dew-point.at_least: "7 %" is not a difference')
    loaded(job_text(requirements=wrong.replace("7 %", "4 C")))
    most = 'above-dew-point = { at_most = "7 F", sheet = "Sheet 7" }'
    assert "above-dew-point has no limit" in one(job_text(requirements=most))


def test_a_reading_with_its_unit_is_taken() -> None:
    loaded(
        job_text(
            readings='a = { is = "air temperature", value = "17 C", at = 2026-05-04T06:00:00 }'
        )
    )


def test_every_kind_of_reading_has_its_quantity() -> None:
    assert set(QUANTITY_OF) == set(ReadingKind)


def test_a_changed_limit_is_a_quantity_of_its_kind() -> None:
    text = job_text(requirements='air-humidity = { at_most = "70" }')
    assert one(text).startswith('requirements.air-humidity.at_most: "70" is not a share')
    text = job_text(requirements='swept = { at_least = "70 %" }')
    assert one(text).startswith("requirements.swept.at_least: swept has no limit")
    loaded(job_text(requirements='air-humidity = { at_most = "70 %" }'))
