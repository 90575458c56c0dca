"""One line says one thing; a line that is nearly right is refused with the nearest valid form."""

from __future__ import annotations

from typing import Any

import pytest

from readiness.diary.entries import ENTRY
from readiness.exchange.diary_lines import entry_of
from readiness.exchange.message import words_of
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_words import FORMS, note_fields
from tests.exchange.note_lines import JOB, LINES, REFUSED, listener

WHO = {"by": "Dana Ruiz", "seen": "2026-05-04T06:30:00", "written": "2026-05-04T10:30:00Z"}


def fields(line: str, text: str = JOB) -> dict[str, Any]:
    return note_fields(words_of(line), listener(text))


@pytest.mark.parametrize("line", LINES)
def test_a_line_says_one_entry(line: str) -> None:
    assert fields(line) == LINES[line]
    assert entry_of({**WHO, **LINES[line]}).kind == LINES[line]["kind"]


def test_every_form_has_a_line() -> None:
    assert {line.split()[0] for line in LINES} == set(FORMS)


def test_every_kind_of_entry_can_be_said_but_those_the_tool_keeps_itself() -> None:
    """The text of another job file, what was sent, and what came back from a calendar."""
    kinds = set(ENTRY.json_schema()["discriminator"]["mapping"])
    assert kinds - {told["kind"] for told in LINES.values()} == {"job-file", "sent", "replied"}


@pytest.mark.parametrize("line", [line for line, says in REFUSED.items() if says])
def test_a_line_that_is_nearly_right_is_refused_with_what_to_write(line: str) -> None:
    with pytest.raises(NoteRefused) as refused:
        fields(line)
    assert REFUSED[line] in str(refused.value)


@pytest.mark.parametrize("line", [line for line, says in REFUSED.items() if not says])
def test_a_short_word_that_can_mean_only_one_thing_is_understood(line: str) -> None:
    assert entry_of({**WHO, **fields(line)}).kind


@pytest.mark.parametrize(
    ("short", "whole"),
    [
        ("done wir", "done wires"),
        ("passed wiring", "passed wiring-look"),
        ("DONE wires", "done wires"),
        ("done wires north wall", "done wires kitchen.north-wall"),
        ("done wires NORTH WALL", "done wires kitchen.north-wall"),
        ("done wires north wall south wall", "done wires kitchen.north-wall kitchen.south-wall"),
        ("done wires bath and North wall", "done wires bath, kitchen.north-wall"),
        ("done wires Kitchen and den, bath", "done wires kitchen bath"),
        ("done wires Bath outer", "done wires bath.outer"),
        ("yes rig", "yes rig-access"),
        ("yes wires", "yes wires"),
        ("reading moisture 17 %", "reading moisture 17% all"),
        ("set stack --is pil --blocks bath", "set stack --is pile --blocks bath"),
        ("stop wet all", "stop wet"),
        ("depth kitchen.north-wall 3,4 3.1E", 'depth "North wall" 3.4 3.1e'),
    ],
)
def test_names_may_be_short_and_places_are_called_as_people_call_them(
    short: str, whole: str
) -> None:
    left, right = fields(short), fields(whole)
    assert {**left, "value": ""} == {**right, "value": ""}


def test_a_name_that_two_places_bear_is_refused_with_both() -> None:
    twice = JOB.replace('name = "South wall"', 'name = "North wall"')
    with pytest.raises(NoteRefused) as refused:
        fields("done wires north wall", twice)
    assert "may mean kitchen.north-wall or kitchen.south-wall" in str(refused.value)
    assert fields("done wires kitchen.south-wall", twice)["places"] == ["kitchen.south-wall"]


def test_an_id_that_begins_several_is_refused_with_them() -> None:
    more = JOB.replace(
        "lining = {",
        'wiring = { trade = "electrician", in = ["bath"], '
        'order = "before", takes = "2 h" }\nlining = {',
    )
    with pytest.raises(NoteRefused) as refused:
        fields("done wir", more)
    assert "'wir' may mean" in str(refused.value)
    assert "wires" in str(refused.value)
    assert "wiring" in str(refused.value)


def test_with_two_trips_a_line_names_its_own() -> None:
    two = JOB.replace(
        'first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }',
        'first = { booked = 2026-05-11T07:00:00, lasts = "4 h", surfaces = ["bath.outer"] }\n'
        'second = { booked = 2026-05-12T07:00:00, lasts = "4 h", surfaces = ["kitchen"] }',
    )
    assert fields("arrived second", two) == {"kind": "arrived", "trip": "second"}
    with pytest.raises(NoteRefused):
        fields("arrived", two)
    with pytest.raises(NoteRefused) as refused:
        fields("sprayed North wall", two)
    assert "is no trip of this job" in str(refused.value)
