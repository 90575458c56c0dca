"""Edge lines as text: both edges, their culprits, and what has no date."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.pages.columns import columns_of
from readiness.pages.edge_lines import days_that_fit, edge_lines
from readiness.questions.check import SurfaceLine
from readiness.telling.window_lines import WindowLine

ZONE = ZoneInfo("America/New_York")
MONDAY, THURSDAY = date(2026, 5, 4), date(2026, 5, 14)


def at(day: int, hour: int = 7, month: int = 5) -> datetime:
    return datetime(2026, month, day, hour, tzinfo=ZONE)


def window(
    opens: datetime | None,
    opens_by: str,
    last_start: datetime | None = None,
    closes_by: str = "nothing booked closes it",
    *,
    no_date: bool = False,
    closed_for_ever: bool = False,
    costs_from: datetime | None = None,
) -> WindowLine:
    is_empty = closed_for_ever or bool(opens and last_start and last_start < opens)
    return WindowLine(
        opens=opens,
        opens_by=opens_by,
        has_no_opening_date=no_date,
        last_start=last_start,
        closes_by=closes_by,
        closes=None,
        is_closed_for_ever=closed_for_ever,
        costs_from=costs_from,
        is_empty=is_empty,
        closers=(),
    )


def surface(name: str, word: str, spray_window: WindowLine | None) -> SurfaceLine:
    return SurfaceLine(
        surface=name,
        name=name,
        rooms=(),
        storey="",
        kind="wall above grade",
        trip="first",
        word=word,
        flags=(),
        window=spray_window,
        area_square_feet=64.0,
        blockers=(),
    )


def drawn(*surfaces: SurfaceLine, asked: date | None = None) -> list[str]:
    return edge_lines(surfaces, MONDAY, THURSDAY, asked=asked)


BATH = surface(
    "Bath 1",
    "too early",
    window(
        at(11),
        "cover approval",
        at(13, 16),
        "tub, plumber, Thu 14",
        costs_from=at(12, 16),
    ),
)
KITCHEN = surface(
    "Kitchen",
    "crossed",
    window(at(11), "rough electrical", at(4, 16), "duct, HVAC, Tue 5"),
)


def test_the_picture_of_two_rooms() -> None:
    """Two spray windows: one opens and closes in the second week, one is crossed."""
    assert drawn(BATH, KITCHEN) == [
        "May 2026      Mo4 Tu5 We6 Th7 Fr8 | M11 T12 W13 T14",
        "Bath 1   <..  .   .   .   .   .   | [=======$$$$]>  tub, plumber, Thu 14",
        "              opens after cover approval, Mon 11 May",
        "Kitchen  >.<  .   ]>  duct, HVAC, Tue 5",
        "              opens only Mon 11 May: rough electrical",
        ".  not open   [ opens   = open   $ open, costs the finish   ]> closed by",
    ]


def test_a_quarter_of_a_day_is_a_column() -> None:
    half_a_day = window(at(4, 12), "cable", at(5, 10), "tub, plumber, Wed 6")
    row = drawn(surface("Bath", "ready", half_a_day))[1]
    assert row == "Bath     [=]  . [===]>  tub, plumber, Wed 6"


def test_a_spray_window_that_opened_before_the_days_drawn_is_open_from_the_left() -> None:
    lines = drawn(surface("Hall", "ready", window(at(30, 12, 4), "cable")))
    assert lines[1] == "Hall     [=]  ====================| ================"
    assert lines[2] == "              opens after cable, Thu 30 Apr; nothing booked closes it"


def test_what_has_no_opening_date_says_so() -> None:
    lines = drawn(surface("Attic", "too early", window(None, "pull the furnace", no_date=True)))
    assert lines[1] == "Attic    <..  .   .   .   .   .   | .   .   .   ."
    assert lines[2] == ("              no date to open: pull the furnace; nothing booked closes it")


def test_what_was_never_closed_to_foam_is_open_from_the_start() -> None:
    lines = drawn(surface("Hall", "ready", window(None, "open from the start")))
    assert lines[2] == "              open from the start; nothing booked closes it"


def test_what_stands_in_the_way_closes_every_day() -> None:
    closed = window(at(4), "cable", None, "furnace, HVAC, Fri 1", closed_for_ever=True)
    assert drawn(surface("Attic", "too late", closed))[1] == (
        "Attic    ..>  ]>  furnace, HVAC, Fri 1"
    )


def test_an_edge_behind_the_days_drawn_is_told_in_words() -> None:
    later = window(at(20), "cable", at(28), "Hang the board, Board crew, Fri 29")
    lines = drawn(surface("Hall", "too early", later))
    assert lines[1] == "Hall     <..  .   .   .   .   .   | .   .   .   ."
    assert lines[2].strip() == (
        "opens after cable, Wed 20 May; last arrival Thu 28 May: Hang th..."
    )


def test_a_weekend_is_drawn_only_if_an_edge_lies_on_it() -> None:
    assert "Sa9" not in drawn(BATH)[0]
    saturday = surface("Hall", "too early", window(at(9), "cable"))
    assert "Fr8 Sa9 | M11" in drawn(saturday)[0]
    assert "S10*" in drawn(BATH, asked=date(2026, 5, 10))[0]


def test_edges_on_weekends_give_way_to_the_asked_day() -> None:
    saturday = surface("Hall", "ready", window(at(9), "cable", at(10), "tub, plumber, Mon 11"))
    lines = edge_lines([saturday], MONDAY, THURSDAY, asked=THURSDAY, width=14 + 9 * 4 + 2)
    assert lines[0].endswith("T14*")
    assert "Sa9" not in lines[0]


def test_the_asked_day_is_marked_and_the_legend_says_so() -> None:
    lines = drawn(BATH, asked=date(2026, 5, 11))
    assert "| M11*T12" in lines[0]
    assert lines[-1].endswith("* asked")


def test_what_was_sprayed_has_no_edges() -> None:
    assert drawn(surface("Hall", "passed", None))[1] == "Hall     ###  passed"


def test_wide_letters_do_not_push_the_days() -> None:
    lines = drawn(surface("浴室東の壁", "ready", window(None, "")), BATH)
    assert columns_of(lines[1].partition("[=]")[0]) == lines[3].index("<..")


def test_a_long_name_goes_on_below_and_is_cut_there() -> None:
    lines = drawn(surface("Living room north wall", "ready", window(None, "")))
    assert lines[1].startswith("Living room      [=]")
    assert lines[2].startswith("north wall ")
    endless = drawn(surface("x" * 300, "ready", window(None, "")))
    assert endless[2].partition(" ")[0].endswith("...")


def test_whose_and_when_stay_when_the_culprit_is_cut() -> None:
    long = window(None, "", at(13, 16), "Frame soffits and dropped ceilings here, Framer, Thu 14")
    row = drawn(surface("Hall", "ready", long))[1]
    assert row.endswith("..., Framer, Thu 14")


def test_days_are_as_many_as_leave_room_for_the_culprits() -> None:
    assert days_that_fit(MONDAY) == date(2026, 5, 14)
    assert days_that_fit(MONDAY, 120) > date(2026, 5, 18)


moments = st.one_of(
    st.none(),
    st.builds(
        lambda days, hour: at(4, hour) + timedelta(days=days),
        st.integers(-10, 25),
        st.integers(0, 23),
    ),
)


edges = st.builds(
    lambda names, opens, last, costs: window(
        opens, names, last, f"{names}, plumber, Thu 14", costs_from=costs
    ),
    st.text(max_size=30),
    moments,
    moments,
    moments,
)


@given(
    windows=st.lists(edges, min_size=1, max_size=3),
    name=st.text(max_size=40),
    width=st.integers(60, 130),
    asked=st.integers(0, 10),
)
def test_no_line_is_wider_than_asked(
    windows: list[WindowLine], name: str, width: int, asked: int
) -> None:
    lines = edge_lines(
        [surface(name, "ready", one) for one in windows],
        MONDAY,
        days_that_fit(MONDAY, width),
        asked=MONDAY + timedelta(days=asked),
        width=width,
    )
    assert len(lines) == 2 + 2 * len(windows)
    assert all(columns_of(line) <= width for line in lines)


@pytest.mark.parametrize("hour", [6, 8, 9, 11, 12, 14, 15, 22])
def test_the_quarter_of_the_last_arrival_is_still_open(hour: int) -> None:
    row = drawn(surface("Hall", "ready", window(None, "", at(5, hour), "tub, plumber, Wed 6")))[1]
    quarters = 4 + 1 + sum(hour >= end for end in (9, 12, 15))
    assert row.partition("[=]")[2].count("=") == quarters
