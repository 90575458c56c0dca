"""Is it ready: the answer as plain values, from the verdict to the last note."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import assume, given

from readiness.desk.desk import open_desk
from readiness.facts.vocabulary import Gate
from readiness.pages.as_json import answer_json
from readiness.pages.check_text import check_text
from readiness.pages.when_text import when_text
from readiness.questions.check import check
from readiness.questions.when import when
from tests.builders import ROOMS, TRIP, asked, facts, requirement
from tests.conftest import ROOT
from tests.laws.random_jobs import Plan, asked_of, plans

SAMPLES = sorted(file.parent.name for file in (ROOT / "sample_jobs").glob("*/job.toml"))
WIRES = (
    '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d"%s }\n'
)
TUB = 'tub = { trade = "plumber", in = ["bath"], order = "after", takes = "1 d"%s }\n'


def test_the_answer_begins_with_both_instants_and_the_gate() -> None:
    answer = check(asked(ROOMS + TRIP).case)
    assert answer.instants.as_of.isoformat() == "2026-05-04T06:30:00+00:00"
    assert answer.instants.on.isoformat() == "2026-05-11T07:00:00+00:00"
    assert answer.instants.gate == "promise"
    assert answer.is_yes
    assert answer.verdict == "on course"


def test_a_good_job_is_held_up_by_few_lines() -> None:
    """Only requirements whose effect stops something can make it not ready."""
    kinds = facts(
        requirements={
            f"note-{n}": requirement(effect="note", scope="house", wanted_before="20 d")
            for n in range(9)
        }
        | {"dry": requirement(wanted_before="20 d", due="promise")}
    )
    text = "[requirements]\ndry = {}\n" + "".join(f"note-{n} = {{}}\n" for n in range(9))
    answer = check(asked(ROOMS + text + TRIP, tables=kinds).case)
    assert 1 <= len(answer.blockers) <= 3
    assert {line.code for line in answer.blockers} == {"dry"}


def test_a_blocker_is_told_once_at_its_own_place_with_all_it_holds() -> None:
    kinds = facts(
        requirements={
            "access": requirement(
                category="access",
                scope="site",
                due="promise",
                wanted_before="20 d",
                effect="stops the trip",
            )
        }
    )
    answer = check(asked(ROOMS + "[requirements]\naccess = {}\n" + TRIP, tables=kinds).case)
    (line,) = answer.blockers
    assert line.place == "site"
    assert set(line.surfaces) == {"bath.outer", "kitchen.outer"}


def test_what_clears_last_comes_first_and_its_caller_is_the_next_call() -> None:
    text = WIRES % ", booked = 2026-05-20" + (
        'pipes = { trade = "plumber", in = ["kitchen"], order = "before", takes = "1 d", '
        "booked = 2026-05-12 }\n"
    )
    answer = check(asked(ROOMS + text + TRIP).case)
    assert [line.code for line in answer.blockers] == ["wires", "pipes"]
    assert answer.next_call is not None
    assert answer.next_call.who == answer.blockers[0].call


def test_ready_area_counts_the_surfaces_that_are_ready() -> None:
    answer = check(asked(ROOMS + WIRES % ", booked = 2026-05-20" + TRIP).case)
    assert (answer.ready_square_feet, answer.trip_square_feet) == (100, 200)


def test_everybody_booked_inside_from_arrival_to_release_is_named() -> None:
    paint = (
        '[work]\npaint = { trade = "contractor", in = ["kitchen"], order = "free", '
        'takes = "1 d", booked = %s }\n'
    )
    during = check(asked(ROOMS + paint % "2026-05-12" + TRIP).case)
    assert len(during.inside) == 1
    before = check(asked(ROOMS + paint % "2026-05-08" + TRIP).case)
    assert not before.inside


def test_a_gate_and_a_day_may_be_asked_for() -> None:
    job = asked(ROOMS + WIRES % "" + TRIP)
    assert check(job.case, date(2026, 5, 12)).instants.on.isoformat()[:10] == "2026-05-12"
    assert check(job.case, gate=Gate.GUN).instants.gate == "gun"
    assert not check(job.case, gate=Gate.GUN).is_yes


@given(plans())
def test_every_question_answers_every_job_without_a_date_of_the_year_9999(plan: Plan) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    for trip in job.site.trips:
        answer = check(job.case, trip=trip)
        assert answer.is_yes == (not answer.blockers)
        told = check_text(answer) + answer_json(answer)
        assert "9999" not in told
        assert "1099511627776" not in told
    dates = when(job.case)
    told = when_text(dates) + answer_json(dates)
    assert "9999" not in told
    assert "1099511627776" not in told


@pytest.mark.parametrize("gate", ["gun", "board"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_no_caution_is_told_twice(sample: str, gate: str) -> None:
    answer = check(open_desk(ROOT / "sample_jobs" / sample).case(), gate=Gate(gate))
    assert len(answer.cautions) == len(set(answer.cautions))
    assert answer.cautions


def test_residents_wait_longer_than_workers_where_the_trip_says_so() -> None:
    alike = check(asked(ROOMS + TRIP).case).keep_out
    trip = TRIP.replace('lasts = "1 d"', 'lasts = "1 d", residents_after = "48 h elapsed"')
    later = check(asked(ROOMS + trip).case).keep_out
    assert alike is not None
    assert later is not None
    assert alike.not_before is not None
    assert later.residents_not_before is not None
    assert alike.residents_not_before == alike.not_before == later.not_before
    assert later.residents_not_before - alike.not_before == timedelta(hours=24)
    assert later.missing == (), "a release is not due before the rig has come"
