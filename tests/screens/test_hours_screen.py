"""The day by hours: what the questions answer, in time, and what is told where they answer nothing.

Invariant: rows are compared with the answers and never with themselves.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from readiness.desk.desk import open_desk
from readiness.questions.conditions import conditions
from readiness.questions.foam import foam
from readiness.screens.asker import Asked, Asker
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.hours_entries import NO_FORECAST, hours_entries, hours_title
from readiness.screens.hours_rows import MARKS, ROW
from readiness.screens.hours_screen import HoursScreen
from readiness.screens.lines import content_of
from readiness.screens.question_screen import Progress
from tests.conftest import ROOT
from tests.screens.driving import opened, press
from tests.screens.refresh import settled
from tests.screens.small_job import TEXT, app_of, asker_after, asker_in, asker_of, near
from tests.screens.sprayed_job import sprayed

if TYPE_CHECKING:
    from pathlib import Path

    from readiness.questions.conditions import ConditionsAnswer
    from readiness.screens.app import JobApp
    from readiness.screens.hours_steps import Answers

HOUSE = ROOT / "sample_jobs" / "two-storey-house"


def texts(app: JobApp) -> list[str]:
    """Return every line of the list."""
    entries = app.screen.query_one(EntriesPane).entries
    return [text for entry in entries for text in entry.texts()]


def rows(app: JobApp) -> dict[str, list[str]]:
    """Return the lines of each row of time, by the moment in its id."""
    return {
        entry.id.removeprefix(ROW).split(" ")[0]: entry.texts()
        for entry in app.screen.query_one(EntriesPane).entries
        if entry.id.startswith(ROW)
    }


def weather_on(asker: Asker, day: str) -> ConditionsAnswer:
    """Return what the question of the air answers, asked apart from the screen."""
    return conditions(asker.case(), asker.forecast(), datetime.fromisoformat(day))


def as_told(app: JobApp, answer: ConditionsAnswer) -> int:
    """Return how many hours of the crew have the row that the answer gives them."""
    shown = rows(app)
    told = 0
    for line in answer.hours:
        if line.on_shift:
            row = shown[line.from_.isoformat()][0]
            assert row[2:7] == f"{line.from_:%H:%M}"
            assert row[10:].startswith(f"{MARKS[line.state]} {line.state} "), row
            assert line.air in row
            assert line.humidity in row
            told += 1
    return told


async def test_a_day_with_a_forecast_has_the_hours_and_steps_that_the_questions_answer() -> None:
    asker = Asker(open_desk(HOUSE))
    app = app_of(asker)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, HoursScreen)
        answer, day = weather_on(asker, "2026-06-09 07:30"), foam(asker.case()).day
        assert as_told(app, answer) == 10
        shown = rows(app)
        assert "06:15 now" in shown["2026-06-09T06:00:00-04:00"][0]
        assert shown["2026-06-09T06:00:00-04:00"][0].startswith("> 06:00   ~ close")
        assert [step.name for step in day.steps if step.spans] == [
            "set-up", "masking", "spray", "trim", "clean-up",
        ]  # fmt: skip
        for step in day.steps:
            for span in step.spans:
                at = span.from_
                on_asked_day = at.date() == answer.instants.on.date()
                key = (at.replace(minute=0) if on_asked_day else at).isoformat()
                assert any(step.name in text for text in shown[key]), step.name
        keep_out = app.session.answered.answer.keep_out
        assert keep_out is not None
        assert keep_out.not_before is not None
        kept = {moment: row[0][8] == "#" for moment, row in shown.items()}
        assert all(
            is_kept == (datetime.fromisoformat(moment) + timedelta(hours=1) > keep_out.from_)
            for moment, is_kept in kept.items()
        )
        assert set(kept.values()) == {True, False}
        end = [row for moment, row in shown.items() if moment == keep_out.not_before.isoformat()]
        assert "only by a named person's word" in end[0][0]
        assert any(
            answer.sentence[1:] in text and "crew lead decides" in text for text in texts(app)
        )

        await press(pilot, "right", "right")
        answer = weather_on(asker, "2026-06-11 07:00")
        assert as_told(app, answer) == 10
        shown = rows(app)
        assert shown["2026-06-11T07:00:00-04:00"][0].startswith("  07:00 # . outside")
        assert answer.hours[7].groups[0].says in shown["2026-06-11T07:00:00-04:00"][1]
        assert shown["2026-06-11T10:00:00-04:00"][0].startswith("! 10:00 # . outside")
        assert "the gun would run outside the limits" in shown["2026-06-11T11:00:00-04:00"][0]
        assert "outside the limits" not in shown["2026-06-11T12:00:00-04:00"][0]
        await press(pilot, "n")
        assert "now is on another day" in str(app.screen.query_one("#notice").render())

        pane = app.screen.query_one(EntriesPane)
        pane.go_to(f"{ROW}2026-06-11T12:00:00-04:00")
        await press(pilot, "enter")
        assert len(shown["2026-06-11T12:00:00-04:00"]) == 1
        assert answer.hours[12].groups[0].says in rows(app)["2026-06-11T12:00:00-04:00"][1]
        pane.scroll_home(animate=False)
        await settled(pilot)
        quiet = "2026-06-11T00:00:00-04:00"
        assert "no spray crew until 07:00" in rows(app)[quiet][0]
        before = len(rows(app))
        ids = [entry.id for entry in pane.entries]
        heading = [content_of(entry, 79) for entry in pane.entries[: ids.index(f"{ROW}{quiet}")]]
        above = sum(content.plain.count("\n") + 1 for content in heading)
        await pilot.click(EntriesPane, offset=(5, above + 1))
        await settled(pilot)
        assert len(rows(app)) == before + 6, "each of its seven hours by a click"


async def test_another_day_begins_at_its_top_without_what_was_said_of_the_one_before() -> None:
    app = app_of(Asker(open_desk(HOUSE)))
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app, HoursScreen)
        await press(pilot, "right", "n")
        notice = app.screen.query_one("#notice")
        assert "now is on another day" in str(notice.render())
        pane = app.screen.query_one(EntriesPane)
        await press(pilot, "end")
        assert pane.scroll_y
        await press(pilot, "left")
        assert "now is on another day" not in str(notice.render())
        assert pane.scroll_y == 0


async def test_without_a_forecast_it_says_how_to_give_one_and_takes_one_that_is_laid_there(
    tmp_path: Path,
) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, app, HoursScreen)
        answer = app.session.answered.answer
        told = texts(app)
        assert NO_FORECAST in told
        assert "  07:00 # set-up, 1 h 30 min" in told
        assert "  09:00 # what follows is not worked out, see below" in told
        assert len(answer.inside) == 2
        for line in answer.inside:
            (row,) = [text for text in told if line.phone in text and text.startswith("! ")]
            assert line.title in row
        await press(pilot, "left")
        told = texts(app)
        assert told[0] == (
            "No rig can come Sun 10 May: the spray crew's next hours begin Mon 11 May 07:00."
        )
        assert not rows(app)
        assert not any("Nobody inside" in text or "must stay out" in text for text in told)
        await press(pilot, "right")
        lines = [f"2026-05-11T{hour:02}:00,60,50" for hour in range(24)]
        file = tmp_path / "forecast.csv"
        file.write_text("\n".join(["time,air F,humidity %", *lines]) + "\n", encoding="utf-8")
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert as_told(app, weather_on(app.session.asker, "2026-05-11 07:00")) == 10
        assert "forecast.csv" in str(app.screen.query_one(EntriesPane).border_title)
        file.write_text("time,air F\n2026-05-11T00:00,60\n", encoding="utf-8")
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert any(text.startswith("The forecast is not used: forecast.csv") for text in texts(app))
        assert "  07:00 # set-up, 1 h 30 min" in texts(app), "and the rest is told all the same"


async def test_a_keep_out_runs_until_somebody_releases_it(tmp_path: Path) -> None:
    """Foam from the diary starts the hours; the clock alone never ends them."""
    text = TEXT.replace("as_of = 2026-05-04T06:30:00", "as_of = 2026-05-12T15:00:00")
    lead = "Tarn, crew lead"
    notes = (
        (lead, 'arrived first --seen "2026-05-11 07:10"'),
        (lead, 'sprayed loft.deck --seen "2026-05-11 13:30"'),
        (lead, 'last-foam first --seen "2026-05-11 14:00"'),
    )
    app = app_of(asker_after(tmp_path, text, notes))
    async with app.run_test(size=(80, 40)) as pilot:
        await opened(pilot, app, HoursScreen)
        keep_out = app.session.answered.answer.keep_out
        assert keep_out is not None
        assert keep_out.running
        told = texts(app)
        assert told[0] == (
            "The first trip has begun Mon 11 May 07:10; 2 of 3 surfaces are still to spray."
        )
        assert "  07:10 # the rig has come, keep out" in told
        assert any(row.startswith("  14:00 # the last foam so far") for row in told)
        assert "> 15:00 # now" in told
        assert any("until a named person releases it" in text for text in told)
        (missing,) = [text for text in told if text.startswith("Before the release: ")]
        assert "cleaned up" in missing
        assert "fans" in missing
        assert all(each in missing for each in keep_out.missing)
        assert not any("set-up" in text for text in told), "what is over has no clock ahead"
        await press(pilot, *["right"] * 4)
        assert app.session.answered.answer.instants.on.date().isoformat() == "2026-05-16"
        assert any("until a named person releases it" in text for text in texts(app)), "a Saturday"


def found_of(asker: Asker, asked: Asked) -> Answers:
    """Return what the screen would find, without showing it."""
    screen = HoursScreen(app_of(asker, asked=asked).session)
    return screen.work_out(asker.case(), asked, Progress(print, bool))


def told_of(asker: Asker, asked: Asked) -> list[str]:
    """Return every line that it would show."""
    entries = hours_entries(asker.ask(asked).answer, found_of(asker, asked))
    return [text for entry in entries for text in entry.texts()]


def test_the_keep_out_of_another_trip_is_told_too() -> None:
    """Nobody may be inside because of the first trip while the second one is asked about."""
    two = near().replace(
        'surfaces = "all", lasts = "1 d" }',
        'surfaces = ["bath", "kitchen"], lasts = "1 d" }\n'
        'second = { agreed = 2026-05-12T09:00:00, surfaces = ["loft"], lasts = "4 h" }',
    )
    asker = asker_of(two)
    asked = Asked(date(2026, 5, 12))
    assert asker.ask(asked).answer.trip == "second"
    told = told_of(asker, asked)
    kept_out = [text for text in told if text.startswith("Nobody inside from ")]
    assert [text.partition(" until")[0] for text in kept_out] == [
        "Nobody inside from Tue 12 May 09:00", "Nobody inside from Mon 11 May 07:00",
    ]  # fmt: skip
    assert "(first trip)" in kept_out[1]
    assert "  07:00 # nobody inside from here on (first trip)" in told
    assert "  09:00 # the rig comes, keep out" in told


def test_a_release_lets_workers_in_and_leaves_residents_out() -> None:
    told = told_of(asker_of(sprayed()), Asked())
    assert told[0] == "The first trip is over; workers were let in again, residents not yet."
    assert "  07:00 # the rig has come, keep out" in told
    assert "  15:30   released by Ines Ferro: workers may come in" in told
    assert "  15:30   residents not before this, and only by a named person's word" in told
    assert not any(text.startswith("Nobody inside") for text in told)


def test_the_name_of_a_forecast_file_steers_no_terminal(tmp_path: Path) -> None:
    file = tmp_path / "a\x1b[31m[b]\u202e.csv"
    file.write_bytes((HOUSE / "forecast.csv").read_bytes())
    found = found_of(Asker(open_desk(HOUSE), forecast=file), Asked())
    assert hours_title(found) == "hour by hour, a?[31m[b]?.csv"
