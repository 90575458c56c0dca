"""What `plan` says of small jobs: phases, contradictions, what has no date."""

from __future__ import annotations

from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.job.problems import JobFileError
from readiness.pages.plan_text import plan_text
from readiness.planning.whole_plan import whole_plan
from readiness.questions.plan import PlanAnswer, plan

HEAD = """
name = "Elm Lane 3"
key = "elm-lane-3"
as_of = 2026-05-04T06:30:00
site = { time_zone = "America/New_York", country = "US", hours = "Mon-Fri 07:00-15:00" }
[rooms]
bath = { is = "bath", floor_area = "100 sq ft" }
hall = { is = "hall", floor_area = "100 sq ft" }
[surfaces]
bath.outer = { is = "wall above grade", area = "80 sq ft net", cavity = "5.5 in" }
hall.outer = { is = "wall above grade", area = "80 sq ft net", cavity = "5.5 in" }
"""
TRADES = {"one": "electrician", "two": "plumber", "screen": "framer", "chase": "hvac"}
ONE_TRIP = '[trips]\nmain = { surfaces = "all", lasts = "4 h", keep_out = "12 h elapsed" }\n'
TWO_TRIPS = """[trips]
early = { surfaces = ["bath.outer"], lasts = "4 h", keep_out = "12 h elapsed" }
late = { surfaces = ["hall.outer"], lasts = "4 h", keep_out = "12 h elapsed" }
"""


def answered(*lines: str, trips: str = ONE_TRIP, trades: str = "") -> PlanAnswer:
    """Return the plan of a small job with some lines of work."""
    text = HEAD + trades + "[work]\n" + "\n".join(lines) + "\n" + trips
    return plan(desk_of(text, Path("/nowhere/job.toml")).case())


def work(name: str, places: str = "bath", order: str = "before", more: str = "") -> str:
    """Return a line of one day's work."""
    return (
        f'{name} = {{ title = "{name}", trade = "{TRADES[name]}", in = ["{places}"], '
        f'order = "{order}", takes = "1 d"{more} }}'
    )


def starts(answer: PlanAnswer) -> dict[str, str]:
    """Return the start of every date, in words."""
    return {line.id: f"{line.starts:%a %d %H:%M}" for line in answer.dates}


def later_than_solved(*lines: str, trips: str) -> list[str]:
    """Return what the forward pass dates later than the solver did: it has left something out."""
    text = HEAD + "[work]\n" + "\n".join(lines) + "\n" + trips
    timed = whole_plan(desk_of(text, Path("/nowhere/job.toml")).case().outlook).timed
    assert timed is not None
    return [
        leg.id
        for number, leg in enumerate(timed.planned.legs)
        for part, task in enumerate(leg.tasks)
        if timed.forecast.start[task] > timed.solved.start(number, part)
    ]


def test_one_room_holds_one_trade_at_a_time() -> None:
    """Two trades of a day each in one room take two days, in two rooms one."""
    here = answered(work("one"), work("two"))
    assert sorted(starts(here)[name] for name in ("one", "two")) == ["Mon 04 07:00", "Tue 05 07:00"]
    assert starts(here)["trip:main"] == "Wed 06 07:00"
    apart = answered(work("one"), work("two", places="hall"))
    assert {starts(apart)[name] for name in ("one", "two")} == {"Mon 04 07:00"}
    assert starts(apart)["trip:main"] == "Tue 05 07:00"


def test_as_many_crews_of_a_trade_work_at_once_as_it_has() -> None:
    """One crew goes from room to room; two are in both."""
    lines = [work("one"), work("two", places="hall").replace("plumber", "electrician")]
    one = answered(*lines, trades="[trades]\nelectrician = { crews = 1 }\n")
    assert starts(one)["trip:main"] == "Wed 06 07:00"
    two = answered(*lines, trades="[trades]\nelectrician = { crews = 2 }\n")
    assert starts(two)["trip:main"] == "Tue 05 07:00"


def test_a_surface_needs_the_earlier_trip_if_something_stands_in_front_of_it() -> None:
    """The screen covers the bath wall, and the hall waits for what comes after it."""
    waits = ', starts_after = [{ end_of = "screen" }]'
    answer = answered(
        work("screen", order="after"),
        """chase = { title = "chase", trade = "hvac", in = ["hall"], order = "before", """
        f'''takes = "1 d"{waits} }}''',
        trips=TWO_TRIPS,
    )
    [phase] = answer.phases
    assert "screen" in phase
    assert "early" in phase
    assert "late" in phase
    trips = next(level for level in answer.levels if level.level == "trips")
    assert (trips.value, trips.is_proven) == (2, True)
    assert "Needs the earlier trip:" in plan_text(answer)


def test_two_trips_that_nothing_forces_apart_are_not_called_the_fewest() -> None:
    """The answer names the level and what no plan can beat."""
    answer = answered(work("one"), trips=TWO_TRIPS)
    trips = next(level for level in answer.levels if level.level == "trips")
    assert not trips.is_proven
    assert "Not proven: 2 trips; no plan is better than 1 trip." in plan_text(answer)


def test_circular_phases_in_one_trip_are_a_problem_of_the_file() -> None:
    """It says which surfaces to put into an earlier trip."""
    waits = ', starts_after = [{ end_of = "screen" }]'
    with pytest.raises(JobFileError, match="needs two trips"):
        answered(work("screen", order="after"), work("chase", places="hall", more=waits))


def test_agreed_dates_that_contradict_each_other_are_told_with_what_is_against_them() -> None:
    """The second is agreed before the first can be over; the fewest dates move."""
    answer = answered(
        work("one", more=", agreed = 2026-05-06"),
        work("two", more=', agreed = 2026-05-05, starts_after = [{ end_of = "one" }]'),
    )
    assert answer.levels[0].level == "agreed dates moved"
    assert answer.levels[0].value == 1
    assert len(answer.broken) == 1
    assert "Agreed, and not possible together:" in plan_text(answer)
    kept = answered(work("one", more=", agreed = 2026-05-06"))
    assert kept.broken == ()
    assert starts(kept)["one"] == "Wed 06 07:00"


def test_a_crew_stops_between_its_places_where_agreed_dates_would_move_else() -> None:
    """Eight hours of shelves, and four of something else agreed for the middle of them."""
    shelf = 'shelf = { title = "shelf", trade = "framer", in = ["bath", "hall"], order = "before", '
    trip = ONE_TRIP.replace("{ ", "{ agreed = 2026-05-05T11:00:00, ", 1)
    screen = work("screen", more=", agreed = 2026-05-04T11:00:00").replace("1 d", "4 h")
    answer = answered(f'{shelf}takes = "8 h" }}', screen, trips=trip)
    assert answer.broken == ()
    assert starts(answer)["screen"] == "Mon 04 11:00"
    assert starts(answer)["shelf"] == "Mon 04 07:00"
    assert any('stops between two of its places: "shelf"' in note for note in answer.notes)


def test_agreed_dates_that_one_crew_cannot_keep_name_whose_further_crew_would() -> None:
    """Ten hours of one crew before an arrival that leaves it eight; both dates are agreed."""
    trip = ONE_TRIP.replace("{ ", "{ agreed = 2026-05-05T07:00:00, ", 1)
    one = work("one").replace("1 d", "6 h")
    two = work("two", places="hall").replace("plumber", "electrician").replace("1 d", "4 h")
    answer = answered(one, two, trips=trip)
    assert answer.levels[0].says == "1 agreed date moved"
    assert "With more crews of Electrician all agreed dates could stand." in answer.broken
    assert any("without a break" in note for note in answer.notes)


def test_an_agreed_date_that_comes_sooner_says_what_for() -> None:
    """The plumber's eight hours can't begin on Monday at eleven and be over before the rig."""
    trip = ONE_TRIP.replace("{ ", "{ agreed = 2026-05-05T07:00:00, ", 1)
    late = work("two", more=", agreed = 2026-05-04T11:00:00")
    answer = answered(work("one", places="hall"), late, trips=trip)
    sooner = "comes Mon 4 May 07:00: sooner, so that the other agreed dates can stand."
    assert answer.broken == (f'"two" is agreed for Mon 4 May 11:00 and {sooner}',)
    assert starts(answer)["trip:main"] == "Tue 05 07:00"


def test_nobody_is_planned_inside_while_a_trip_keeps_the_place_shut() -> None:
    """Work that has nothing to do with the foam waits until two days after it as well."""
    trip = ONE_TRIP.replace("12 h elapsed", "48 h elapsed")
    free = work("two", places="hall", order="free", more=", not_before = 2026-05-05")
    answer = answered(work("one"), free, trips=trip)
    assert later_than_solved(work("one"), free, trips=trip) == []
    assert starts(answer)["trip:main"] == "Tue 05 07:00"
    assert starts(answer)["two"] == "Thu 07 11:00"


def test_what_comes_after_the_foam_waits_for_the_late_end_of_the_keep_out() -> None:
    """Sprayed in four hours at best and in twelve at worst: Wednesday 11:00, and half a day on."""
    trip = ONE_TRIP.replace('lasts = "4 h"', 'lasts = "4 h", lasts_at_most = "12 h"')
    answer = answered(work("one"), work("screen", order="after"), trips=trip)
    assert later_than_solved(work("one"), work("screen", order="after"), trips=trip) == []
    assert starts(answer)["trip:main"] == "Tue 05 07:00"
    assert starts(answer)["screen"] == "Thu 07 07:00"


def test_a_trip_that_nobody_has_written_is_written_with_its_date() -> None:
    """Surfaces in no trip get one: the plan writes the trip and books it."""
    answer = answered(work("one"), trips="")
    assert answer.board is not None
    kinds = [(line["kind"], line.get("trip", line.get("what"))) for line in answer.lines]
    assert kinds == [("dated", "one"), ("trip", "further"), ("dated", "further")]
    assert answer.lines[1]["surfaces"] == ["bath.outer", "hall.outer"]


def test_a_date_in_the_past_moves_and_one_on_a_day_off_comes_the_next_shift() -> None:
    """Nothing is planned before now, or when nobody works."""
    past = answered(work("one", more=", booked = 2026-04-20"))
    assert starts(past)["one"] == "Mon 04 07:00"
    closed = answered(work("one", more=", agreed = 2026-05-09"))
    assert starts(closed)["one"] == "Mon 11 07:00"


def test_a_limit_that_cannot_be_kept_leaves_no_plan_and_says_so() -> None:
    """`not_after` is a limit of the user's own."""
    answer = answered(work("one", more=", not_after = 2026-05-01"))
    assert answer.board is None
    assert answer.dates == ()
    assert "No plan" in answer.sentence
    limit = "may begin by Fri 1 May 15:30 at the latest (not_after)"
    assert answer.undated == (f'"one" {limit} and can\'t begin before Mon 4 May 07:00.',)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('"2 d", takes_at_least = "3 d", takes_at_most = "1 d"', "takes_at_least"),
        ('"-1 d"', "takes"),
        ('"1 d", fast_takes = "2 d"', "fast_takes"),
    ],
)
def test_durations_that_make_no_sense_are_problems_of_the_file(line: str, told: str) -> None:
    """The least is above the most; less than nothing."""
    with pytest.raises(JobFileError, match=told):
        answered(work("one").replace('"1 d"', line))


def test_no_crews_are_a_problem_of_the_file() -> None:
    """A trade has one crew at least; the line is named."""
    with pytest.raises(JobFileError, match="crews"):
        answered(work("one"), trades="[trades]\nelectrician = { crews = 0 }\n")


def test_work_that_is_done_is_not_planned_again() -> None:
    """And work under way is finished from where it stands."""
    answer = answered(
        work("one", more=", done = 2026-05-01"),
        work("two", places="hall", more=', begun = 2026-05-01, remaining = "2 h"'),
    )
    assert "one" not in starts(answer)
    two = next(line for line in answer.dates if line.id == "two")
    assert two.change == "under way"
    assert f"{two.ends:%a %d %H:%M}" == "Mon 04 09:00"


def test_an_earlier_start_of_board_is_priced_by_the_lines_own_figures() -> None:
    """One after the other in one room: a day less for 200, two for 500; the dearer first is out."""
    hurried = ', fast_takes = "1 d", fast_costs = '
    answer = answered(
        work("one", more=hurried + "200").replace('takes = "1 d"', 'takes = "2 d"', 1),
        work("two", more=hurried + "300").replace('takes = "1 d"', 'takes = "2 d"', 1),
        trades='[costs]\ncurrency = "USD"\n',
    )
    usual = answer.board
    assert usual is not None
    assert f"{usual:%a %d %b}" == "Fri 08 May"
    [cheap, dear] = answer.faster
    assert cheap.startswith("Thu 7 May")
    assert "200 USD more" in cheap
    assert dear.startswith("Wed 6 May")
    assert "500 USD more" in dear
    assert "Board earlier, for money:" in plan_text(answer)


def test_a_fast_way_without_a_price_is_named_and_not_guessed() -> None:
    """What it would bring is not told."""
    [said] = answered(work("one", more=', fast_takes = "4 h"')).faster[:1]
    assert "has no fast_costs" in said
