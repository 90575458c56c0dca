"""Equilibrium moisture of wood against the printed table of the Wood Handbook.

Source: USDA Forest Products Laboratory, Wood Handbook, table of equilibrium moisture content, read
in a secondary copy. The cells of 95 % and the one at 90 % and 90 F are calculated there, and one at
20 % and 110 F is a misprint (3.0); they are left out.
"""

from __future__ import annotations

import pytest

from readiness.foam.wood import drying_humidity_percent, equilibrium_moisture_percent

TEMPERATURE_F = (30, 40, 50, 60, 70, 80, 90)
TABLE = {
    10: (2.6, 2.6, 2.6, 2.5, 2.5, 2.4, 2.3),
    20: (4.6, 4.6, 4.6, 4.6, 4.5, 4.4, 4.3),
    30: (6.3, 6.3, 6.3, 6.2, 6.2, 6.1, 5.9),
    40: (7.9, 7.9, 7.9, 7.8, 7.7, 7.6, 7.4),
    50: (9.5, 9.5, 9.5, 9.4, 9.2, 9.1, 8.9),
    60: (11.3, 11.3, 11.2, 11.1, 11.0, 10.8, 10.5),
    70: (13.5, 13.5, 13.4, 13.3, 13.1, 12.9, 12.6),
    75: (14.9, 14.9, 14.8, 14.6, 14.4, 14.2, 13.9),
    80: (16.5, 16.5, 16.4, 16.2, 16.0, 15.7, 15.4),
    85: (18.5, 18.5, 18.4, 18.2, 17.9, 17.7, 17.3),
    90: (21.0, 21.0, 20.9, 20.7, 20.5, 20.2),
}
"""Moisture in percent by humidity in percent, over the temperatures in F."""

CELLS = [
    (humidity, temperature, moisture)
    for humidity, row in TABLE.items()
    for temperature, moisture in zip(TEMPERATURE_F, row, strict=False)
]


@pytest.mark.parametrize(("humidity", "temperature_f", "moisture"), CELLS)
def test_a_printed_cell_is_within_a_tenth_of_a_point(
    humidity: float, temperature_f: float, moisture: float
) -> None:
    celsius = (temperature_f - 32) / 1.8
    assert equilibrium_moisture_percent(celsius, humidity) == pytest.approx(moisture, abs=0.1)


@pytest.mark.parametrize(
    ("temperature_f", "humidity"), [(30, 86.0), (60, 86.7), (70, 87.2), (90, 88.4)]
)
def test_above_this_humidity_wood_never_dries_below_nineteen_percent(
    temperature_f: float, humidity: float
) -> None:
    """Calculated with the same equation elsewhere; it must undo the forward one."""
    celsius = (temperature_f - 32) / 1.8
    found = drying_humidity_percent(celsius, 19.0)
    assert found == pytest.approx(humidity, abs=0.1)
    assert equilibrium_moisture_percent(celsius, found) == pytest.approx(19.0, abs=0.001)


def test_dry_enough_air_always_dries() -> None:
    assert drying_humidity_percent(20.0, 35.0) == 100.0


@pytest.mark.parametrize(("humidity", "moisture"), [(25, 5.3), (60, 11.1), (84, 17.6), (87, 19.0)])
def test_an_independent_point_at_seventy_degrees_is_within_two_tenths(
    humidity: float, moisture: float
) -> None:
    """Printed on a secondary page, not taken from the table above."""
    found = equilibrium_moisture_percent((70 - 32) / 1.8, humidity)
    assert found == pytest.approx(moisture, abs=0.2)


def test_the_known_point_of_a_hot_kiln() -> None:
    """140 F and 55 %: the equation gives 8.4, the table 8.0 (secondary page)."""
    assert equilibrium_moisture_percent(60.0, 55) == pytest.approx(8.4, abs=0.05)


def test_the_misprinted_cell_is_not_followed() -> None:
    """20 % and 110 F is printed as 3.0 between 4.2 and 3.9; the equation gives 4.05."""
    assert equilibrium_moisture_percent((110 - 32) / 1.8, 20) == pytest.approx(4.05, abs=0.02)


@pytest.mark.parametrize("temperature_f", TEMPERATURE_F)
@pytest.mark.parametrize(
    ("moisture", "lowest", "highest"), [(16, 78, 82), (18, 84, 86.5), (19, 86, 88.5), (20, 88, 90)]
)
def test_the_humidity_that_stops_the_drying_lies_in_its_band(
    moisture: float, lowest: float, highest: float, temperature_f: float
) -> None:
    """Bands over 30 to 90 F, calculated elsewhere with the same equation and rounded."""
    found = drying_humidity_percent((temperature_f - 32) / 1.8, moisture)
    assert lowest - 0.5 <= found <= highest + 0.5


@pytest.mark.parametrize("temperature_f", [30, 60, 90])
def test_standing_air_of_eighty_eight_percent_keeps_framing_above_eighteen(
    temperature_f: float,
) -> None:
    assert equilibrium_moisture_percent((temperature_f - 32) / 1.8, 88) > 18
