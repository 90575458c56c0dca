"""What goes wrong between weather and foam, each told once on a small job.

Invariant: a story holds only what it is about; the trip is on Monday 12 October 2026.
"""

from __future__ import annotations

from collections.abc import Callable

from readiness.exchange.hourly_forecast import read_forecast
from readiness.facts.vocabulary import Gate
from readiness.questions.conditions import ConditionsAnswer, conditions
from readiness.questions.when import when
from tests.builders import HEAD
from tests.stories.house import LEAD, House, real

__all__ = ["real"]

TABLES = """
[rooms]
cellar = { is = "basement" }
den = { is = "living" }

[surfaces]
cellar.block = { is = "wall below grade", area = "400 sq ft", depth = "2 in", foam = "closed cell" }
den.outer = { is = "wall above grade", area = "200 sq ft", depth = "3 in", foam = "closed cell" }

[trades]
spray = { name = "Pell Foam", phone = "555-0102" }

[trips]
main = { agreed = 2026-10-12T07:30:00, surfaces = "all", lasts = "1 d" }
"""
BLOCK_WALL = 'kind = "basement"\n' + HEAD + TABLES
DEN = BLOCK_WALL.replace('surfaces = "all"', 'surfaces = ["den.outer"]')
"""Its wall follows the air; block below grade follows the ground, and no forecast tells that."""
MORNING = "2026-10-12 06:30"


def hours(day: int, count: int, air: Callable[[int], int], humidity: int = 50) -> str:
    """Return a forecast from midnight of a day of October on."""
    rows = (f"2026-10-{day + n // 24:02}T{n % 24:02}:00,{air(n)},{humidity}" for n in range(count))
    return "\n".join(["time,air F,humidity %", *rows]) + "\n"


def mild(_hour: int) -> int:
    """Return the air of a mild day."""
    return 60


def asked(house: House, text: str) -> ConditionsAnswer:
    """Return what the weather says of the trip."""
    return conditions(house.case, read_forecast(text.encode(), "weather.csv", house.desk.zone))


def too_cold(house: House, day: str) -> set[str]:
    """Return the surfaces that the gun finds too cold."""
    return {
        surface
        for line in house.check(f"{day} 07:30", Gate.GUN).blockers
        if line.code == "substrate-temperature" and "36 F" in line.says
        for surface in line.surfaces
    }


def test_a_cold_wall_that_needs_a_second_trip(real: Callable[..., House]) -> None:
    """The den can be sprayed at 55 F, the block at 36 F can't: it stays for a trip with heat."""
    house = real(BLOCK_WALL, MORNING)
    house.says("reading surface 36 F cellar.block", LEAD).says("reading surface 55 F den", LEAD)
    assert too_cold(house, "2026-10-12") == {"cellar.block"}
    house.says("trip second cellar.block").says("trip main den.outer")
    house.says("agreed second 2026-10-19 07:30")
    assert too_cold(house, "2026-10-12") == set()
    assert {line.trip for line in when(house.case).trips} == {"main", "second"}
    house.at("2026-10-19 06:30").says("reading surface 58 F cellar.block", LEAD)
    assert too_cold(house, "2026-10-19") == set()


def test_a_night_that_cracks_fresh_foam(real: Callable[..., House]) -> None:
    """The day is mild; the night after falls far below what the class bears, and that is told."""
    house = real(DEN, MORNING)
    warm = asked(house, hours(12, 48, mild))
    cold = asked(house, hours(12, 48, lambda n: 60 if n < 20 else 15))
    (warm_day, cold_day) = (answer.days[0] for answer in (warm, cold))
    assert warm_day.hours_all_groups == cold_day.hours_all_groups > 0
    assert warm_day.night is not None
    assert cold_day.night is not None
    assert (warm_day.night.warns, cold_day.night.warns) == (False, True)


def test_a_forecast_that_ends_before_the_trip_does(real: Callable[..., House]) -> None:
    """Beyond the last hour nothing is filled in: known until then, and no hour is promised."""
    house = real(DEN, "2026-10-11 12:00")
    short = asked(house, hours(11, 30, mild))
    assert short.forecast is not None
    assert short.forecast.known_until is not None
    assert short.forecast.known_until.isoformat() == "2026-10-12T06:00:00+00:00"
    assert not short.is_yes
    assert asked(house, hours(11, 48, mild)).is_yes


def test_a_gap_in_the_forecast_is_told_and_not_filled(real: Callable[..., House]) -> None:
    house = real(DEN, MORNING)
    whole = hours(12, 48, mild).splitlines()
    broken = asked(house, "\n".join(whole[:11] + whole[14:]) + "\n")
    assert broken.forecast is not None
    assert len(broken.forecast.gaps) == 1
    assert broken.forecast.known_until is not None
    assert broken.forecast.known_until.hour == 10
    found = asked(house, "\n".join(whole) + "\n")
    assert broken.days[0].hours_all_groups == found.days[0].hours_all_groups - 3
