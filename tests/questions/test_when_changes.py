"""The last moment for a change is the last: ordered then the spray stays, a minute later it moves.

Invariant: both are told by the diary and the verdict, not by the reckoning that is tested.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.noting import listener_of, note
from readiness.desk.statement import Statement, writer_of
from readiness.exchange.note_words import note_fields
from readiness.job.instants import instant_of_local
from readiness.questions.check import check
from readiness.questions.when import when
from tests.builders import ROOMS, TRIP
from tests.conftest import ROOT
from tests.stories.house import House, tiny
from tests.stories.test_stories import WIRES

__all__ = ["tiny"]

OFFICE = """
[approvals]
wiring-look = []
[offices]
town = { for = ["wiring-look"], notice = "NOTICE", cut_off = "14:30" }
"""


@pytest.mark.parametrize("notice", ["1 d", "2 d", "3 h", "24 h elapsed"])
def test_a_change_on_that_day_leaves_the_spray_and_on_the_next_moves_it(
    notice: str, tiny: Callable[..., House]
) -> None:
    text = OFFICE.replace("NOTICE", notice) + ROOMS + TRIP + WIRES + 'approval = "wiring-look"\n'
    house = tiny(text, "2026-05-05 16:00")
    house.says("done wires").says("passed wiring-look --by office")
    assert [(line.room, line.approval) for line in when(house.case).changes] == [
        ("bath", "wiring-look"),
        ("kitchen", "wiring-look"),
    ]
    last = when(house.case).changes[1].last_day
    assert last is not None
    words = []
    for day in (last, house.desk.working_day(last, 1)):
        house.at(f"{day} 07:00")
        house.says('change "an outlet" kitchen.outer --works wires --by owner')
        words.append(house.words()["kitchen.outer"])
    assert words == ["on course", "too early"]


@pytest.mark.parametrize(
    ("sample", "as_of"),
    [
        ("garden-room-addition", "2026-08-21 08:00"),
        ("garden-room-addition", "2026-08-24 07:00"),
        ("post-frame-shop", "2026-05-06 08:00"),
        ("two-storey-house", "2026-06-04 08:00"),
    ],
)
def test_a_change_ordered_now_does_what_is_told_of_it(
    sample: str, as_of: str, tmp_path: Path
) -> None:
    """On the tables that ship: looks that follow each other, offices with slots, crews."""
    desk = open_desk(ROOT / "sample_jobs" / sample)
    desk = desk.at(instant_of_local(datetime.fromisoformat(as_of), desk.zone))
    case = desk.case()
    told = when(case).changes
    assert told
    site = case.site
    before = {each.surface: each.word for each in check(case).surfaces}
    for number, line in enumerate(told):
        copy = tmp_path / str(number)
        shutil.copytree(desk.file.parent, copy)
        changed = open_desk(copy).at(desk.clock())
        works = " ".join(
            dict.fromkeys(
                site.tasks[task].stay
                for approval in site.approvals
                if approval.id == line.approval
                for surface in site.places.surfaces_in[line.room]
                for task in approval.covers.get(surface, ())
                if site.tasks[task].stay in site.stays
            )
        )
        words = ["change", "outlet", line.room, *(["--works", works] if works else [])]
        fields = note_fields(words, listener_of(changed))
        after = note(changed, [Statement(fields, writer_of("Dana Ruiz, contractor"))]).desk
        now = {each.surface: each.word for each in check(after.case()).surfaces}
        assert (before == now) == (line.last_day is not None), (line, works)


def test_without_a_date_or_a_look_nothing_is_said(tiny: Callable[..., House]) -> None:
    assert when(tiny(ROOMS + TRIP + WIRES).case).changes == ()


def test_when_it_is_too_late_already_that_is_said(tiny: Callable[..., House]) -> None:
    text = OFFICE.replace("NOTICE", "2 d") + ROOMS + TRIP + WIRES + 'approval = "wiring-look"\n'
    house = tiny(text, "2026-05-05 16:00")
    house.says("done wires").says("passed wiring-look --by office").at("2026-05-09 16:00")
    assert [line.last_day for line in when(house.case).changes] == [None, None]
