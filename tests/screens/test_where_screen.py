"""Who is where: the cells and the chain of the plan, the cursor, writing the dates, stopping."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from datetime import date, timedelta
from itertools import product
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

import pytest

from readiness.pages.columns import columns_of
from readiness.pages.plan_grid import grid
from readiness.questions.plan import plan
from readiness.screens import question_screen
from readiness.screens.entries_pane import EntriesPane
from readiness.screens.lines_pane import LinesPane
from readiness.screens.proposal_pane import ProposalPane
from readiness.screens.question_screen import Progress
from readiness.screens.screen_table import JOB
from readiness.screens.where_entries import without_grid
from readiness.screens.where_grid import WhereGrid
from readiness.screens.where_screen import WhereScreen
from readiness.screens.where_sheet import Sheet, View
from tests.conftest import ROOT
from tests.pages.test_plan_grid import rows_of
from tests.questions.test_plan import HEAD, ONE_TRIP, work
from tests.screens.driving import opened, press
from tests.screens.picture import screen_text
from tests.screens.refresh import settled
from tests.screens.small_job import app_of, asker_in, asker_of, near
from tests.screens.sprayed_job import sprayed
from tests.screens.test_job_screen import rewrite

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.pilot import Pilot

    from readiness.screens.app import JobApp


def listed(app: JobApp) -> list[str]:
    """Return what the list of steps and moves says."""
    entries = app.screen.query_one("#where-list", EntriesPane).entries
    return [text.strip() for entry in entries for text in entry.texts()]


def in_cell(app: JobApp) -> str:
    """Return what stands below the grid of the cell under the cursor."""
    entries = app.screen.query_one(LinesPane).entries
    return "\n".join(text for entry in entries for text in entry.texts())


def at(app: JobApp) -> tuple[str, str]:
    """Return the place and the day under the cursor."""
    cell = app.screen.query_one(WhereGrid).view.at
    assert cell is not None
    return cell[0], f"{cell[1]:%a %d}"


def drawn_cells(app: JobApp) -> dict[str, list[str]]:
    """Return the cells of each place as the screen shows them, by the day above them."""
    lines = screen_text(app).splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("places"))
    days = re.findall(r"[A-Z][a-z]\d+", lines[head])
    found = {}
    for line in lines[head + 1 :]:
        name, rule, cells = line.partition("|")
        if not rule:
            break
        told = re.findall(r"[^\s|\[\]]+", cells)
        found[name.strip()] = [f"{day} {cell}" for day, cell in zip(days, told, strict=True)]
    return found


async def test_cells_and_steps_are_those_of_the_plan_and_the_cursor_says_who() -> None:
    asker = asker_of(near())
    app = app_of(asker)
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await opened(pilot, app, WhereScreen)
        answer = plan(asker.case())
        assert screen.found == answer
        assert drawn_cells(app) == rows_of(answer)
        assert answer.sentence in screen_text(app)
        assert "It moves 3 booked dates, 1 of them agreed" in screen_text(app)
        # The chain is written out, and each of its numbers stands in a cell
        numbers = {step for cell in " ".join(grid(answer)).split() for step in steps_in(cell)}
        for number, says in enumerate(answer.chain, 1):
            assert f"{number}. {says}" in listed(app)
            assert number in numbers
        # The cursor begins at the first who comes; arrow keys move it and not the day
        assert at(app) == ("Bath", "Mon 11")
        asked = app.session.answered.answer.instants.on
        await press(pilot, "right")
        assert at(app) == ("Bath", "Tue 12")
        wiring, drains = (
            next(d for d in answer.dates if d.id == id_) for id_ in ("wiring", "drains")
        )
        assert "07:00-10:16  Orr Electric (Electrician), 555-0142\nPull cable\n" in in_cell(app)
        assert "10:16-15:30  Vail Plumbing (Plumber), 555-0143\nRun drains\n" in in_cell(app)
        assert (
            "Pull cable\nstep 2 of what sets the start of board\nall of it: Mon 11 May"
            in in_cell(app)
        )
        assert "Run drains\nno step of what sets the start of board\nall of it: Tue 12" in in_cell(
            app
        )
        assert f"why then: {wiring.because}" in in_cell(app)
        assert f"why then: {drains.because}" in in_cell(app)
        await press(pilot, "down", "left", "up", "shift+right")
        assert at(app) == ("Bath", "Mon 18")
        await press(pilot, "right")
        assert "\n07:00-17:00  Tarn Foam" in in_cell(app), "the rig's day, not the gun's minutes"
        await press(pilot, "right")
        assert in_cell(app).startswith("out: the keep-out of the first trip; nobody else inside")
        await press(pilot, "down", "down", "left", "left")
        assert in_cell(app) == "Nobody is planned here on this day."
        assert app.session.answered.answer.instants.on == asked
        # A step in the list leads to its cell, and a click goes where it hits
        await press(pilot, "s", "down")
        assert at(app) == ("Bath", "Mon 11")
        await press(pilot, "enter")
        assert isinstance(app.screen.focused, WhereGrid)
        place = screen_text(app).splitlines()
        row = next(n for n, line in enumerate(place) if line.startswith("Kitchen"))
        column = place[row].index("|") + 1 + 2 * 6
        await pilot.click(offset=(column, row))
        await settled(pilot)
        assert at(app) == ("Kitchen", "Wed 13")
        await pilot.click(offset=(column, row))
        await settled(pilot)
        assert app.session.asked.on == date(2026, 5, 13), "a second click asks about the day"


def steps_in(cell: str) -> list[int]:
    """Return the number of the step in a cell, if it has one."""
    return [int(number) for number in re.findall(r"^\d?[A-Z][a-z](\d+)\+?$", cell)]


def sheet(places: int, weeks: int, days: int) -> Sheet:
    """Return a sheet whose cells say where they are; every third week is left out."""
    monday = date(2026, 5, 4)
    rows = tuple(f"place {number}" for number in range(places))
    found = tuple(
        tuple(monday + timedelta(days=7 * week + day) for day in range(days))
        for week in range(weeks)
        if week % 3 != 1
    )
    cells = {(row, day): "Xx" for row in rows for week in found for day in week}
    return Sheet(rows, found, cells)


@pytest.mark.parametrize("days", [5, 7])
def test_whatever_fits_every_cell_is_reached_and_what_is_drawn_fits(days: int) -> None:
    """A view of every width walks through the whole sheet, one day at a time, there and back."""
    whole = sheet(5, 6, days)
    for columns, lines in product((20, 52, 80, 200), (1, 3, 20)):
        view = View(whole, 0, whole.days[0], columns=columns, lines=lines).held()
        seen = []
        for rows, step in ((0, 1), (1, 0), (0, -1), (-1, 0)):
            for _ in range(len(whole.days) if step else len(whole.rows)):
                cell = view.at
                assert cell is not None
                seen.append(cell)
                assert view.row in view.shown_rows()
                assert any(cell[1] in piece.days for piece in view.shown())
                width = sum(1 + 6 * len(piece.days) for piece in view.shown())
                assert whole.name_columns(columns) + width <= columns
                assert all(columns_of(head) <= columns for head in view.heads())
                y = 2 + view.row - view.first_row
                hits = {view.cell_at(x, y) for x in range(columns)}
                assert cell in hits
                view = view.moved(rows, step)
        assert {day for _, day in seen} == set(whole.days)
        assert {row for row, _ in seen} == set(whole.rows)
    assert View(whole, 0, whole.days[0], columns=200).heads()[0].count(":") == 2, "weeks left out"
    alone = View(whole, 0, whole.days[0], columns=20).held().heads()[0]
    assert alone.endswith("| May >"), "the month, where there is no room for the year"
    turned = View(whole, 0, whole.days[1], columns=52).held().turned(1)
    assert turned.day == whole.days[days + 1]


async def test_the_dates_are_shown_then_written_and_then_the_job_has_them(tmp_path: Path) -> None:
    app = app_of(asker_in(tmp_path, near()))
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, app, WhereScreen)
        answer = screen.found
        assert answer is not None
        assert answer.lines
        await press(pilot, "w")
        proposal = app.screen.query_one(ProposalPane)
        assert proposal.display
        assert proposal.proposal is not None
        assert len(proposal.proposal.entries) == len(answer.lines)
        changes = proposal.proposal.changes
        assert proposal.lines[: len(changes)] == list(changes), "of many, what they change is first"
        assert "Enter writes it   Esc leaves it" in screen_text(app)
        await press(pilot, "end")
        assert app.screen.query_one("#proposal VerticalScroll").scroll_offset.y > 0
        await press(pilot, "escape")
        assert not (tmp_path / "diary").exists(), "Esc leaves it"
        await press(pilot, "w", "enter")
        [file] = (tmp_path / "diary").glob("*.jsonl")
        written = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
        written = [each for each in written if each["kind"] != "job-file"]
        own = {"kind", "what", "when", "agreed"}
        assert [{key: each[key] for key in own} for each in written] == list(answer.lines)
        assert {each["via"] for each in written} == {"by plan"}
        trip = next(line for line in answer.dates if line.kind == "trip")
        assert app.session.answered.booked == trip.starts
        await settled(pilot)
        assert screen.found is not answer
        assert screen.found is not None
        assert not [line for line in screen.found.dates if line.change == "moves"]
        assert [line.starts for line in screen.found.dates] == [
            line.starts for line in answer.dates
        ]
        await press(pilot, "w")
        assert "there is nothing to write" in screen_text(app)
        # A file that is changed outside is planned anew, with the cursor where it was
        await press(pilot, "right", "down")
        before = at(app)
        rewrite(tmp_path, near().replace("Orr Electric", "Ash Electric"))
        app.look_at_file()
        await settled(pilot)
        await settled(pilot)
        assert at(app) == before
        assert "Ash Electric" in in_cell(app)


@pytest.fixture
def said() -> list[str]:
    """Return what a search says, as it says it."""
    return []


@pytest.fixture
def go_on(monkeypatch: pytest.MonkeyPatch, said: list[str]) -> Event:
    """Hold the search before it looks for the start of board, until this is set."""
    event = Event()

    def held(tell: Callable[[str], object], is_over: Callable[[], bool]) -> Progress:
        def tell_and_wait(says: str) -> None:
            tell(says)
            said.append(says)
            if "start of board" in says:
                event.wait(20)

        return Progress(tell_and_wait, is_over)

    monkeypatch.setattr(question_screen, "Progress", held)
    return event


async def until_shown(pilot: Pilot[None], app: JobApp, says: str) -> None:
    """Wait until the screen says something."""
    for _ in range(1000):
        if says in screen_text(app):
            return
        await pilot.pause(0.01)
    raise AssertionError(screen_text(app))


async def test_it_says_how_far_it_is_and_escape_ends_the_search(
    go_on: Event, said: list[str]
) -> None:
    app = app_of(asker_of(near()))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("9")
        await until_shown(pilot, app, "working out the plan: start of board; Esc stops it")
        screen = app.shown
        assert isinstance(screen, WhereScreen)
        assert screen.check_action("take", ()) is False, "there is nothing to write yet"
        await pilot.press("escape")
        go_on.set()
        await settled(pilot)
        assert app.shown is screen, "the first Esc stops, the second leaves"
        assert screen.found is None
        assert "start of board" in said[-1], "nothing else is looked for"
        assert "stopped: there is no plan yet" in screen_text(app)
        await press(pilot, "r")
        assert at(app) == ("Bath", "Mon 11"), "it was asked for anew"
        assert "stopped" not in screen_text(app)
        await press(pilot, "escape")
        assert app.shown.ID == JOB


LIMIT = f"{HEAD}[work]\n{work('one', more=', not_after = 2026-05-01')}\n{ONE_TRIP}"
DONE = sprayed().replace('["wiring", "drains"]', '["wiring", "drains", "tub-wall", "hood"]')
CARD = """
name = "Garage on Pine Street"
key = "pine-street"
card = true
as_of = 2026-05-04T06:30:00
site = { time_zone = "America/New_York", country = "US" }
[surfaces]
back = { is = "wall above grade", area = "80 sq ft net", cavity = "5.5 in" }
[trips]
main = { agreed = 2026-05-11T07:00:00, surfaces = "all", lasts = "4 h" }
"""


@pytest.mark.parametrize(
    ("text", "says", "more"),
    [
        (LIMIT, "No plan was found that keeps everything that has to be kept.", "not_after"),
        (DONE, "Nothing is left to be dated.", "Proven, no plan does better"),
        (CARD, "Nobody has a room in this plan, so there is no grid;", "spray, the main trip"),
    ],
)
async def test_where_there_is_no_grid_a_sentence_says_why(text: str, says: str, more: str) -> None:
    app = app_of(asker_of(text))
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, app, WhereScreen)
        assert screen.found is not None
        assert says in without_grid(screen.found)[0].lines[0].text
        assert says in screen_text(app)
        assert more in screen_text(app)
        await press(pilot, "down", "enter", "s", "w")
        assert app.is_running
        assert not screen.is_proposing


def test_no_solver_is_imported_before_the_screen_searches() -> None:
    code = "import sys, readiness.screens.where_screen; sys.exit('ortools' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
