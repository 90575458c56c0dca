"""The diary: newest first, corrections by new entries, nothing taken out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from readiness.desk.leafing import LONGEST, leaves_of
from readiness.desk.statement import writer_of
from readiness.screens.diary_screen import DiaryScreen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.line_pane import LinePane
from readiness.screens.proposal_pane import ProposalPane
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import DIARY, typed
from tests.screens.small_job import WRITER, app_of, asker_after, asker_of, near
from tests.screens.test_calls_screen import diary
from tests.screens.test_hostile_names import SHOWN

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.app import JobApp


def listed(app: JobApp) -> EntriesPane:
    return app.screen.query_one("#diary", EntriesPane)


def go_to(app: JobApp, name: str) -> None:
    """Put the cursor on an entry."""
    pane = listed(app)
    pane.highlighted = [entry.id for entry in pane.entries].index(name)


async def test_the_newest_stands_first_and_nothing_is_left_out(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, DiaryScreen)
        names = [entry.id for entry in listed(app).entries]
        assert names == [
            "vail#1", "orr#1", "ida-brand#3", "ida-brand#2", "ida-brand#1", "orr#2",
        ]  # fmt: skip
        assert "diary, newest first: 6 entries" in screen_text(app)
    assert len(diary(tmp_path)) == 5


async def test_what_was_corrected_stays_and_says_by_what(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test() as pilot:
        await opened(pilot, app, DiaryScreen)
        by_name = {entry.id: entry.texts() for entry in listed(app).entries}
        assert "NO LONGER COUNTS: corrected by ida-brand#2" in by_name["ida-brand#1"]
        assert "instead of ida-brand#1" in by_name["ida-brand#2"]
        assert not any("NO LONGER" in text for text in by_name["ida-brand#2"])


async def test_a_correction_is_typed_from_what_stands_there(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, DiaryScreen)
        go_to(app, "ida-brand#2")
        await press(pilot, "c")
        pane = screen.query_one(LinePane)
        assert pane.text == "reading moisture 17 % bath"
        assert "instead of ida-brand#2" in screen_text(app)
        await press(pilot, *typed(", kitchen"), "enter")
        assert (
            screen.query_one(ProposalPane)
            .lines[0]
            .endswith("Fri 8 May 2026 07:10, instead of ida-brand#2)")
        ), "it was so when the corrected entry was so"
        await press(pilot, "enter")
        last = max(
            (entry for entry in diary(tmp_path) if entry["writer"] == "ida-brand"),
            key=lambda entry: str(entry["number"]),
        )
        assert (last["replaces"], last["places"]) == ("ida-brand#2", ["bath", "kitchen"])
        assert not pane.display
        assert listed(app).has_focus
        assert any("corrected by ida-brand#4" in t for e in listed(app).entries for t in e.texts())


async def test_the_word_of_another_person_is_not_corrected(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, DiaryScreen)
        for name, why in (
            ("orr#2", "orr#2 is the word of Orr"),
            ("orr#1", "nobody typed it"),
            ("ida-brand#1", "ida-brand#1 is corrected already; correct ida-brand#2 instead"),
        ):
            go_to(app, name)
            await press(pilot, "c")
            assert why in screen_text(app)
            assert not screen.query_one(LinePane).display
    assert len(diary(tmp_path)) == 5


async def test_escape_leaves_the_correction_then_the_screen(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, DiaryScreen)
        go_to(app, "ida-brand#3")
        await press(pilot, "c", "escape")
        assert app.shown is screen
        assert "nothing was corrected" in screen_text(app)
        await press(pilot, "escape")
        assert app.shown.ID == "job"
    assert len(diary(tmp_path)) == 5


async def test_a_correction_begun_outlives_other_screens_and_sizes(tmp_path: Path) -> None:
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, DiaryScreen)
        go_to(app, "ida-brand#2")
        await press(pilot, "c", "x")
        await pilot.resize_terminal(80, 24)
        await press(pilot, "f2", "1", "4")
        assert screen.query_one(LinePane).text == "reading moisture 17 % bathx"
        assert screen.replaces == "ida-brand#2"


async def test_older_entries_come_page_by_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("readiness.screens.diary_screen.PAGE", 4)
    app = app_of(asker_after(tmp_path, near(), DIARY))
    async with app.run_test() as pilot:
        await opened(pilot, app, DiaryScreen)
        assert [entry.id for entry in listed(app).entries][3:] == ["ida-brand#2", "heading older"]
        assert "o older" in screen_text(app)
        await press(pilot, "o")
        assert len(listed(app).entries) == 6
        assert "o older" not in screen_text(app)


async def test_a_job_without_a_diary_says_where_to_write() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await opened(pilot, app, DiaryScreen)
        assert "Nothing is written yet" in screen_text(app)
        await press(pilot, "c")
        assert app.is_running


@pytest.mark.parametrize("text", SHOWN)
async def test_hostile_words_in_an_entry_are_only_shown(text: str, tmp_path: Path) -> None:
    quoted = text.replace("\\", "\\\\")
    asker = asker_after(tmp_path, near(), (("Ida Brand, contractor", f'remark "{quoted}"'),))
    app = app_of(asker)
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, DiaryScreen)
        assert any(text[:8] in t for entry in listed(app).entries for t in entry.texts())
        go_to(app, "ida-brand#2")
        await press(pilot, "c")
        assert text[:8] in screen.query_one(LinePane).text
        await press(pilot, "enter", "enter")
        assert app.is_running
        assert diary(tmp_path)[-1]["text"] == text


def test_what_is_written_later_than_the_question_is_not_shown(tmp_path: Path) -> None:
    asker = asker_after(tmp_path, near(), DIARY)
    desk = asker.with_desk(lambda desk: desk)
    assert len(leaves_of(desk, WRITER, 100).leaves) == 6
    assert leaves_of(desk.at(desk.clock() - 60), WRITER, 100).leaves == ()


def test_a_long_entry_is_cut_and_every_writer_sees_what_they_may(tmp_path: Path) -> None:
    notes = (("Ida Brand, contractor", f'remark "{"long " * 200}"'), *DIARY)
    asker = asker_after(tmp_path, near(), notes)
    desk = asker.with_desk(lambda desk: desk)
    leaves = {leaf.name: leaf for leaf in leaves_of(desk, WRITER, 100).leaves}
    assert max(len(leaf.says) for leaf in leaves.values()) == LONGEST + 3
    other = {leaf.name: leaf for leaf in leaves_of(desk, writer_of("Orr, electrician"), 9).leaves}
    assert leaves["orr#1"].refused
    assert not other["orr#1"].refused
    assert other["ida-brand#3"].refused
