"""Calls: what is offered to each question, what a key shows, and what it writes."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from textual.widgets import Input

from readiness.desk.desk import open_desk
from readiness.desk.proposing import Wanted
from readiness.pages.anyway_text import today_text
from readiness.questions.calls import calls
from readiness.questions.today import today
from readiness.screens.calls_screen import CallsScreen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.proposal_pane import ProposalPane
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_in, asker_of, near

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.screens.app import JobApp


def diary(folder: Path) -> list[dict[str, object]]:
    """Return what stands in the diary, the kept job file left out."""
    lines = [
        json.loads(line)
        for file in sorted((folder / "diary").glob("*.jsonl"))
        for line in file.read_text(encoding="utf-8").splitlines()
    ]
    return [line for line in lines if line["kind"] != "job-file"]


def told(app: JobApp) -> list[str]:
    return [text for entry in app.screen.query_one(EntriesPane).entries for text in entry.texts()]


async def test_it_asks_what_the_command_asks() -> None:
    asker = asker_of(near())
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, CallsScreen)
        answer = calls([asker.case()])
        asked = [line.says for person in answer.people for line in person.lines]
        assert asked
        texts = told(app)
        assert all(any(says in text for text in texts) for says in asked)
        assert all(any(person.who.phone in text for text in texts) for person in answer.people)


async def test_only_what_can_be_answered_is_offered() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        assert "they say:  c confirmed  e refused" in screen_text(app)
        await press(pilot, "y")
        assert not screen.is_proposing
        await press(pilot, "down")
        assert "they say:  y yes  n no  u unknown  p promised  d done" in screen_text(app)


async def test_a_key_shows_what_changes_and_enter_writes_it(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        await press(pilot, "c")
        lines = screen.query_one(ProposalPane).lines
        assert lines[0].startswith("confirmed: first, yes (said, by Ida Brand")
        assert lines[-1].startswith("verdict: ")
        assert diary(tmp_path) == [], "nothing is written before it was agreed to"
        await press(pilot, "enter")
        (entry,) = diary(tmp_path)
        assert [entry[key] for key in ("kind", "trip", "yes", "how", "via", "by", "role")] == [
            "confirmed", "first", True, "said", "by phone", "Ida Brand", "contractor"
        ]  # fmt: skip
        assert not screen.is_proposing
        assert "written: confirmed: first, yes" in screen_text(app)
        assert not any("Will the rig come" in text for text in told(app)), "not asked again"
    answer = calls([open_desk(tmp_path).case()])
    assert not any(line.code == "confirmation" for who in answer.people for line in who.lines)


async def test_escape_leaves_it_and_writes_nothing(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        await press(pilot, "c", "escape")
        assert diary(tmp_path) == []
        assert "nothing was written" in screen_text(app)
        assert app.shown is screen
        assert screen.query_one(EntriesPane).has_focus


async def test_the_mouse_answers_and_agrees(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        await pilot.click("#press-calls-confirmed")
        await settled(pilot)
        assert screen.is_proposing
        await pilot.click("#press-agree")
        await settled(pilot)
        assert [entry["kind"] for entry in diary(tmp_path)] == ["confirmed"]


async def test_what_an_answer_lacks_is_typed(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        await press(pilot, "down", "p", *"soonish", "enter")
        assert not screen.is_proposing
        assert "nothing is written: " in screen_text(app)
        field = screen.query_one("#lacks", Input)
        assert field.value == "soonish", "what was typed stays to be mended"
        field.value = "sun 10 may 12:00"
        await press(pilot, "enter", "enter")
        (entry,) = diary(tmp_path)
        assert (entry["requirement"], entry["value"]) == ("wiring", "promised")
        assert entry["promised_by"] == "2026-05-10T12:00:00"
        assert entry["places"] == ["bath", "kitchen"]
        assert not field.display
        assert any("Promised, so nobody asks again" in text for text in told(app))


async def test_two_screens_on_one_job_keep_both_entries(tmp_path: Path) -> None:
    """What the other one wrote is shown before this one writes, and neither overwrites."""
    one, other = (app_of(asker_in(tmp_path, near())) for _ in range(2))
    async with one.run_test() as first, other.run_test() as second:
        await opened(first, one, CallsScreen)
        screen = await opened(second, other, CallsScreen)
        await press(first, "down", "d")
        await press(second, "down", "down", "d")
        shown = screen.query_one(ProposalPane).lines
        await press(first, "enter")
        await press(second, "enter")
        if len(diary(tmp_path)) == 1:
            assert "look again" in screen_text(other)
            assert screen.query_one(ProposalPane).lines != shown
            await press(second, "enter")
    assert sorted(str(entry["work"]) for entry in diary(tmp_path)) == ["drains", "wiring"]
    assert [entry["number"] for entry in diary(tmp_path)] == [2, 3], "behind the kept job file"


async def test_the_same_answer_twice_is_written_once(tmp_path: Path) -> None:
    one, other = (app_of(asker_in(tmp_path, near())) for _ in range(2))
    async with one.run_test() as first, other.run_test() as second:
        for app, pilot in ((one, first), (other, second)):
            await opened(pilot, app, CallsScreen)
            await press(pilot, "c")
        await press(first, "enter")
        await press(second, "enter")
        assert "it stands in the diary already" in screen_text(other)
    assert len(diary(tmp_path)) == 1


async def test_a_job_in_no_file_says_how_to_get_one() -> None:
    app = app_of(asker_of(near()))
    async with app.run_test() as pilot:
        await opened(pilot, app, CallsScreen)
        await press(pilot, "c", "enter")
        assert "nothing was written: this job stands in no file" in screen_text(app)


async def test_a_job_as_it_was_is_not_written_to(tmp_path: Path) -> None:
    """With a clock put back by hand an entry would say that it was written in the past."""
    asker = asker_in(tmp_path, near().replace("as_of = 2026-05-09T06:30:00", ""))
    asker._desk = asker._desk.at(29_000_000)
    app = app_of(asker)
    async with app.run_test() as pilot:
        screen = await opened(pilot, app, CallsScreen)
        screen.propose(Wanted((("remark", "hello"),)))
        await settled(pilot)
        await press(pilot, "enter")
        assert "without --as-of to write" in screen_text(app)
    assert diary(tmp_path) == []


async def test_what_is_still_useful_today_stands_behind_a_key() -> None:
    asker = asker_of(near())
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, CallsScreen)
        before = told(app)
        await press(pilot, "k")
        shown = " ".join(" ".join(told(app)).split())
        assert shown == " ".join(" ".join(today_text(today(asker.case())).splitlines()[1:]).split())
        assert "they say:  " not in screen_text(app), "nothing can be answered there"
        await press(pilot, "k")
        assert told(app) == before
