"""Each starter is a filled-in job that is on course, whenever it is used.

Invariant: a kind of work that no starter shows does not exist.
"""

from __future__ import annotations

import re
import tomllib
from datetime import datetime
from functools import cache
from pathlib import Path

import pytest

from readiness.desk.desk import Desk, desk_of
from readiness.exchange.job_text import example_text
from readiness.exchange.starter_days import Days, place_of, working_day
from readiness.facts.loader import load_facts
from readiness.facts.vocabulary import JobKind
from readiness.questions.check import check
from readiness.questions.letters import letters
from readiness.questions.when import when
from readiness.starters import CARD, STARTERS, starter_text

DAYS_TO_SPRAY = 20
MOST_LINES_ON_A_GOOD_JOB = 3
MOMENTS = tuple(
    map(
        datetime.fromisoformat,
        ("2026-05-04T06:30", "2026-08-01T23:10", "2026-12-18T12:00", "2027-03-12T15:45"),
    )
)
"""A Monday morning, a Saturday night, before the holidays, before the clocks change."""

every_starter = pytest.mark.parametrize("kind", sorted(STARTERS))


def text_at(kind: str, moment: datetime) -> str:
    starter = starter_text(kind)
    country, state, _ = place_of(starter)
    spray = working_day(moment.date(), DAYS_TO_SPRAY, country, state)
    days = Days(moment.date(), spray, country, state)
    return example_text(starter, days, "a1b2c3d4", moment)


@cache
def desk_at(kind: str, moment: datetime) -> Desk:
    return desk_of(text_at(kind, moment), Path("job.toml"))


def test_there_is_one_for_each_kind_of_job_and_a_card() -> None:
    assert set(STARTERS) == {*(kind.value for kind in JobKind), CARD}


@every_starter
def test_a_starter_says_its_own_kind(kind: str) -> None:
    job = desk_at(kind, MOMENTS[0]).job
    assert job.card == (kind == CARD)
    assert job.kind == ("new house" if kind == CARD else kind)


@every_starter
@pytest.mark.parametrize("moment", MOMENTS, ids=lambda moment: f"{moment:%Y-%m-%d}")
def test_a_starter_is_on_course_and_quiet(kind: str, moment: datetime) -> None:
    answer = check(desk_at(kind, moment).case())
    assert answer.verdict == "on course", [line.says for line in answer.blockers]
    assert len(answer.notes) <= MOST_LINES_ON_A_GOOD_JOB


@every_starter
def test_a_starter_passes_through_every_question(kind: str) -> None:
    case = desk_at(kind, MOMENTS[0]).case()
    assert when(case).trips
    sent = letters(case)
    assert any(letter.file == "contractor.ics" for letter in sent.letters)


def test_every_kind_of_work_is_in_some_starter() -> None:
    shown = {stay for kind in STARTERS for stay in desk_at(kind, MOMENTS[0]).frame.site.stays}
    assert set(load_facts().work) <= shown


@every_starter
def test_no_day_is_left_out(kind: str) -> None:
    """A starter is TOML as it stands, and every text that stands for a day becomes one."""
    assert tomllib.loads(starter_text(kind))["trips"]
    assert not re.search(r'"(spray|today)\b', text_at(kind, MOMENTS[0]))


@every_starter
def test_people_and_firms_are_invented(kind: str) -> None:
    text = starter_text(kind)
    assert all(re.fullmatch(r"555-01\d\d", phone) for phone in re.findall(r"\d{3}-\d{4}\b", text))
    assert all(mail.endswith(".example.com") for mail in re.findall(r'email = "([^"]+)"', text))
    assert "is invented" in text_at(kind, MOMENTS[0])


@every_starter
def test_the_tables_are_explained(kind: str) -> None:
    """Above every table stands a comment that says what it is for."""
    lines = starter_text(kind).splitlines()
    tables = [number for number, line in enumerate(lines) if re.fullmatch(r"\[\w+\]", line)]
    assert all(lines[number - 1].startswith("#") for number in tables)
