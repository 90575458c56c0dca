"""How likely each day is: what is drawn shows, and nothing is recommended from nowhere."""

from __future__ import annotations

from datetime import date

import pytest

from readiness.planning.trials_told import DayLine
from readiness.questions.chance import ChanceAnswer, DayError, chance
from tests.builders import AS_OF, ROOMS, TRIP, asked, facts, requirement

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


LOOKED_AT = """
[offices]
town = { visits = "Tue,Thu 09:00-11:00", cut_off = "15:00", notice = "1 d" }

[approvals]
wiring-look = []

[work]
wiring = { trade = "electrician", order = "before", takes = "1 d", approval = "wiring-look" }
"""
ON_WEDNESDAY = TRIP.replace("2026-05-11", "2026-05-06")


def test_a_look_asked_for_a_day_later_may_miss_the_trip() -> None:
    """Asked on Monday the office comes on Tuesday; asked on Tuesday it comes on Thursday."""
    told = answer(work=LOOKED_AT, trip=ON_WEDNESDAY)
    assert at_seven(told, 6).chance == 1
    (line,) = told.worth
    assert line.says == "to ask today and not on Tue 5: Look at the wiring"
    assert (line.gains, line.who.id) == (1, "town")


def test_a_look_that_often_fails_is_worth_a_look_before() -> None:
    told = answer('[chances]\nlook_fails = "40 %"\n', work=LOOKED_AT, trip=ON_WEDNESDAY)
    assert at_seven(told, 6).chance == pytest.approx(0.6, abs=4 * at_seven(told, 6).chance_error)
    before = next(line for line in told.worth if line.says.startswith("to go through"))
    assert before.gains == pytest.approx(0.4, abs=4 * before.gains_error)
    assert before.who.id == "electrician"
    assert [(line.title, line.last, line.on_chain) for line in told.holds] == [
        ("Look at the wiring", 1, 1),
        ("wiring", 0, 1),
    ]


def test_a_look_already_asked_for_is_not_asked_for_again() -> None:
    request = "wiring-look = { requested = 2026-05-04T06:00:00 }"
    asked_for = LOOKED_AT.replace("wiring-look = []", request)
    assert answer(work=asked_for, trip=ON_WEDNESDAY).worth == ()


def test_days_lost_outside_hold_up_work_outside_alone() -> None:
    """Three days of which one in two is lost: all three go well in one of eight trials."""
    rain = '[chances]\noutside_weather = "50 %"\n'
    outside = WORK.replace('takes = "3 d"', 'takes = "3 d", where = "outside"')
    by_thursday = TRIP.replace("2026-05-11", "2026-05-07")
    line = at_seven(answer(rain, work=outside, trip=by_thursday), 7)
    assert line.chance == pytest.approx(1 / 8, abs=4 * line.chance_error)
    assert at_seven(answer(rain, trip=by_thursday), 7).chance == 1


def test_only_offered_hours_are_told_and_what_another_day_would_gain() -> None:
    hours = "2026-05-05T09:00:00, 2026-05-14T07:00:00"
    offered = f'[trips]\nfirst = {{ offered = [{hours}], lasts = "1 d" }}\n'
    told = answer(trip=offered)
    assert [line.arrival.day for line in told.days] == [14]
    assert (told.days[0].too_late, told.days[0].offered) == (1, True)
    assert "Asking for Thu 7 May 07:00, which is not offered, would gain 100 %." in told.notes
    good = offered.replace("2026-05-14T07", "2026-05-08T07")
    assert "Asking for a day that is not offered would gain nothing." in answer(trip=good).notes


def test_a_thing_that_stands_lets_no_day_work() -> None:
    tub = '[obstructions]\ntub = { is = "tub", blocks = ["bath.outer"], set = 2026-04-30 }\n'
    told = answer(tub)
    assert all(line.too_late == 1 for line in told.days)
    assert "As things stand no day works; 'check' tells what holds it up." in told.notes
    assert told.best is None


def test_a_dated_pull_holds_the_trip_by_its_own_name() -> None:
    tub = '[obstructions]\ntub = { is = "tub", blocks = ["bath.outer"], pull = 2026-05-08 }\n'
    told = answer(tub)
    assert told.holds[0].title == "pull the tub"
    assert told.holds[0].who.id == "plumber"


TWICE = """
[work]
pipes = { trade = "plumber", in = ["bath", "kitchen"], takes = "1 d", order = { "bath.outer" = "after", "kitchen.outer" = "before" } }
"""  # noqa: E501 - a line of a table has no break
TWO_TRIPS = """
[trips]
early = { surfaces = "bath.outer", booked = 2026-05-05T07:00:00, lasts = "1 d", lasts_at_most = "2 d" }
first = { surfaces = "kitchen.outer", booked = 2026-05-11T07:00:00, lasts = "1 d" }
"""  # noqa: E501 - a line of a table has no break


def test_what_waits_for_an_undated_thing_has_no_chance_at_all() -> None:
    """The main trip waits for pipes, they for the early trip, and that for a tub nobody pulls."""
    tub = '[obstructions]\ntub = { is = "tub", blocks = ["bath.outer"], set = 2026-04-30 }\n'
    job = asked(ROOMS + TWICE + TWO_TRIPS + tub, AS_OF)
    told = chance(job.case, trip="first", trials=200, only_own=True)
    assert {line.opens for line in told.opens} == {None}
    assert {line.first_arrival for line in told.opens} == {None}
    assert "In 100 % of the trials nobody can say when it opens." in told.notes
    assert [line.chance for line in told.days] == [0]


def test_an_earlier_trip_is_drawn_and_told_like_any_other_work() -> None:
    job = asked(ROOMS + TWICE + TWO_TRIPS, AS_OF)
    told = chance(job.case, trip="first", trials=500)
    assert "the early trip" in [line.title for line in told.holds]
    assert "The spray crew takes less or more than planned" in [line.about for line in told.assumed]


def test_what_only_evidence_can_meet_is_counted_and_not_drawn() -> None:
    needs = facts(requirements={"dry": requirement(wanted_before="7 d", due="promise")})
    job = asked(ROOMS + WORK + TRIP + "[requirements]\ndry = {}\n", AS_OF, needs)
    told = chance(job.case, trials=200, only_own=True)
    assert any(note.startswith("2 requirements have no evidence yet") for note in told.notes)


def test_a_call_about_material_is_the_same_call() -> None:
    tight = WORK.replace('"3 d"', '"5 d"')
    own = '[chances]\nmaterials = { wiring = "25 %" }\nmaterial_takes = "1 d"\n'
    (line,) = answer(own, work=tight).worth
    assert line.gains == pytest.approx(0.25, abs=4 * line.gains_error)


def test_work_under_way_keeps_its_range_for_what_is_left() -> None:
    """A third of the stay is left, so a third of its range is too, and nobody fails to come."""
    begun = WORK.replace(
        'takes = "3 d"',
        'takes = "6 d", takes_at_most = "12 d", begun = 2026-04-30, remaining = "2 d"',
    ).replace('in = ["bath", "kitchen"]', 'in = ["kitchen"]')
    told = answer('[chances]\nno_show = "90 %"\n', work=begun)
    middle = told.opens[0].opens
    assert middle is not None
    assert middle.day in {6, 7}
    assert told.worth == ()
