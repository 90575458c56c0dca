"""Board: what it says, one key for each look, and sixty readings typed without the mouse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from textual.widgets import Input

from readiness.desk.desk import open_desk
from readiness.desk.noting import listener_of
from readiness.exchange.note_words import note_fields
from readiness.facts.vocabulary import Gate
from readiness.questions.check import CheckAnswer, check
from readiness.screens.board_screen import BoardScreen
from readiness.screens.depth_grid import DepthGrid
from readiness.screens.depth_pane import DepthPane
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.proposal_pane import ProposalPane
from readiness.screens.screen_table import JOB
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled, type_at_once
from tests.screens.small_job import app_of, asker_in, asker_of, near
from tests.screens.sprayed_job import sprayed, sprayed_sample
from tests.screens.test_calls_screen import diary, told
from tests.screens.test_job_screen import rewrite

if TYPE_CHECKING:
    from pathlib import Path

    from textual.pilot import Pilot

    from readiness.screens.app import JobApp

SIXTY = [f"{2.9 + 0.01 * (n % 30):.2f}{'e' if n % 4 == 3 else ''}" for n in range(60)]
"""Readings around three inches, each fourth at the perimeter."""


async def go_to(pilot: Pilot[None], app: JobApp, id_: str) -> None:
    """Move the cursor to an entry by its id."""
    pane = app.screen.query_one(EntriesPane)
    for _ in pane.entries:
        if pane.at == id_:
            return
        await press(pilot, "down")
    pytest.fail(f"{id_} is not there: {[entry.id for entry in pane.entries]}")


async def grid_of(pilot: Pilot[None], app: JobApp, surface: str) -> BoardScreen:
    """Open the grid of a surface by keys alone."""
    screen = await opened(pilot, app, BoardScreen)
    await press(pilot, "e")
    await go_to(pilot, app, f"depth {surface}")
    await press(pilot, "enter")
    assert screen.query_one(DepthGrid).has_focus
    return screen


async def type_readings(pilot: Pilot[None], *words: str) -> None:
    """Type readings and go on after each."""
    await type_at_once(pilot, "".join(f"{word}\r" for word in words))


def board_answer(asker_text: str) -> CheckAnswer:
    return check(asker_of(asker_text).case(), None, Gate.BOARD)


@pytest.mark.parametrize("text", [near(), sprayed(), sprayed_sample()])
async def test_it_says_what_the_board_gate_of_check_says(text: str) -> None:
    answer = board_answer(text)
    assert answer.board is not None
    app = app_of(asker_of(text))
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, BoardScreen)
        assert screen.found is not None
        assert screen.found.answer == answer
        texts = told(app)
        for reached in answer.board.milestones:
            assert any(reached.title in text for text in texts)
        for line in answer.blockers:
            assert any(line.says in text for text in texts), line.says
        for line in answer.blockers:
            if line.follows is None:
                assert any(line.who.name in text for text in texts)
        for area in answer.board.areas:
            assert any(area.name in text for text in texts)
        for depth in answer.board.depths:
            assert any(f"{depth.name}: " in text and depth.agreed in text for text in texts)
        for item in answer.board.items:
            assert any(item.title in text for text in texts)


async def test_a_key_goes_to_each_list_and_puts_its_heading_at_the_top() -> None:
    app = app_of(asker_of(sprayed_sample()))
    async with app.run_test() as pilot:
        await opened(pilot, app, BoardScreen)
        for key, heading in (
            ("h", "What holds the board up: 33, by who clears it"),
            ("e", "Depth, field and perimeter apart: 0 of 4 read"),
            ("o", "Released for board: 0 of 2 rooms"),
            ("i", "After the spray: "),
            ("l", "Milestones, each for itself"),
        ):
            await press(pilot, key)
            rows = screen_text(app).splitlines()
            assert rows[4].startswith(heading), (key, rows[3:7])


async def test_a_look_at_the_foam_is_answered_by_one_key_as_note_writes_it(
    tmp_path: Path,
) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, BoardScreen)
        await press(pilot, "h")
        assert "Asked: Pulled by hand in several spots" in screen_text(app)
        assert "it is:  y yes  n no  u unknown  p promised" in screen_text(app)
        await press(pilot, "y")
        assert screen.is_proposing
        assert diary(tmp_path) == [], "nothing is written before it was agreed to"
        await press(pilot, "enter")
        (entry,) = diary(tmp_path)
        fields = note_fields(
            ["yes", "bond-holds", "bath.outer", "kitchen.outer", "loft.deck"],
            listener_of(open_desk(tmp_path)),
        )
        assert {key: entry[key] for key in ("kind", "requirement", "value", "places")} == {
            key: fields[key] for key in ("kind", "requirement", "value", "places")
        }
        assert entry["how"] == "seen"
        assert not any("The foam holds to what" in text for text in told(app)), "it holds no more"


async def test_one_room_alone_can_be_answered_for(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        await opened(pilot, app, BoardScreen)
        await press(pilot, "o")
        await go_to(pilot, app, "room bath")
        await press(pilot, "enter")
        assert "in Bath?" in screen_text(app)
        assert "loft" not in " ".join(told(app)[:12]).casefold()
        await press(pilot, "h", "n", "enter")
        (entry,) = diary(tmp_path)
        assert (entry["value"], entry["places"]) == ("no", ["bath.outer"])
        await press(pilot, "o")
        await go_to(pilot, app, "room bath")
        await press(pilot, "enter")
        assert "in Bath?" not in screen_text(app)


async def test_a_look_is_asked_for_and_passes_and_work_is_done(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed_sample()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, BoardScreen)
        await press(pilot, "h")
        assert "it is:  a asked for  s passed  f failed" in screen_text(app)
        await press(pilot, "s", "enter")
        assert screen.found is not None
        done = next(
            n for n, line in enumerate(screen.found.answer.blockers) if line.code == "quality-walk"
        )
        await press(pilot, "h")
        await go_to(pilot, app, f"blocker {done}")
        assert "it is:  p promised  d done" in screen_text(app)
        await press(pilot, "d", "enter")
        told_of = [
            (entry["kind"], entry.get("approval") or entry["work"]) for entry in diary(tmp_path)
        ]
        assert told_of == [("result", "framing-approval"), ("done", "quality-walk")]


async def test_what_is_promised_asks_for_its_day(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, BoardScreen)
        await press(pilot, "h", "p", *"fri")
        assert screen.query_one("#lacks", Input).value == "fri"
        await press(pilot, "enter", "enter")
        (entry,) = diary(tmp_path)
        assert (entry["value"], entry["promised_by"]) == ("promised", "2026-05-15")


async def test_the_release_is_given_step_by_step(tmp_path: Path) -> None:
    text = sprayed().replace(
        "cleaned = 2026-05-11T15:00:00, ventilated = true, released = 2026-05-12T15:30:00,"
        ' released_by = "Ines Ferro"',
        "",
    )
    assert "released" not in text
    app = app_of(asker_in(tmp_path, text.replace("14:00:00,  }", "14:00:00 }")))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, BoardScreen)
        assert screen.found is not None
        for key, kind in (("w", "cleaned"), ("v", "ventilated"), ("m", "release")):
            number = next(
                n for n, line in enumerate(screen.found.answer.blockers) if line.code == "release"
            )
            await press(pilot, "l")
            await go_to(pilot, app, f"blocker {number}")
            await press(pilot, key, "enter")
            assert diary(tmp_path)[-1]["kind"] == kind
        assert all(line.code != "release" for line in screen.found.answer.blockers)


async def test_sixty_readings_are_typed_without_the_mouse(tmp_path: Path) -> None:
    """The verdict follows each number, and what is written is the line that note writes."""
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        pane = screen.query_one(DepthPane)
        for number, word in enumerate(SIXTY, 1):
            await type_at_once(pilot, word + ("\r" if number % 2 else " "))
            assert pane.line is not None
            zones = (pane.line.field, pane.line.perimeter)
            assert sum(zone.readings for zone in zones if zone is not None) == number
        assert screen.typed["bath.outer"].words == tuple(SIXTY)
        assert pane.line is not None
        assert pane.line.field is not None
        assert pane.line.field.readings == 45
        shown = screen_text(app)
        assert " 51 " in shown
        assert f"So far: {pane.line.outcome} (60 typed)" in shown
        assert f"smallest {pane.line.field.smallest_inches:g} in" in shown
        await press(pilot, "w")
        assert screen.query_one(ProposalPane).lines[0].startswith("depth: bath.outer, field 2.9")
        assert diary(tmp_path) == []
        await press(pilot, "enter")
        (entry,) = diary(tmp_path)
        fields = note_fields(["depth", "bath.outer", *SIXTY], listener_of(open_desk(tmp_path)))
        assert {key: entry[key] for key in fields} == fields
        assert len(fields["field"]) + len(fields["perimeter"]) == 60
        assert screen.typed == {}, "what is written is no longer typed"
        assert any(text.startswith("Bath outer: accept") for text in told(app))
        after = check(open_desk(tmp_path).case(), None, Gate.BOARD)
        assert after.board is not None
        (line,) = [each for each in after.board.depths if each.surface == "bath.outer"]
        assert (line.field, line.perimeter) == (pane.line.field, pane.line.perimeter)


async def test_the_verdict_follows_at_once_and_tells_what_spraying_again_takes() -> None:
    app = app_of(asker_of(sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        pane = screen.query_one(DepthPane)
        await type_readings(pilot, "3.1", "3.0", "3.2")
        assert pane.line is not None
        assert pane.line.outcome == "accept"
        await pilot.press("2", ".", "4")
        await settled(pilot)
        assert pane.line.outcome == "fill these spots", "before Enter already"
        shown = screen_text(app)
        assert "So far: fill these spots (4 typed)" in shown
        assert "mean 2.92 in" in shown
        assert "fill where it read 2.4 in" in shown
        assert "up to 0.6 in are missing" in shown
        await type_readings(pilot, "", "6.5", "1.0")
        assert pane.line.outcome == "cut out and respray"


async def test_a_wrong_value_is_said_at_once_and_is_never_written(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        await type_readings(pilot, "3.1")
        await pilot.press("3", "4")
        await settled(pilot)
        assert "number 2 is left out: 34 in is deeper than any foam" in screen_text(app)
        assert "[34?]" in screen_text(app)
        await pilot.press("enter", "x")
        await settled(pilot)
        assert "'x' is no part of a depth" in screen_text(app)
        assert app.shown is screen
        await press(pilot, "w")
        assert not screen.is_proposing
        assert "number 2 is no reading yet" in screen_text(app)
        await pilot.press("3", ".", "4", "enter")
        await press(pilot, "w", "enter")
        (entry,) = diary(tmp_path)
        assert entry["field"] == ["3.1 in", "3.4 in"]


async def test_nothing_typed_is_lost_by_size_screen_or_reading_again(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        await type_readings(pilot, "3.1", "3.2e")
        await pilot.press("3", ".")
        await settled(pilot)
        kept = screen.typed["bath.outer"]
        for size in ((60, 20), (200, 60), (80, 24)):
            await pilot.resize_terminal(*size)
            await settled(pilot)
            assert "3.2e" in screen_text(app)
        await press(pilot, "f2", "1", "0")
        assert app.shown is screen
        assert screen.query_one(DepthGrid).typed == kept
        rewrite(tmp_path, sprayed().replace("Lane 3", "Lane 4"))
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert "Lane 4" in screen_text(app)
        assert screen.query_one(DepthGrid).typed == kept
        await press(pilot, "escape")
        assert "3 readings are typed and not written" in screen_text(app)
        assert any("readings are typed and not written yet" in text for text in told(app))
        await press(pilot, "escape")
        assert app.shown.ID == JOB
        await press(pilot, "0", "e", "enter")
        assert screen.query_one(DepthGrid).typed == kept
        await type_readings(pilot, "3")
        assert screen.typed["bath.outer"].words == ("3.1", "3.2e", "3.3")


async def test_leaving_with_typed_readings_is_asked_twice() -> None:
    app = app_of(asker_of(sprayed()))
    async with app.run_test() as pilot:
        await grid_of(pilot, app, "bath.outer")
        await type_readings(pilot, "3.1")
        await press(pilot, "q")
        assert "'q' is no part of a depth" in screen_text(app)
        await press(pilot, "escape", "q")
        assert app.is_running
        assert "1 reading is typed and not written: q again leaves" in screen_text(app)
        await pilot.press("q")
        await pilot.pause()
        assert not app.is_running


async def test_the_mouse_goes_to_a_reading_and_writes(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        await type_readings(pilot, "3.1", "3.5", "3.2")
        await pilot.click("#grid", offset=(4 + 7 + 2, 0))
        await settled(pilot)
        assert screen.typed["bath.outer"].at == 1
        await pilot.press("3", ".", "0")
        await pilot.click("#press-write")
        await settled(pilot)
        assert screen.is_proposing
        await pilot.click("#press-agree")
        await settled(pilot)
        (entry,) = diary(tmp_path)
        assert entry["field"] == ["3.1 in", "3.0 in", "3.2 in"]


async def test_readings_count_together_with_those_in_the_diary(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, sprayed()))
    async with app.run_test() as pilot:
        screen = await grid_of(pilot, app, "bath.outer")
        await type_readings(pilot, "3.1", "3.2")
        await press(pilot, "w", "enter")
        await press(pilot, "enter")
        await type_readings(pilot, "3.3")
        assert "(1 typed, 2 in the diary)" in screen_text(app)
        line = screen.query_one(DepthPane).line
        assert line is not None
        assert line.field is not None
        assert line.field.readings == 3
        assert line.field.mean_inches == pytest.approx(3.2)


async def test_a_surface_that_is_not_sprayed_says_so() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await grid_of(pilot, app, "bath.outer")
        shown = " ".join(screen_text(app).split())
        assert "The diary does not say yet that it is sprayed" in shown
        assert "No depth with its meaning is agreed" in shown


async def test_a_metric_job_takes_millimetres(tmp_path: Path) -> None:
    text = sprayed().replace('key   = "5c1e4f00aa"', 'key   = "5c1e4f00aa"\nunits = "metric"')
    app = app_of(asker_in(tmp_path, text))
    async with app.run_test() as pilot:
        await grid_of(pilot, app, "bath.outer")
        assert "readings in millimetres" in " ".join(screen_text(app).split())
        await type_readings(pilot, "78", "80e")
        await press(pilot, "w", "enter")
        (entry,) = diary(tmp_path)
        assert (entry["field"], entry["perimeter"]) == (["78 mm"], ["80 mm"])


async def test_the_day_of_the_board_moves_by_itself_until_the_foam_is_on() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, BoardScreen)
        assert screen.found is not None
        agreed = screen.found.answer.instants.on
        await press(pilot, "right", "right")
        assert (screen.found.answer.instants.on.date() - agreed.date()).days == 2
        assert app.session.asked.on is None, "the arrival is still the booked one"
        await press(pilot, "b")
        assert screen.found.answer.instants.on == agreed
