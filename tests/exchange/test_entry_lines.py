"""An entry as a line: typed again, it says the same."""

from __future__ import annotations

import pytest

from readiness.desk.desk import open_desk
from readiness.desk.noting import listener_of
from readiness.diary.entries import JobText
from readiness.exchange.diary_lines import entry_of
from readiness.exchange.entry_lines import entry_line
from readiness.exchange.message import words_of
from readiness.exchange.note_words import FORMS, note_fields
from tests.conftest import ROOT

DESK = open_desk(ROOT / "sample_jobs" / "garden-room-addition")
LISTENER = listener_of(DESK)
SIGNED = {
    "seen": "2026-08-24T07:00:00",
    "written": "2026-08-24T13:00:00Z",
    "by": "Ida Brand",
    "role": "contractor",
}
LINES = (
    "done low-voltage bath",
    "done low-voltage",
    "not-done low-voltage bath, roof",
    "begun low-voltage bath 60 %",
    "begun low-voltage 3 h left",
    "requested electrical bath",
    'requested electrical --slot "2026-08-27 09:00"',
    "passed electrical roof --by office",
    "passed-part electrical roof",
    'may-cover electrical roof --correct "strap the cable"',
    "failed electrical roof",
    "accepted electrical --by office",
    "not-required electrical --by office",
    "set crates --is stored-goods --blocks roof",
    "set tub",
    "pulled tub",
    "pull tub 2026-08-27",
    "put-back tub 2026-09-03 08:00",
    "reading moisture 17 % roof",
    "void storm roof",
    "prepared masking-off bath",
    "yes everybody-out",
    "no flames-off",
    "unknown staging",
    "promised staging 2026-08-26 12:00",
    'promised low-voltage 2026-08-26 --in "bath, roof"',
    "confirmed main",
    "rigs main 2",
    "first low-voltage roof",
    "first low-voltage",
    'refused main --reason "rig is broken"',
    "offered main 2026-08-27 07:00, 2026-08-28 07:00",
    "agreed main 2026-08-27 07:00",
    "booked low-voltage 2026-08-26",
    "struck low-voltage",
    'slip low-voltage "2026-08-27" --cause storm',
    "trip second roof",
    "reserved main roof",
    'sealed roof --reason "two bays by hand"',
    "off drywall 2026-08-31",
    "extra drywall 2026-08-29",
    "late drywall 2026-08-28 20:00",
    'takes low-voltage "6 h" --reason "two men"',
    "crews low-voltage 2",
    'change "one more outlet" roof --works low-voltage --by owner --agreed-by Ida',
    'damage "cut for a pipe" roof --trade plumber',
    'override low-voltage roof --reason "done on the day"',
    'stop "floor deck wet" bath',
    'lift "dry again"',
    "arrived main",
    "sprayed main roof 60 %",
    "lots main 4471 4472",
    "last-foam main roof",
    "cleaned main",
    "ventilated main no",
    "release main residents",
    "depth roof 3.4 3.6 3.1e",
    "photo IMG-4471 roof",
    'sign-off "owner walk" bath',
    'remark "key is at number 7"',
    'remark "gate code" --private',
)
"""One line of every form at least, with days as they are written."""


def test_no_form_is_left_out() -> None:
    assert {line.split()[0] for line in LINES} == set(FORMS)


@pytest.mark.parametrize("line", LINES)
def test_an_entry_as_a_line_says_the_same_again(line: str) -> None:
    entry = entry_of({"how": "seen", **note_fields(words_of(line), LISTENER), **SIGNED})
    told = entry_line(entry)
    again = entry_of({"how": "seen", **note_fields(words_of(told), LISTENER), **SIGNED})
    assert again == entry, told


def test_what_no_line_says_has_none() -> None:
    kept = JobText.model_validate(
        {**SIGNED, "writer": "ida", "number": 1, "text": "", "sha256": "0" * 64}
    )
    assert not entry_line(kept)
