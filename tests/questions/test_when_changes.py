"""The last moment for a change is the last: ordered then the spray stays, a minute later it moves.

Invariant: both are told by the diary and the verdict, not by the reckoning that is tested.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from readiness.questions.when import when
from tests.builders import ROOMS, TRIP
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
def test_a_change_then_leaves_the_spray_and_a_minute_later_moves_it(
    notice: str, tiny: Callable[..., House]
) -> None:
    text = OFFICE.replace("NOTICE", notice) + ROOMS + TRIP + WIRES + 'approval = "wiring-look"\n'
    house = tiny(text, "2026-05-05 16:00")
    house.says("done wires").says("passed wiring-look --by office")
    (bath, kitchen) = when(house.case).changes
    assert (bath.room, kitchen.room) == ("bath", "kitchen")
    assert bath.last == kitchen.last
    last = bath.last.replace(tzinfo=None)
    words = []
    for moment in (last, last + timedelta(minutes=1)):
        house.at(moment.isoformat(sep=" "))
        house.says('change "an outlet" kitchen.outer --works wires --by owner')
        house.says("done wires kitchen")
        words.append(house.check().surfaces[1])
    assert [(line.surface, line.word) for line in words] == [
        ("kitchen.outer", "on course"),
        ("kitchen.outer", "too early"),
    ]


def test_without_a_date_or_a_look_nothing_is_said(tiny: Callable[..., House]) -> None:
    assert when(tiny(ROOMS + TRIP + WIRES).case).changes == ()


def test_what_is_past_is_said(tiny: Callable[..., House]) -> None:
    text = OFFICE.replace("NOTICE", "2 d") + ROOMS + TRIP + WIRES + 'approval = "wiring-look"\n'
    house = tiny(text, "2026-05-09 16:00")
    assert [line.is_past for line in when(house.case).changes] == [True, True]
