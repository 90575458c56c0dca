"""Which hours of a forecast lie within the limits, and which readings are asked for.

Invariant: every test asks a job of its own with a forecast of its own.
"""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from readiness.desk.desk import open_desk
from readiness.exchange.hourly_forecast import read_forecast
from readiness.pages.conditions_text import conditions_text
from readiness.questions.conditions import CREW_LEAD, ConditionsAnswer, conditions
from readiness.telling.measured import MeasuredLine
from readiness.telling.weather_hours import NO_HOUR, NOT_READ
from tests.builders import HEAD, real
from tests.conftest import ROOT

HOUSE = ROOT / "sample_jobs" / "two-storey-house"


def answer_for_the_house() -> ConditionsAnswer:
    desk = open_desk(HOUSE)
    content = (HOUSE / "forecast.csv").read_bytes()
    return conditions(desk.case(), read_forecast(content, "forecast.csv", desk.zone))


def test_the_house_has_hours_on_each_day_of_its_trip() -> None:
    answer = answer_for_the_house()
    on_trip = [day for day in answer.days if day.on_trip]
    assert [(day.day.day, day.hours_all_groups, day.hours) for day in on_trip] == [
        (9, 10, 10),
        (10, 9, 10),
        (11, 5, 10),
    ]
    assert answer.is_yes


def test_nobody_but_the_crew_lead_decides() -> None:
    assert answer_for_the_house().decides == CREW_LEAD


PLACES = """
[rooms]
den = { is = "living" }

[surfaces]
den.outer = { is = "wall above grade", area = "200 sq ft", depth = "3 in", foam = "closed cell" }

[trips]
main = { booked = 2026-05-08T07:30:00, lasts = "1 d" }

[readings]
"""


def read(*rows: str, as_of: str = "2026-05-08 06:30", **head: str) -> ConditionsAnswer:
    """Return the answer after readings written as `kind, value, moment`."""
    lines = []
    for number, row in enumerate(rows):
        kind, value, moment = row.split(", ")
        lines.append(
            f'r{number} = {{ is = "{kind}", value = "{value}", at = {moment}, by = "Ada" }}\n'
        )
    more = "".join(f'{key} = "{value}"\n' for key, value in head.items())
    return conditions(real(HEAD + more + PLACES + "".join(lines), as_of).case)


def line_of(answer: ConditionsAnswer, measures: str) -> MeasuredLine:
    return next(line for line in answer.readings if line.measures == measures)


@pytest.mark.parametrize(
    ("value", "state", "margin"),
    [
        ("12 %", "within", "6 %"),
        ("17.5 %", "close", "0.5 %"),
        ("18 %", "close", "0 %"),
        ("18.5 %", "outside", "0.5 %"),
    ],
)
def test_a_reading_is_within_close_or_outside_with_its_margin(
    value: str, state: str, margin: str
) -> None:
    """18 % at most: US DOE Building America Solution Center, moisture before enclosing."""
    answer = read(f"wood moisture, {value}, 2026-05-07T15:00:00")
    line = line_of(answer, "wood moisture")
    assert (line.state, line.margin, line.limit) == (state, margin, "at most 18 %")
    assert answer.is_yes is False
    assert ("outside" in answer.sentence) is (state == "outside")


@pytest.mark.parametrize(
    ("units", "value", "limit", "margin"),
    [("US", "44 F", "at least 40 F", "4 F"), ("metric", "44 F", "at least 4.4 C (40 F)", "2.2 C")],
)
def test_limits_and_margins_come_in_the_units_of_the_job(
    units: str, value: str, limit: str, margin: str
) -> None:
    answer = read(f"substrate temperature, {value}, 2026-05-08T06:00:00", units=units)
    line = next(
        line
        for line in answer.readings
        if line.measures == "substrate temperature" and line.limit.startswith("at least")
    )
    assert (line.limit, line.margin) == (limit, margin)


def test_every_limit_in_force_names_its_source_and_how_far_it_was_seen() -> None:
    limits = read().limits
    assert {limit.code for limit in limits if limit.in_force}
    assert all(limit.source and limit.status for limit in limits)


def test_a_reading_that_is_too_old_at_the_arrival_is_marked_and_asked_for_again() -> None:
    old = read("substrate temperature, 55 F, 2026-05-07T15:00:00")
    fresh = read("substrate temperature, 55 F, 2026-05-08T06:00:00")
    assert line_of(old, "substrate temperature").too_old
    assert not line_of(fresh, "substrate temperature").too_old
    asked = {line.measures: line.why for line in old.next_readings}
    assert asked["substrate temperature"] == "too old at the arrival"
    assert "substrate temperature" not in {line.measures for line in fresh.next_readings}
    assert "too old at the arrival" in " ".join(conditions_text(old).split())


def test_a_time_to_read_that_is_over_is_not_told() -> None:
    """At half past six nobody is told to read from half past three on."""
    assert "from Fri 8 May 03:30 on" not in conditions_text(read())
    before = conditions_text(read(as_of="2026-05-07 18:00"))
    assert "from Fri 8 May 03:30 on" in before


AIR_AT_90 = "\n".join(
    [
        "time,air F,humidity %",
        *(f"2026-05-{8 + n // 24:02}T{n % 24:02}:00,60,90" for n in range(72)),
    ]
)


def test_air_in_which_framing_cannot_dry_says_so() -> None:
    """At 60 F and 90 % wood ends near 20.7 %, USDA Wood Handbook table of moisture by air."""
    case = real(HEAD + PLACES, "2026-05-08 06:30").case
    damp = conditions(case, read_forecast(AIR_AT_90.encode(), "w.csv", ZoneInfo("UTC")))
    dry = AIR_AT_90.replace(",60,90", ",60,50")
    fine = conditions(case, read_forecast(dry.encode(), "w.csv", ZoneInfo("UTC")))
    assert damp.drying is not None
    assert fine.drying is not None
    assert (damp.drying.can_dry, fine.drying.can_dry) == (False, True)
    assert "can't dry below 18 % at this humidity" in damp.drying.says
    assert "20.7 %" in damp.drying.says


def test_hours_with_heat_meet_nothing() -> None:
    """Cold air all day: heat would help by the estimate, and the answer stays no."""
    case = real(HEAD + PLACES, "2026-05-08 06:30").case
    cold = AIR_AT_90.replace(",60,90", ",30,40")
    answer = conditions(case, read_forecast(cold.encode(), "w.csv", ZoneInfo("UTC")))
    (group,) = answer.days[0].groups
    assert group.with_heat
    assert answer.days[0].hours_all_groups == 0
    assert not answer.is_yes
    assert "no flame and no glowing element" in answer.cautions[0]


def test_the_asked_day_stands_hour_by_hour_as_its_spans_do() -> None:
    """Two ways to tell one day: each hour within for every group lies in a span of each group."""
    desk = open_desk(HOUSE)
    forecast = read_forecast((HOUSE / "forecast.csv").read_bytes(), "forecast.csv", desk.zone)
    answer = conditions(desk.case(), forecast, date(2026, 6, 11))
    (day,) = [day for day in answer.days if day.day == date(2026, 6, 11)]
    assert len(answer.hours) == 24
    for line in answer.hours:
        spans = [any(s.from_ <= line.from_ < s.until for s in group.within) for group in day.groups]
        assert (line.state in {"within", "close"}) is all(spans), line
    of_crew = [line for line in answer.hours if line.on_shift]
    assert len(of_crew) == day.hours
    good = [line for line in of_crew if line.state in {"within", "close"}]
    assert len(good) == day.hours_all_groups
    assert {line.state for line in answer.hours} == {"within", "close", "outside"}


def test_an_hour_is_not_known_without_its_air_or_its_substrate() -> None:
    """A gap of the forecast, and a wall in the ground that nobody has read."""
    air = AIR_AT_90.replace("\n2026-05-08T10:00,60,90", "")
    places = PLACES.replace(
        'closed cell" }',
        'closed cell" }\nden.below = { is = "wall below grade", area = "90 sq ft" }',
    )
    case = real(HEAD + places, "2026-05-08 06:30").case
    answer = conditions(case, read_forecast(air.encode(), "w.csv", ZoneInfo("UTC")))
    gap, after = answer.hours[10], answer.hours[11]
    assert (gap.state, gap.air, [one.says for one in gap.groups]) == ("not known", "", [NO_HOUR])
    assert after.state == "outside", "what is outside is told before what is not known"
    assert {one.state: one.says for one in after.groups}["not known"] == NOT_READ
    dry = conditions(case, read_forecast(air.replace(",90", ",50").encode(), "w", ZoneInfo("UTC")))
    assert dry.hours[11].state == "not known", "a wall that is within does not speak for the other"
    assert conditions(case, None).hours == ()
