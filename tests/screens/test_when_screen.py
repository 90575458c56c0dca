"""The days: each as `check` says it, the windows as `when` says them, and a day to ask about."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from textual.widgets import Static

from readiness.facts.vocabulary import Gate
from readiness.pages.when_text import when_text
from readiness.questions.check import check
from readiness.questions.when import when
from readiness.screens.day_entries import DAY
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.when_screen import DAYS, WhenScreen, WindowsPane
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import TEXT, app_of, asker_in, asker_of, near
from tests.screens.test_job_screen import rewrite

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.app import JobApp

FIRST = date(2026, 5, 4)


def days(app: JobApp) -> dict[date, list[str]]:
    """Return what is said of each day."""
    return {
        date.fromisoformat(entry.id.removeprefix(DAY)): entry.texts()
        for entry in app.screen.query_one(EntriesPane).entries
        if entry.id.startswith(DAY)
    }


async def test_each_day_says_what_check_says_of_it() -> None:
    asker = asker_of()
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, WhenScreen)
        shown = days(app)
        assert list(shown) == [FIRST + timedelta(days=number) for number in range(DAYS)]
        for day, texts in shown.items():
            answer = check(asker.case(), day)
            assert f", {answer.verdict}" in texts[0]
            if answer.blockers:
                assert texts[1] == answer.blockers[answer.told_first].says
    assert len({text[0].split(", ")[1] for text in shown.values()}) > 1, "not one word for all"


async def test_the_windows_are_those_of_when() -> None:
    asker = asker_of()
    app = app_of(asker)
    async with app.run_test(size=(200, 60)) as pilot:
        screen = await opened(pilot, app, WhenScreen)
        shown = str(screen.query_one(WindowsPane).query_one(Static).content)
        told = when_text(when(asker.case())).partition("\n")[2]
        assert len(told.split()) > 20
        assert shown.split() == told.split(), "wrapped, and else the same"


async def test_enter_asks_about_a_day_on_all_screens() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, WhenScreen)
        assert screen.query_one(EntriesPane).at == "day 2026-05-11", "the asked day is in view"
        assert days(app)[date(2026, 5, 11)][0].startswith(">.< Mon 11 May (booked and asked)")
        await press(pilot, "down", "down", "enter")
        assert app.session.asked.on == date(2026, 5, 13)
        assert days(app)[date(2026, 5, 13)][0].startswith("..> Wed 13 May (asked)")
        assert days(app)[date(2026, 5, 11)][0].startswith(">.< Mon 11 May (booked),")
        await press(pilot, "1")
        assert "Wed 13 May 07:00 (booked: Mon 11 May)" in screen_text(app)


async def test_a_click_and_the_arrow_keys_ask_too() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, WhenScreen)
        await press(pilot, "right")
        assert "Tue 12 May (asked)" in days(app)[date(2026, 5, 12)][0]
        screen.query_one(EntriesPane).scroll_home(animate=False)
        await settled(pilot)
        await pilot.click(EntriesPane, offset=(8, 2))
        await settled(pilot)
        assert app.session.asked.on == FIRST


async def test_another_gate_is_another_verdict_for_every_day() -> None:
    asker = asker_of(near())
    app = app_of(asker)
    async with app.run_test() as pilot:
        await opened(pilot, app, WhenScreen)
        await press(pilot, "g", "g")
        assert app.session.asked.gate is Gate.ROLL
        for day, texts in days(app).items():
            assert f", {check(asker.case(), day, Gate.ROLL).verdict}" in texts[0]


async def test_later_days_come_with_a_key() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await opened(pilot, app, WhenScreen)
        await press(pilot, "l")
        assert len(days(app)) == 2 * DAYS
        assert "of 56 days" not in screen_text(app), "what was said while it worked is gone"


async def test_a_day_on_which_nobody_works_says_so() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await opened(pilot, app, WhenScreen)
        shown = days(app)
        off = {day for day, texts in shown.items() if "the spray crew does not work" in texts[0]}
        assert off == {day for day in shown if day.weekday() >= 5} | {date(2026, 5, 25)}


async def test_another_reading_of_the_job_is_asked_anew(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path))
    async with app.run_test() as pilot:
        await opened(pilot, app, WhenScreen)
        before = days(app)
        rewrite(tmp_path, TEXT.replace("booked = 2026-05-12", "booked = 2026-05-22"))
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert days(app)[date(2026, 5, 11)] != before[date(2026, 5, 11)]
