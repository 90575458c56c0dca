"""Saturation, dew point and humidity of air against tables and an independent library.

Sources: the library `psychrolib` 2.5 (ASHRAE Handbook Fundamentals 2017, chapter 1); a table of
dew and frost points calculated elsewhere with the same equations, to a tenth of a degree; two
points of coatings practice, read on secondary pages, to a whole degree.
"""

from __future__ import annotations

import psychrolib
import pytest

from readiness.foam.air import (
    condensation_point_c,
    relative_humidity_percent,
    saturation_pressure_pa,
    spread_k,
)

psychrolib.SetUnitSystem(psychrolib.SI)

HUMIDITIES = (40, 50, 60, 70, 80, 85, 90)
TABLE = {
    5: (-6.6, -4.0, -1.9, 0.0, 1.8, 2.7, 3.5),
    10: (-2.6, 0.1, 2.6, 4.8, 6.7, 7.6, 8.4),
    15: (1.5, 4.7, 7.3, 9.6, 11.6, 12.5, 13.4),
    20: (6.0, 9.3, 12.0, 14.4, 16.4, 17.4, 18.3),
    25: (10.5, 13.9, 16.7, 19.1, 21.3, 22.3, 23.2),
    30: (14.9, 18.4, 21.4, 23.9, 26.2, 27.2, 28.2),
    35: (19.4, 23.0, 26.1, 28.7, 31.0, 32.1, 33.1),
}
"""Condensation point in C by air in C, over the humidities in percent; below 0 C over ice."""

CELLS = [
    (air, humidity, point)
    for air, row in TABLE.items()
    for humidity, point in zip(HUMIDITIES, row, strict=True)
]


@pytest.mark.parametrize(("air", "humidity", "point"), CELLS)
def test_a_cell_of_the_metric_table_is_within_a_tenth_of_a_degree(
    air: float, humidity: float, point: float
) -> None:
    assert condensation_point_c(air, humidity) == pytest.approx(point, abs=0.1)


@pytest.mark.parametrize(("air", "humidity", "point"), [(30, 55, 20), (16, 71, 11)])
def test_a_point_of_coatings_practice_is_within_half_a_degree(
    air: float, humidity: float, point: float
) -> None:
    """Printed to a whole degree, read on secondary pages."""
    assert condensation_point_c(air, humidity) == pytest.approx(point, abs=0.5)


@pytest.mark.parametrize(
    ("air", "humidity", "coarser"), [(31.6, 59.6, 22.6), (29.3, 75.4, 24.3), (27.1, 66.4, 20.2)]
)
def test_values_of_a_coarser_formula_read_low(air: float, humidity: float, coarser: float) -> None:
    """Public test values of a library with a coarser formula: up to 0.2 C low, unfavorable side."""
    exact = condensation_point_c(air, humidity)
    assert 0 < exact - coarser <= 0.25


@pytest.mark.parametrize("celsius", [-20, -15, -10, -5, -1, 1, 5, 10, 15, 20, 25, 30, 35, 40, 45])
def test_saturation_equals_the_reference_library(celsius: float) -> None:
    """Within a hundredth of a percent over ice and over water."""
    expected = psychrolib.GetSatVapPres(celsius)
    assert saturation_pressure_pa(celsius) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(
    ("air", "dew"),
    [(-10, -14), (0, -5), (5, -2), (5, 4), (10, 0), (15, 10), (20, 5), (25, 20), (30, 30), (45, 8)],
)
def test_humidity_from_a_dew_point_equals_the_reference_library(air: float, dew: float) -> None:
    expected = psychrolib.GetRelHumFromTDewPoint(air, dew) * 100
    assert relative_humidity_percent(air, dew) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    ("outdoors", "humidity"), [(-15, 90), (-5, 80), (0, 95), (4, 85), (8, 70), (12, 98)]
)
def test_dry_heat_leaves_the_dew_point_where_it_was(outdoors: float, humidity: float) -> None:
    """The estimate with heat rests on it: heating adds no water and takes none away."""
    pressure = psychrolib.GetVapPresFromRelHum(outdoors, humidity / 100)
    heated = 100 * pressure / psychrolib.GetSatVapPres(21.0)
    before = condensation_point_c(outdoors, humidity)
    assert condensation_point_c(21.0, heated) == pytest.approx(before, abs=0.02)


def test_the_worked_example_of_the_chart() -> None:
    """70 F and 65 %: the chart says 57 F and a surface of 62 F; the equations ask 0.7 F more."""
    air = (70 - 32) / 1.8
    surface = (62 - 32) / 1.8
    assert spread_k(surface, air, 65) * 1.8 == pytest.approx(4.3, abs=0.1)
