"""Simulated eyes and contrast against published figures and a reference library.

Sources: WCAG 2.2, "contrast ratio" and "relative luminance"; its Understanding pages name #767676
as the lightest grey that passes on white (from memory); `colorspacious` 1.1.2, "sRGB1+CVD" at
severity 100 and "CIELab", computed once and written down here.
"""

from __future__ import annotations

import pytest

from tests.colors import BLINDNESS, LEAST_CONTRAST, contrast, difference, lab, seen


def test_contrast_goes_from_one_to_twenty_one() -> None:
    assert contrast("#123456", "#123456") == 1
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


def test_the_lightest_grey_that_passes_on_white() -> None:
    assert contrast("#767676", "#ffffff") >= LEAST_CONTRAST > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("blindness", BLINDNESS)
@pytest.mark.parametrize("grey", ["#000000", "#808080", "#ffffff"])
def test_grey_is_grey_to_every_eye(grey: str, blindness: str) -> None:
    """Each row of a matrix adds up to one."""
    assert seen(grey, blindness) == grey


@pytest.mark.parametrize(
    ("color", "blindness", "parts"),
    [
        ("#ff0000", "protan", (0.42660847, 0.37265428, -0.05015544)),
        ("#ff0000", "deutan", (0.64005956, 0.56580694, -0.1527144)),
        ("#ff0000", "tritan", (1.10492558, -1.01307012, 0.05838597)),
        ("#1f55b5", "protan", (0.03928049, 0.37933264, 0.72315933)),
        ("#1f55b5", "tritan", (-0.93512797, 0.42581611, 0.48821522)),
        ("#f08a24", "protan", (0.66262726, 0.58503612, 0.0380865)),
        ("#f08a24", "deutan", (0.75781923, 0.67691231, 0.14147607)),
        ("#f08a24", "tritan", (1.03074178, 0.45024818, 0.46751752)),
    ],
)
def test_colors_are_seen_as_the_reference_library_computes_them(
    color: str, blindness: str, parts: tuple[float, ...]
) -> None:
    """What lies outside of sRGB is cut off there; a step of 1/255 is lost by rounding."""
    found = seen(color, blindness)
    read = [int(found[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    assert read == pytest.approx([min(1, max(0, part)) for part in parts], abs=1 / 255)


@pytest.mark.parametrize(
    ("color", "figures"),
    [
        ("#ff0000", (53.23138711, 80.11440251, 67.21999924)),
        ("#1f55b5", (38.06448536, 18.86165755, -55.79307788)),
        ("#f08a24", (67.1475202, 32.28606113, 65.64623571)),
    ],
)
def test_lightness_and_hue_are_those_of_the_reference_library(
    color: str, figures: tuple[float, ...]
) -> None:
    """Its white differs from ours in the fifth figure."""
    assert lab(color) == pytest.approx(figures, abs=0.05)


def test_red_and_green_of_one_lightness_are_alike_to_eyes_that_lack_a_cone() -> None:
    """What the simulation is for: the pair that everybody warns of."""
    red, green = "#c84a00", "#7a7a00"
    assert difference(red, green) > 50
    assert difference(red, green, "protan") < difference(red, green) / 2
    assert difference(red, green, "deutan") < difference(red, green) / 2
