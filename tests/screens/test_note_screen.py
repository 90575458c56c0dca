"""The line for the diary: understood while it is typed, shown, then written."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.listening import heard, wanted_of, with_word
from readiness.exchange.note_words import FORMS
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.line_pane import LinePane
from readiness.screens.note_screen import NoteScreen
from readiness.screens.proposal_pane import ProposalPane
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled, typed
from tests.screens.small_job import WRITER, app_of, asker_in, asker_of, near
from tests.screens.test_calls_screen import diary
from tests.screens.test_job_screen import rewrite

if TYPE_CHECKING:
    from pathlib import Path

    from textual.pilot import Pilot


async def write(pilot: Pilot[None], screen: NoteScreen, text: str) -> None:
    """Put a line into the field, as if it were pasted, and end it."""
    screen.query_one(LinePane).begin(text)
    await settled(pilot)
    await press(pilot, "enter")


async def test_every_verb_is_offered_first_and_typing_narrows_it() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        words = screen.query_one("#line-words", EntriesPane)
        assert [entry.id for entry in words.entries] == list(FORMS)
        await press(pilot, *typed("pas"))
        assert [entry.id for entry in words.entries] == ["passed", "passed-part"]
        assert "writing as Ida Brand, contractor" in screen_text(app)


async def test_form_and_meaning_stand_below_the_line_as_it_is_typed() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        await press(pilot, *typed("done "))
        text = screen_text(app)
        assert "done WORK [PLACES]   work is done" in text
        assert "not yet   something is missing after 'done'" in text
        await press(pilot, *typed("wi"))
        assert "it says   done: wiring, all (seen, by Ida Brand" in screen_text(app)
        await press(pilot, *typed("x"))
        assert "not yet   'wix' is no work of this job" in screen_text(app)
        heard_now = screen.query_one(LinePane).heard
        assert heard_now is not None
        assert not heard_now.reading


async def test_a_word_is_taken_by_key_and_by_mouse() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        await press(pilot, *typed("do"), "down", "enter")
        assert screen.query_one(LinePane).text == "done "
        await pilot.click("#line-words", offset=(1, 2))
        await settled(pilot)
        words = screen.query_one(LinePane).text.split()
        assert len(words) == 2
        assert screen.query_one("#line").has_focus, "typing goes on"


async def test_enter_shows_and_enter_writes_and_the_line_is_empty_again(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        await write(pilot, screen, "done wiring kitchen --how shown")
        lines = screen.query_one(ProposalPane).lines
        assert lines[0].startswith("done: wiring, kitchen (shown, by Ida Brand")
        assert any("kitchen" in line.casefold() for line in lines[1:]), "the verdict it moves"
        assert diary(tmp_path) == []
        await press(pilot, "enter")
        (entry,) = diary(tmp_path)
        assert (entry["kind"], entry["work"], entry["places"], entry["how"]) == (
            "done", "wiring", ["kitchen"], "shown",
        )  # fmt: skip
        assert not screen.query_one(LinePane).text
        assert screen.query_one("#line").has_focus


async def test_a_line_that_was_refused_stays_to_be_mended(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        await write(pilot, screen, "done plumbing")
        assert not screen.is_proposing
        assert "nothing is written: 'plumbing' is no work of this job" in screen_text(app)
        assert screen.query_one(LinePane).text == "done plumbing"
    assert diary(tmp_path) == []


async def test_what_is_typed_outlives_other_screens_sizes_and_readings(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, NoteScreen)
        await press(pilot, *typed("done dr b"))
        await pilot.resize_terminal(80, 24)
        await press(pilot, "f2", "1", "2", "3")
        rewrite(tmp_path, near().replace("Lane 3", "Lane 4"))
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert "Lane 4" in screen_text(app)
        assert screen.query_one(LinePane).text == "done dr b"
        await press(pilot, *typed("ath"))
        assert "it says   done: drains, bath" in screen_text(app)


async def test_what_may_not_be_said_is_told_while_it_is_typed() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, NoteScreen)
        screen.query_one(LinePane).begin("override wiring bath --reason late")
        await settled(pilot)
        heard_now = screen.query_one(LinePane).heard
        assert heard_now is not None
        assert heard_now.refused or heard_now.reading
        screen.query_one(LinePane).begin("lift")
        await settled(pilot)
        assert "not yet   nobody has stopped this site" in screen_text(app)


def test_options_of_the_entry_are_heard_too() -> None:
    wanted = wanted_of('done wiring kitchen --seen "fri 8 may 15:00" --how shown')
    assert wanted.lines == (("done", "wiring", "kitchen", "--how", "shown"),)
    assert wanted.seen == "fri 8 may 15:00"
    assert wanted_of("done wiring --replaces ida-brand#2").replaces == "ida-brand#2"
    assert wanted_of("done wiring", "ida-brand#2").replaces == "ida-brand#2"
    assert wanted_of("done wiring --seen").lines == (("done", "wiring", "--seen"),)


@pytest.mark.parametrize(
    ("text", "word", "line"),
    [
        ("", "done", "done "),
        ("do", "done", "done "),
        ("done ", "wiring", "done wiring "),
        ("done wi", "wiring", "done wiring "),
        ("done  wiring  k", "kitchen", "done  wiring  kitchen "),
    ],
)
def test_a_word_stands_for_the_one_begun(text: str, word: str, line: str) -> None:
    assert with_word(text, word) == line


@pytest.mark.parametrize("verb", FORMS)
def test_every_form_is_told_and_none_is_a_fault(verb: str, tmp_path: Path) -> None:
    """Whatever stands behind a verb while somebody is typing."""
    asker_in(tmp_path, near())
    desk = open_desk(tmp_path)
    for behind in ("", " ", " x", " wiring", ' "', " wiring bath --by", " --", " first bath 60 %"):
        told = heard(desk, verb + behind, WRITER)
        assert told.form == FORMS[verb].usage
        assert bool(told.reading) != bool(told.refused)


def test_what_a_word_may_mean_is_told_in_one_order() -> None:
    """Else the same line would be refused in other words on another day."""
    desk = asker_of(near()).with_desk(lambda desk: desk)
    told = heard(desk, "done wiring lo", WRITER)
    assert told.refused == "'lo' may mean loft or loft deck or loft.deck"
