"""Which hours of a forecast lie within the limits, and which readings are asked for.

Invariant: every test asks a job of its own with a forecast of its own.
"""

from __future__ import annotations

from readiness.desk.desk import open_desk
from readiness.exchange.hourly_forecast import read_forecast
from readiness.questions.conditions import CREW_LEAD, ConditionsAnswer, conditions
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
