"""How likely each day is: what is drawn shows, and nothing is recommended from nowhere."""

from __future__ import annotations

from datetime import date

import pytest

from readiness.planning.trials_told import DayLine
from readiness.questions.chance import ChanceAnswer, DayError, chance
from tests.builders import AS_OF, ROOMS, TRIP, asked

WORK = """
[work]
wiring = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "3 d" }
board = { trade = "drywall", in = ["bath"], order = "after", takes = "1 d", booked = 2026-05-15 }
"""
WIDE = WORK.replace('"3 d"', '"3 d", takes_at_least = "1 d", takes_at_most = "9 d"').replace(
    "2026-05-15", "2026-06-15"
)


def answer(
    extra: str = "", work: str = WORK, trip: str = TRIP, *, only_own: bool = True
) -> ChanceAnswer:
    """Return the answer for a small job; of what is not written nothing is drawn."""
    job = asked(ROOMS + work + trip + extra, AS_OF)
    return chance(job.case, trials=1_000, only_own=only_own)


def at_seven(told: ChanceAnswer, day: int) -> DayLine:
    """Return the arrival on a day of May 2026 at 7."""
    (line,) = [line for line in told.days if (line.arrival.day, line.arrival.hour) == (day, 7)]
    return line


def test_without_any_spread_a_day_works_or_does_not() -> None:
    told = answer()
    assert {line.opens for line in told.opens} == {told.opens_planned}
    assert at_seven(told, 11).chance == 1
    assert [line.title for line in told.holds] == ["wiring"]
    assert told.assumed == ()


def test_a_range_spreads_the_opening_and_says_whose_figure_it_is() -> None:
    """One day to ten: open by the booked Monday in the trials that take at most five days."""
    wide = WORK.replace('"3 d"', '"3 d", takes_at_least = "1 d", takes_at_most = "10 d"')
    told = answer(work=wide)
    middle, eight, nine = (line.opens for line in told.opens)
    assert middle is not None
    assert eight is not None
    assert nine is not None
    assert middle < eight < nine
    line = at_seven(told, 11)
    # Triangle from 1 to 10 with its top at 3: above 5 lie (10 - 5)**2 / (9 * 7) of it
    assert line.too_early == pytest.approx(25 / 63, abs=4 * line.chance_error)
    assert [(one.told, one.own, one.whom) for one in told.assumed] == [
        ("1 d to 10 d", True, "wiring")
    ]


def test_what_is_usual_says_so_and_can_be_left_out() -> None:
    usual = answer(only_own=False).assumed
    assert usual
    assert all(not one.own and one.source == "common practice, no source" for one in usual)
    assert answer(only_own=True).assumed == ()


def test_a_trade_that_may_not_come_is_worth_a_call() -> None:
    tight = WORK.replace('"3 d"', '"5 d"')
    told = answer('[chances]\nno_shows = { electrician = "30 %" }\n', work=tight)
    (line,) = told.worth
    assert line.who.id == "electrician"
    assert line.gains == pytest.approx(0.3, abs=4 * line.gains_error)
    assert at_seven(told, 11).chance == pytest.approx(0.7, abs=4 * at_seven(told, 11).chance_error)


def test_weather_keeps_the_crew_from_some_days() -> None:
    told = answer('[chances]\nspray_weather = "20 %"\n')
    line = at_seven(told, 11)
    assert line.weather == pytest.approx(0.2, abs=4 * line.chance_error)
    assert line.chance == pytest.approx(1 - line.weather)


def test_work_committed_behind_the_foam_closes_in_every_trial() -> None:
    """Board on Friday 15: a day of foam and 24 h of keep-out leave no time from Thursday on."""
    job = asked(ROOMS + WORK + TRIP, AS_OF)
    thursday = chance(job.case, date(2026, 5, 14), trials=200, only_own=True)
    assert at_seven(thursday, 14).too_late == 1
    assert at_seven(thursday, 11).too_late == 0


def test_without_own_prices_no_day_is_recommended() -> None:
    told = answer(work=WIDE)
    assert told.best is None
    assert told.missing_prices == ("trip", "day")
    assert all(line.cost is None for line in told.days)
    assert told.break_even
    one_missing = answer("[costs]\ntrip = 900\n", work=WIDE)
    assert one_missing.best is None
    assert one_missing.missing_prices == ("day",)


def test_a_dear_trip_books_later_than_a_dear_day() -> None:
    dear_trip = answer("[costs]\ntrip = 5000\nday = 100\n", work=WIDE)
    dear_day = answer("[costs]\ntrip = 100\nday = 5000\n", work=WIDE)
    assert dear_trip.best is not None
    assert dear_day.best is not None
    assert dear_day.best < dear_trip.best


def test_the_break_even_is_the_price_at_which_two_days_cost_the_same() -> None:
    line = next(each for each in answer(work=WIDE).break_even if each.lost_days)
    assert line.lost_days is not None
    same = answer(f"[costs]\ntrip = {line.lost_days * 100}\nday = 100\n", work=WIDE)
    costs = {each.arrival: each.cost for each in same.days}
    earlier, later = costs[line.earlier], costs[line.later]
    assert earlier is not None
    assert later is not None
    assert earlier == pytest.approx(later, rel=0.01)


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (date(2026, 5, 1), "has passed"),
        (
            date(2026, 5, 9),
            "does not work on Sat 9 May; next to it are Fri 8 May and Mon 11",
        ),
    ],
)
def test_a_day_on_which_no_rig_comes_is_refused(on: date, words: str) -> None:
    job = asked(ROOMS + WORK + TRIP, AS_OF)
    with pytest.raises(DayError, match=words):
        chance(job.case, on, trials=100)


def test_a_trip_that_has_come_has_nothing_to_draw() -> None:
    come = TRIP.replace('lasts = "1 d"', 'lasts = "1 d", arrived = 2026-05-04T06:00:00')
    told = answer(trip=come)
    assert told.days == ()
    assert "has come" in told.notes[0]


def test_the_same_seed_gives_the_same_answer_and_another_one_another() -> None:
    job = asked(ROOMS + WORK + TRIP, AS_OF)
    one, again = (chance(job.case, trials=500, seed=3) for _ in range(2))
    assert one == again
    assert one.days != chance(job.case, trials=500, seed=4).days
