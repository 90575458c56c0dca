"""Exact definitions of units against published tables; each names its source and how it was seen.

Source status: `seen` in the named document or a page that reproduces its table with page number,
`from memory` where no copy could be read.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from readiness.job.quantities import REAL_DEPTH_INCHES, Area, Length, Temperature


@pytest.mark.parametrize(
    ("text", "millimetres"), [("1 in", "25.4"), ("1 ft", "304.8"), ("3 ft", "914.4")]
)
def test_inch_foot_and_yard_are_those_of_the_international_agreement(
    text: str, millimetres: str
) -> None:
    """Source: NIST Handbook 44 (2019), appendix C, page C-8: exact values. Seen, reproduced."""
    assert Length.parse(text).millimetres == Fraction(millimetres)


def test_a_square_foot_is_the_square_of_the_foot() -> None:
    """Source: follows from NIST Handbook 44 (2019), appendix C, page C-8: 0.3048 m, exact."""
    assert Area.parse("1 sq ft").square_metres == Fraction("0.3048") ** 2 == Fraction("0.09290304")


def test_an_area_one_inch_deep_is_as_many_board_feet_as_square_feet() -> None:
    """A board foot is 144 cubic inches: one foot by one foot by one inch.

    Source: common definition in lumber glossaries, seen in several; the standard that says it
    (NIST Voluntary Product Standard PS 20) from memory.
    """
    square_inches = Area.parse("1 sq ft").square_feet * Length.parse("1 ft").inches ** 2
    assert square_inches * Length.parse("1 in").inches == 144


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [("32", "0"), ("212", "100"), ("-40", "-40"), ("50", "10")]
)
def test_fahrenheit_is_nine_fifths_of_celsius_and_32(fahrenheit: str, celsius: str) -> None:
    """Source: conversion 5 (F - 32) / 9, marked exact in the SI conversion factors that reports of
    the US National Academies print. Seen.
    """
    assert Temperature.parse(f"{fahrenheit} F").celsius == Fraction(celsius)
    assert Temperature.parse(f"{celsius} C").fahrenheit == Fraction(fahrenheit)


@pytest.mark.parametrize(
    ("nominal", "inches", "millimetres"),
    [
        ("2x2", "1.5", 38),
        ("2x3", "2.5", 64),
        ("2x4", "3.5", 89),
        ("2x6", "5.5", 140),
        ("2x8", "7.25", 184),
        ("2x10", "9.25", 235),
        ("2x12", "11.25", 286),
    ],
)
def test_a_board_is_as_deep_as_its_dressed_size(
    nominal: str, inches: str, millimetres: int
) -> None:
    """Source: American Softwood Lumber Standard (NIST Voluntary Product Standard PS 20), minimum
    dressed sizes, dry; seen in a secondary table that gives inches and rounded millimetres.
    """
    depth = Length.parse(nominal)
    assert depth.inches == Fraction(inches)
    assert round(depth.millimetres) == millimetres


def test_every_board_the_parser_knows_is_checked_above() -> None:
    assert sorted(REAL_DEPTH_INCHES) == [2, 3, 4, 6, 8, 10, 12]
