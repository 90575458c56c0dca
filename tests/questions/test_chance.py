"""How likely each day is: what is drawn shows, and nothing is recommended from nowhere."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import get_type_hints

import pytest

from readiness.facts.loader import load_chances
from readiness.planning.trials import tried
from readiness.planning.trials_assumed import Assuming
from readiness.planning.trials_days import Waiting, day_outcome, gained, mean
from readiness.planning.trials_drawn import Shape
from readiness.planning.trials_subject import subject_of
from readiness.planning.trials_told import BreakEvenLine, DayLine, HoldLine, WorthLine
from readiness.questions.chance import ChanceAnswer, DayError, chance
from tests.builders import AS_OF, ROOMS, TRIP, asked, at, facts, requirement

WORK = """
[work]
wiring = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "3 d" }
board = { trade = "drywall", in = ["bath"], order = "after", takes = "1 d", booked = 2026-05-15 }
"""
WIDE = WORK.replace('"3 d"', '"3 d", takes_at_least = "1 d", takes_at_most = "9 d"').replace(
    "2026-05-15", "2026-06-15"
)


TRIALS = 1_000


def answer(
    extra: str = "",
    work: str = WORK,
    trip: str = TRIP,
    *,
    only_own: bool = True,
    trials: int = TRIALS,
) -> ChanceAnswer:
    """Return the answer for a small job; of what is not written nothing is drawn."""
    job = asked(ROOMS + work + trip + extra, AS_OF)
    return chance(job.case, trials=trials, only_own=only_own)


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


def test_every_figure_has_its_standard_error_beside_it() -> None:
    """And it is that of the trials: four times as many make it half as large."""
    estimated = {
        DayLine: ("chance", "too_early", "too_late", "weather", "waiting_days", "cost"),
        HoldLine: ("last", "on_chain"),
        WorthLine: ("gains",),
        BreakEvenLine: ("lost_days",),
    }
    for kind, names in estimated.items():
        floats = [name for name, of in get_type_hints(kind).items() if of in (float, float | None)]
        assert sorted(floats) == sorted([*names, *(f"{name}_error" for name in names)])
    few, many = (answer(work=WIDE, trials=trials).break_even for trials in (TRIALS // 4, TRIALS))
    pairs = [(a, b) for a, b in zip(few, many, strict=False) if a.lost_days and b.lost_days]
    assert pairs
    for one, other in pairs:
        assert one.lost_days_error is not None
        assert other.lost_days_error is not None
        assert 0 < other.lost_days_error < one.lost_days_error
        spread = (one.lost_days_error**2 + other.lost_days_error**2) ** 0.5
        assert abs((one.lost_days or 0) - (other.lost_days or 0)) < 5 * spread + 0.02


def test_shares_that_exclude_each_other_nowhere_add_up_with_their_errors() -> None:
    """A day works in the trials that are none of: too early, too late, the wrong weather."""
    for line in answer(work=WIDE).days:
        assert line.chance >= 1 - line.too_early - line.too_late - line.weather - 1e-9
        for share, error in (
            (line.too_early, line.too_early_error),
            (line.too_late, line.too_late_error),
            (line.weather, line.weather_error),
        ):
            assert error == pytest.approx((share * (1 - share) / TRIALS) ** 0.5, abs=2e-4)


def test_days_compared_meet_the_same_trials() -> None:
    """Trial by trial a later day works wherever the earlier one did: nothing closes, no weather."""
    judge = asked(ROOMS + WIDE + TRIP, AS_OF).case.judge
    assuming = Assuming(judge.outlook, load_chances().chances, only_own=True)
    subject, _ = subject_of(judge, "first", assuming, Shape.TRIANGULAR)
    (outcome,) = tried(subject, TRIALS, 1)
    waiting = Waiting(outcome.opens, int, 480, judge.outlook.seen.as_of)
    days = [
        day_outcome(outcome, at(f"2026-05-{day:02} 07:00"), 0.0, waiting) for day in range(8, 20)
    ]
    for earlier, later in pairwise(days):
        assert not (earlier.works & ~later.works).any()
    assert 0 < days[0].works.mean() < days[-1].works.mean()
    change = gained(days[0], days[4])
    apart = (mean(days[0].works).error ** 2 + mean(days[4].works).error ** 2) ** 0.5
    assert change.error <= apart


def test_that_lengths_are_independent_is_said_in_the_answer() -> None:
    assert any("independently of one another" in note for note in answer(work=WIDE).notes)


def test_material_that_may_be_missing_makes_a_day_less_likely() -> None:
    """One in five: the crew comes, cannot work, and begins a day later."""
    sure, doubtful = answer(), answer('[chances]\nmaterials = { wiring = "20 %" }\n')
    assert at_seven(sure, 7).chance == 1
    line = at_seven(doubtful, 7)
    assert line.chance == pytest.approx(0.8, abs=4 * line.chance_error)
