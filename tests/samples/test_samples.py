"""The sample jobs give the verdicts they name, and are what they claim to be.

Invariant: every folder of `sample_jobs` has a line in the table below.
"""

from __future__ import annotations

import re
from datetime import timedelta
from functools import cache

import pytest
from click.testing import CliRunner

from readiness.cli.main import Exit, readiness
from readiness.desk.desk import Desk, open_desk
from readiness.facts.vocabulary import Gate
from readiness.questions.check import CheckAnswer, check
from readiness.screens.board_entries import board_entries
from tests.conftest import ROOT

SAMPLES = ROOT / "sample_jobs"
VERDICTS = {
    "basement-flat": "crossed",
    "garden-room-addition": "on course",
    "post-frame-shop": "ready",
    "row-house-renovation": "too late",
    "two-storey-house": "too early",
}
GOOD = ("on course", "ready")
HOUSE = "two-storey-house"
MOST_LINES_OF_A_HOUSE = 150
MOST_LINES_ON_A_GOOD_JOB = 3


@cache
def desk_of_sample(name: str) -> Desk:
    return open_desk(SAMPLES / name)


@cache
def answer_of(name: str) -> CheckAnswer:
    return check(desk_of_sample(name).case())


def text_of(name: str) -> str:
    return (SAMPLES / name / "job.toml").read_text(encoding="utf-8")


def words_of_rooms(name: str) -> dict[str, str]:
    return {room.room: room.word for room in answer_of(name).rooms}


every_sample = pytest.mark.parametrize("name", sorted(VERDICTS))


def test_every_folder_is_named_here() -> None:
    assert {file.parent.name for file in SAMPLES.glob("*/job.toml")} == set(VERDICTS)


@every_sample
def test_a_sample_gives_the_verdict_it_names(name: str) -> None:
    named = re.search(r"^# Verdict: ([a-z ]+)\.", text_of(name), flags=re.MULTILINE)
    assert named is not None
    assert named[1] == VERDICTS[name] == answer_of(name).verdict


@every_sample
def test_the_exit_code_says_the_same(name: str) -> None:
    call = ["check", str(SAMPLES / name)]
    ran = CliRunner().invoke(readiness, call, standalone_mode=False, catch_exceptions=False)
    assert ran.return_value == (Exit.YES if VERDICTS[name] in GOOD else Exit.NO)
    assert VERDICTS[name] in ran.output


@every_sample
def test_the_clock_stands_on_the_morning_of_the_trip(name: str) -> None:
    """Except where three days are left, which shows what `on course` means."""
    instants = answer_of(name).instants
    days_left = 3 if VERDICTS[name] == "on course" else 0
    assert instants.on.date() - instants.as_of.date() == timedelta(days=days_left)
    assert instants.as_of < instants.on


@pytest.mark.parametrize("name", [name for name, word in VERDICTS.items() if word in GOOD])
def test_a_good_job_is_quiet(name: str) -> None:
    answer = answer_of(name)
    assert not answer.blockers
    assert len(answer.notes) <= MOST_LINES_ON_A_GOOD_JOB


def test_the_house_is_too_early_in_two_rooms_and_ready_in_the_rest() -> None:
    words = words_of_rooms(HOUSE)
    assert {room for room, word in words.items() if word == "too early"} == {"bath", "laundry"}
    assert {word for room, word in words.items() if room not in {"bath", "laundry"}} == {"ready"}


def test_the_house_is_of_real_size_in_few_lines() -> None:
    desk = desk_of_sample(HOUSE)
    assert len(desk.job.rooms) == 12
    assert len(desk.job.surfaces) == 30
    assert len(desk.job.trades) == 9
    assert len(desk.job.obstructions) == 8
    assert 60 <= len(desk.frame.site.stays) <= 70
    assert len(text_of(HOUSE).splitlines()) <= MOST_LINES_OF_A_HOUSE


def test_a_stack_of_board_is_in_the_way_and_a_furnace_too_late() -> None:
    """Loose things make a room not prepared; only what is set makes it too late."""
    words = words_of_rooms("row-house-renovation")
    assert words.pop("front-room") == "not prepared"
    assert words.pop("attic") == "too late"
    assert set(words.values()) == {"ready"}


def test_one_room_of_the_basement_is_crossed() -> None:
    words = words_of_rooms("basement-flat")
    assert words.pop("utility-room") == "crossed"
    assert set(words.values()) == {"ready"}
    assert not answer_of("basement-flat").two_trips


def test_the_samples_lie_in_two_countries_and_one_is_metric() -> None:
    jobs = [desk_of_sample(name).job for name in VERDICTS]
    assert {job.site.country for job in jobs} == {"CA", "US"}
    assert {job.units for job in jobs} == {"US", "metric"}
    metric = next(job for job in jobs if job.units == "metric")
    assert not re.search(r"\d (in|sq ft|ft)\b", text_of("row-house-renovation"))
    assert metric.site.country == "CA"


@every_sample
def test_people_and_firms_are_invented(name: str) -> None:
    text = text_of(name)
    assert "is invented" in text
    assert all(re.fullmatch(r"555-01\d\d", phone) for phone in re.findall(r"\d{3}-\d{4}\b", text))
    assert all(mail.endswith(".example.com") for mail in re.findall(r'email = "([^"]+)"', text))
    assert len({desk_of_sample(other).job.key for other in VERDICTS}) == len(VERDICTS)


def test_who_sends_the_rig_is_told_where_it_is_booked_in_vain() -> None:
    """The trip of the house is booked for this morning; its last look is due tomorrow noon."""
    told = answer_of(HOUSE).booked_in_vain
    assert told is not None
    assert (told.who.phone, told.arrival) == ("555-0102", answer_of(HOUSE).instants.on)
    assert told.open_from is not None
    assert told.open_from - told.arrival == timedelta(days=1, hours=4, minutes=30)
    call = answer_of(HOUSE).next_call
    assert call is not None
    assert (call.who, call.about) == (told.who, "hold the 07:30 rig or agree on the rest")
    furnace_in_the_way = answer_of("row-house-renovation").booked_in_vain
    assert furnace_in_the_way is not None
    assert furnace_in_the_way.open_from is None
    assert [
        answer_of(name).booked_in_vain for name in sorted(VERDICTS) if VERDICTS[name] in GOOD
    ] == [None, None]


def test_another_day_than_the_booked_one_calls_nobody_off() -> None:
    case = desk_of_sample(HOUSE).case()
    monday = check(case, answer_of(HOUSE).instants.on.date() + timedelta(days=6))
    assert monday.booked_in_vain is None


@every_sample
def test_every_entry_of_the_board_screen_has_an_id_of_its_own(name: str) -> None:
    """Before the foam too; the list on the screen takes no id twice."""
    answer = check(desk_of_sample(name).case(), gate=Gate.BOARD)
    ids = [entry.id for entry in board_entries(answer, None)]
    assert len(ids) == len(set(ids))
