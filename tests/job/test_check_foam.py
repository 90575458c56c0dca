"""What is wrong with the foam that a job file tells, each told at its line and all at once."""

from __future__ import annotations

import pytest

from readiness.job.foam_quantities import BoardFeet, Density, Permeance, Resistance, SprayRate
from readiness.job.quantity import QuantityError
from tests.builders import problems

ROOMS = """
[rooms]
bath = { is = "bath" }
attic = { is = "attic" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft", depth = "3 in", foam = "closed cell"%s }
attic.deck = { is = "roof deck", area = "100 sq ft" }
"""
TRIP = '\n[trips]\nfirst = { booked = 2026-05-11T07:00:00, surfaces = "bath"%s }\n'
PRODUCT = '\n[products]\na = { class = "closed cell", sheet = "sheet 1"%s }\n'


def found(*, surface: str = "", trip: str = "", product: str = "", more: str = "") -> list[str]:
    return problems(ROOMS % surface + TRIP % trip + PRODUCT % product + more)


def test_a_job_with_a_product_is_fine() -> None:
    assert found(product=', r = { "1 in" = "R-6.5", "3 in" = "R-20" }, lift = "2 in"') == []


@pytest.mark.parametrize(
    ("product", "what"),
    [
        (', r = { "1 in" = "R-6", "3 in" = "R-5" }', "R-5 at 3 in is not above R-6 at 1 in"),
        (', r = { "soon" = "R-6" }', '"soon" is not a length with its unit'),
        (', r = { "0 in" = "R-6" }', "0 in is no depth"),
        (', r = { "1 in" = "R-6", "25.4 mm" = "R-7" }', "25.4 mm is told twice"),
        (
            ', permeance = { "1 in" = "1 perm", "2 in" = "2 perm" }',
            "2 perm at 2 in is not below 1 perm at 1 in",
        ),
        (
            ', lift = "4 in", most_depth = "3 in"',
            "one pass of 4 in is deeper than the 3 in allowed in all",
        ),
        (', lift = "0 in"', "0 in is no depth"),
    ],
)
def test_figures_of_a_sheet_that_cannot_be(product: str, what: str) -> None:
    assert found(product=product) == [what]


def test_a_product_that_is_not_there_or_of_the_other_class() -> None:
    assert found(surface=', product = "b"') == ["b is no product of this job"]
    other = '\n[products.b]\nclass = "open cell"\nsheet = "sheet 2"\n'
    assert found(surface=', product = "b"', more=other) == [
        "b is open cell, and the surface gets closed cell"
    ]


def test_two_products_of_one_class_have_to_be_told_apart() -> None:
    other = '\n[products.b]\nclass = "closed cell"\nsheet = "sheet 2"\n'
    assert found(more=other) == ["a and b are both closed cell"]
    assert found(surface=', product = "b"', more=other) == []


@pytest.mark.parametrize(
    ("trip", "what"),
    [
        (
            ', depths = { "bath.outer" = "4 in" }',
            "4 in is more than the 3 in agreed for bath.outer",
        ),
        (', depths = { "bath.outer" = "0 in" }', "0 in is no depth"),
        (', depths = { "cellar" = "1 in" }', "cellar is no place of this job"),
        (', depths = { "attic.deck" = "1 in" }', "attic.deck is no surface of this trip"),
    ],
)
def test_depths_of_a_trip(trip: str, what: str) -> None:
    assert what in found(trip=trip)


def test_rates_and_allowances_name_what_is_there() -> None:
    more = """
[rates]
access = { cellar = 1.5 }

[allowances]
bare = { surfaces = "cellar", allows = "bare foam", by = "R. Imhof", at = 2026-05-01 }
"""
    assert sorted(found(more=more)) == [
        "cellar is no place of this job",
        "cellar is no place of this job or kind of surface",
    ]


def test_only_an_attic_or_a_crawl_space_is_entered_for_service_only() -> None:
    text = ROOMS.replace('is = "bath" }', 'is = "bath", service_only = true }')
    assert problems(text % "" + TRIP % "") == [
        "a room of kind bath is not entered for service only"
    ]


def test_all_problems_are_told_at_once() -> None:
    more = "\n[rates]\naccess = { cellar = 1.5 }\n"
    assert len(found(surface=', product = "b"', product=', lift = "0 in"', more=more)) == 3


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (Resistance, "20"),
        (Resistance, "R-0"),
        (Resistance, "R-900"),
        (Permeance, "0.9"),
        (Permeance, "0 perm"),
        (Density, "2 lb"),
        (Density, "2000 kg/m3"),
        (BoardFeet, "4200"),
        (BoardFeet, "0 bd ft"),
        (SprayRate, "600 bd ft"),
        (SprayRate, "600 bd ft/d"),
    ],
)
def test_quantities_without_a_unit_or_beyond_foam_are_refused(
    kind: type[Resistance | Permeance | Density | BoardFeet | SprayRate], text: str
) -> None:
    with pytest.raises(QuantityError):
        kind.parse(text)


@pytest.mark.parametrize("text", ["-1 perm", "R--3", "-600 bd ft/h"])
def test_nothing_is_negative(text: str) -> None:
    for kind in (Resistance, Permeance, SprayRate):
        with pytest.raises(QuantityError):
            kind.parse(text)
