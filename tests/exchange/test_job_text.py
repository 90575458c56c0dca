"""A starter and some answers make the text of a job file."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.desk.desk import desk_of
from readiness.exchange.job_answers import Firm, Where, read_rooms
from readiness.exchange.job_text import Own, own_text
from readiness.exchange.starter_days import Days, board_days, place_of, working_day
from readiness.starters import CARD, STARTERS, starter_text
from tests.conftest import ROOT

ROOMS = "main: hall, attic, cellar, crawl space, odd room"
DAYS = Days(date(2026, 5, 4), date(2026, 6, 8), "US", "OH")


def own(name: str = "Elm Street 8", rooms: str = "", firm: Firm | None = None) -> Own:
    who = firm or Firm("Pell Foam", "555-0102")
    where = Where("US", "OH", "America/New_York")
    named = read_rooms(rooms) if rooms else ()
    return Own(name, where, named, who, who, who, who, date(2026, 6, 24))


@pytest.mark.parametrize(
    ("kind", "rooms"),
    [(kind, "") for kind in sorted(STARTERS)]
    + [(kind, ROOMS) for kind in sorted(STARTERS) if kind != CARD],
)
def test_a_job_of_ones_own_loads_for_every_kind(kind: str, rooms: str) -> None:
    text = own_text(starter_text(kind), DAYS, "a1b2c3d4", None, own(rooms=rooms))
    job = desk_of(text, ROOT / "job.toml").job
    assert job.name == "Elm Street 8"
    assert job.trades["spray"].name == "Pell Foam"
    assert not job.done
    assert not job.answers


@given(st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=40))
def test_any_name_that_can_be_seen_survives(name: str) -> None:
    text = own_text(starter_text("addition"), DAYS, "a1b2c3d4", None, own(name, firm=Firm(name)))
    data = tomllib.loads(text)
    assert data["name"] == name
    assert data["trades"]["spray"]["name"] == name
    assert data["site"]["contact"] == name


def test_without_names_the_examples_stand_as_comments() -> None:
    text = own_text(starter_text("basement"), DAYS, "a1b2c3d4", None, own(firm=Firm("")))
    assert "# building = { name" in text
    assert "# electrician" not in text.partition("[trades]")[0]
    data = tomllib.loads(text)
    assert data["trades"] == {}
    assert data["offices"] == {}


def test_days_are_put_in_as_dates_times_and_spans() -> None:
    """8 June 2026 is a Monday; the 25th of May before it is a public holiday."""
    text = 'a = "spray"\nb = "spray - 10"\nc = "spray + 1 07:30"\nd = "today to spray + 2"\n'
    assert tomllib.loads(DAYS.put_in(text)) == {
        "a": date(2026, 6, 8),
        "b": date(2026, 5, 22),
        "c": tomllib.loads("x = 2026-06-09T07:30:00")["x"],
        "d": "2026-05-04 to 2026-06-10",
    }


def test_other_texts_stay() -> None:
    text = 'note = "spray foam"\nother = "today we start"\n'
    assert DAYS.put_in(text) == text


def test_working_days_go_both_ways() -> None:
    monday = date(2026, 6, 8)
    assert working_day(monday, 5, "US", "OH") == date(2026, 6, 15)
    assert working_day(monday, -1, "US", "OH") == date(2026, 6, 5)
    assert working_day(monday, 0, "US", "OH") == monday


def test_a_starter_tells_where_it_lies_and_when_board_comes() -> None:
    assert place_of(starter_text("new house")) == ("US", "OH", "America/New_York")
    assert board_days(starter_text("new house")) == 12
    assert board_days(starter_text("crawl space")) is None
