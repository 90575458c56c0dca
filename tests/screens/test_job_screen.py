"""Keys, clicks and files: what the screen asks, and what its panes then hold."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.facts.vocabulary import Gate
from readiness.job.problems import JobFileError
from readiness.screens.app import HINT
from readiness.screens.asker import Asked
from readiness.screens.edges_pane import EdgesPane, picture_of
from readiness.screens.help_screen import HelpScreen
from readiness.screens.holding_pane import HoldingPane
from readiness.screens.job_screen import JobScreen
from readiness.screens.messages import AnswerCame, FileWasRead
from readiness.screens.places_pane import PlacesPane
from tests.screens.picture import screen_text
from tests.screens.small_job import TEXT, app_of, asker_in, asker_of

if TYPE_CHECKING:
    from pathlib import Path

    from textual.message import Message
    from textual.pilot import Pilot

    from readiness.screens.app import JobApp


def shown(app: JobApp) -> JobScreen:
    screen = app.screen_stack[0]
    assert isinstance(screen, JobScreen)
    return screen


def asked_day(app: JobApp) -> date:
    return shown(app).answered.answer.instants.on.date()


async def settle(pilot: Pilot[None]) -> None:
    """Wait until no worker is left; a question that was overtaken ends as cancelled."""
    while any(not worker.is_finished for worker in pilot.app.workers):
        await pilot.pause(0.01)
    await pilot.pause()


async def test_arrows_move_the_day_and_the_verdict_follows() -> None:
    came: list[Message] = []
    app = app_of(asker_of())
    async with app.run_test(message_hook=came.append) as pilot:
        await pilot.press("right", "right")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 13)
        assert shown(app).answered.answer.verdict == "too late"
        assert "..> too late" in screen_text(app).splitlines()[0]
        await pilot.press("left")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 12)
    assert any(isinstance(message, AnswerCame) for message in came)


async def test_shift_moves_a_week_and_a_key_goes_back_to_the_booked_day() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.press("shift+right")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 18)
        assert "booked: Mon 11 May" in screen_text(app)
        await pilot.press("shift+left", "shift+left")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 4)
        await pilot.press("b")
        await settle(pilot)
        assert shown(app).asked == Asked()
        assert asked_day(app) == date(2026, 5, 11)


async def test_quick_keys_are_all_counted() -> None:
    """Each key moves from the day asked about, not from the day shown."""
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        for _ in range(10):
            shown(app).action_move(1)
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 21)


async def test_an_answer_to_an_earlier_question_is_dropped() -> None:
    asker = asker_of()
    app = app_of(asker)
    async with app.run_test() as pilot:
        screen = shown(app)
        late = Asked(date(2026, 5, 14))
        screen.post_message(AnswerCame(late, asker.ask(late)))
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 11)


async def test_the_gate_that_answers_is_named_and_can_be_changed() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.pause()
        assert "promise: may we name the day?" in screen_text(app)
        await pilot.press("g", "g")
        await settle(pilot)
        assert shown(app).asked.gate is Gate.ROLL
        assert "roll: may the rig leave?" in screen_text(app)


async def test_enter_on_a_place_shows_what_holds_it_and_escape_shows_all() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(100, 40)) as pilot:
        holding = app.screen.query_one(HoldingPane)
        every = [entry.id for entry in holding.entries]
        app.screen.query_one(PlacesPane).highlighted = 3
        await pilot.press("enter")
        await settle(pilot)
        assert shown(app).surfaces == ("bath.outer",)
        assert [entry.id for entry in holding.entries] == ["nothing"]
        edges = app.screen.query_one(EdgesPane)
        assert len(edges.lines) == 4, "days, two lines of the one surface, legend"
        await pilot.press("escape")
        await settle(pilot)
        assert shown(app).surfaces is None
        assert [entry.id for entry in holding.entries] == every


async def test_the_mouse_does_what_the_keys_do() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.click(PlacesPane, offset=(10, 3))
        await settle(pilot)
        assert shown(app).surfaces == ("kitchen.outer",)
        await pilot.click("#press-after")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 12)
        await pilot.click("#press-before")
        await settle(pilot)
        assert asked_day(app) == date(2026, 5, 11)
        await pilot.click("#asked-gate")
        await settle(pilot)
        assert shown(app).asked.gate is Gate.PROMISE
        await pilot.click(HoldingPane, offset=(8, 1))
        await settle(pilot)
        ids = [entry.id for entry in app.screen.query_one(HoldingPane).entries]
        assert any(id_.startswith("detail ") for id_ in ids), "it is unfolded"


async def test_unfolding_survives_another_day() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.press("h", "enter")
        await settle(pilot)
        holding = app.screen.query_one(HoldingPane)
        texts = [text for entry in holding.entries for text in entry.texts()]
        assert any("may waive it" in text or "may be waived" in text for text in texts)
        before = len([entry for entry in holding.entries if entry.id.startswith("detail")])
        await pilot.press("left")
        await settle(pilot)
        after = len([entry for entry in holding.entries if entry.id.startswith("detail")])
        assert before
        assert after == before


async def test_the_looks_are_switched_by_key_on_a_low_screen() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(80, 24)) as pilot:
        edges, holding = app.screen.query_one(EdgesPane), app.screen.query_one(HoldingPane)
        assert [edges.display, app.screen.query_one("#panes").display] == [False, True]
        await pilot.press("e")
        await settle(pilot)
        assert [edges.display, app.screen.query_one("#panes").display] == [True, False]
        assert edges.has_focus
        await pilot.press("p")
        await settle(pilot)
        assert holding.has_focus
        assert holding.entries[1].id.startswith("person ")
        await pilot.press("h")
        await settle(pilot)
        assert holding.entries[1].id.startswith("blocker ")


async def test_why_tells_where_each_rule_is_written() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.press("w")
        await settle(pilot)
        entries = app.screen.query_one(HoldingPane).entries
        texts = [text for entry in entries for text in entry.texts()]
        assert any(text.startswith("from: job.toml:") for text in texts)


async def test_help_tells_about_the_pane_and_does_what_is_chosen() -> None:
    app = app_of(asker_of())
    async with app.run_test() as pilot:
        await pilot.press("e", "f1")
        await settle(pilot)
        assert isinstance(app.screen, HelpScreen)
        assert "One line for each surface" in screen_text(app)
        await pilot.press("down", "enter")
        await settle(pilot)
        assert isinstance(app.screen, JobScreen)
        assert asked_day(app) == date(2026, 5, 12)


@given(asked=st.integers(-40, 60), columns=st.integers(60, 170))
def test_the_asked_day_is_always_among_those_drawn(asked: int, columns: int) -> None:
    answer = asker_of().ask(Asked()).answer
    moved = answer.instants.on + timedelta(days=asked)
    saturday = answer.instants.on.replace(day=9)
    lines = tuple(
        replace(line, name="n" * 40, window=line.window and replace(line.window, opens=saturday))
        for line in answer.surfaces
    )
    answer = replace(answer, instants=replace(answer.instants, on=moved), surfaces=lines)
    assert "*" in picture_of(answer, None, columns)[0]


async def test_resizing_loses_nothing() -> None:
    app = app_of(asker_of())
    async with app.run_test(size=(120, 40)) as pilot:
        app.screen.query_one(PlacesPane).highlighted = 1
        await pilot.press("enter", "right")
        await settle(pilot)
        await pilot.resize_terminal(80, 24)
        await settle(pilot)
        assert shown(app).surfaces == ("kitchen.outer",)
        assert asked_day(app) == date(2026, 5, 12)
        assert max(map(len, screen_text(app).splitlines())) <= 80


async def test_a_file_changed_outside_is_read_and_the_day_kept(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path))
    async with app.run_test() as pilot:
        await pilot.press("right")
        await settle(pilot)
        rewrite(tmp_path, TEXT.replace("Pear Tree Lane 3", "Plum Row 9"))
        app.look_at_file()
        await settle(pilot)
        await settle(pilot)
        assert shown(app).answered.answer.job == "Plum Row 9"
        assert asked_day(app) == date(2026, 5, 12)


async def test_a_file_that_was_broken_leaves_the_job_as_it_was(tmp_path: Path) -> None:
    came: list[Message] = []
    app = app_of(asker_in(tmp_path))
    async with app.run_test(message_hook=came.append) as pilot:
        rewrite(tmp_path, "name = [/b]")
        app.look_at_file()
        await settle(pilot)
        assert shown(app).answered.answer.job == "Pear Tree Lane 3"
        assert "not read again" in screen_text(app)
        read = [message for message in came if isinstance(message, FileWasRead)]
        assert read[-1].problems
        (tmp_path / "job.toml").unlink()
        await pilot.press("r")
        await settle(pilot)
        assert "not read again" in screen_text(app)
        rewrite(tmp_path, TEXT)
        app.look_at_file()
        await settle(pilot)
        await settle(pilot)
        assert "not read again" not in screen_text(app)


def rewrite(folder: Path, text: str) -> None:
    """Write the job with another stamp, however fast the test is."""
    file = folder / "job.toml"
    file.write_text(text, encoding="utf-8")
    stamp = file.stat().st_mtime_ns + 5_000_000_000
    os.utime(file, ns=(stamp, stamp))


async def test_a_file_is_read_once_for_each_change(tmp_path: Path) -> None:
    """One that can't be used is not tried again every second."""
    asker = asker_in(tmp_path)
    for text in ("name = [/b]", TEXT):
        rewrite(tmp_path, text)
        assert asker.has_changed()
        with suppress(JobFileError):
            asker.read_again()
        assert not asker.has_changed()


async def test_a_new_diary_entry_is_noticed(tmp_path: Path) -> None:
    asker = asker_in(tmp_path)
    assert not asker.has_changed()
    (tmp_path / "diary").mkdir()
    (tmp_path / "diary" / "ida.jsonl").write_text("", encoding="utf-8")
    assert asker.has_changed()


async def test_a_surface_that_is_gone_is_no_longer_chosen(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path))
    async with app.run_test() as pilot:
        app.session.choose(("attic.gone",), "gone")
        app.ask()
        await settle(pilot)
        assert shown(app).surfaces is None


async def test_a_starter_names_three_keys_under_its_verdict() -> None:
    app = app_of(asker_of(), hint=HINT)
    async with app.run_test() as pilot:
        await pilot.pause()
        assert screen_text(app).splitlines()[7].startswith("Try:")


@pytest.mark.parametrize("theme", ["night", "daylight", "terminal"])
async def test_each_theme_draws_the_same_words(theme: str) -> None:
    app = app_of(asker_of(), theme=theme)
    async with app.run_test() as pilot:
        await pilot.pause()
        assert ">.< crossed" in screen_text(app)
        await pilot.press("t")
        await pilot.pause()
        assert app.theme != theme


async def test_without_colors_the_words_stand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = app_of(asker_of())
    assert app.no_color
    async with app.run_test() as pilot:
        await pilot.pause()
        assert ">.< crossed" in screen_text(app)


async def test_a_fault_while_asking_is_told_and_the_screen_stays() -> None:
    asker = asker_of()
    app = app_of(asker)

    def fail(asked: Asked) -> None:
        raise RuntimeError(f"no answer for {asked.on}")

    async with app.run_test() as pilot:
        asker.ask = fail  # type: ignore[method-assign, assignment]
        shown(app).action_move(1)
        await pilot.pause(0.2)
        assert "a fault of this program: no answer" in screen_text(app)
