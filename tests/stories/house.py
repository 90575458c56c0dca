"""A small job whose story is told line by line, through the desk, as a telephone would send it.

Invariant: every line is written into a real diary on disk, at the clock where the house stands.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from readiness.desk import desk as desks
from readiness.desk.desk import Desk, open_desk
from readiness.desk.noting import listener_of, note
from readiness.desk.statement import Statement, writer_of
from readiness.exchange.message import words_of
from readiness.exchange.note_listener import NoteRefused
from readiness.exchange.note_words import note_fields
from readiness.facts.loader import load_facts
from readiness.job.instants import instant_of_local
from readiness.questions.check import CheckAnswer, check
from tests.builders import HEAD, TINY

if TYPE_CHECKING:
    from collections.abc import Callable

    from readiness.facts.rows import Facts
    from readiness.facts.vocabulary import Gate
    from readiness.telling.case import Case

CONTRACTOR = "Dana Ruiz, contractor"
NAME = HEAD.partition("\n")[0]
LEAD = "Lea Brandt, crew lead"
DISPATCHER = "Pat Hale, dispatcher"


class House:
    """A job folder and a clock."""

    def __init__(self, folder: Path, text: str, when: str) -> None:
        self.folder = folder
        whole = text if NAME in text else HEAD + text
        (folder / "job.toml").write_text(whole, encoding="utf-8")
        self.desk: Desk = open_desk(folder)
        self.at(when)

    def at(self, when: str) -> House:
        """Put the clock somewhere."""
        moment = datetime.fromisoformat(when)
        self.desk = self.desk.at(instant_of_local(moment, self.desk.zone))
        return self

    def says(self, line: str, who: str = CONTRACTOR) -> House:
        """Write a line into the diary."""
        fields = note_fields(words_of(line), listener_of(self.desk))
        self.desk = note(self.desk, [Statement(fields, writer_of(who))]).desk
        return self

    def refuses(self, line: str, who: str = CONTRACTOR) -> str:
        """Return why a line is refused."""
        with pytest.raises(NoteRefused) as refused:
            self.says(line, who)
        return str(refused.value)

    @property
    def case(self) -> Case:
        """Return the job as it is now."""
        return self.desk.case()

    def check(self, on: str = "", gate: Gate | None = None) -> CheckAnswer:
        """Return the answer, about the trip that `check` would name or about a moment."""
        return check(self.case, datetime.fromisoformat(on) if on else None, gate)

    def word(self, on: str = "", gate: Gate | None = None) -> str:
        """Return the word of the trip."""
        return self.check(on, gate).verdict

    def words(self, on: str = "", gate: Gate | None = None) -> dict[str, str]:
        """Return the word of each surface."""
        return {line.surface: line.word for line in self.check(on, gate).surfaces}

    def blockers(self, on: str = "", gate: Gate | None = None) -> list[str]:
        """Return what holds the trip up, in words."""
        return [line.says for line in self.check(on, gate).blockers]

    def findings(self) -> list[str]:
        """Return the words of what is worth knowing."""
        return [f"{line.code}: {line.says}" for line in self.check().findings]


@pytest.fixture
def tiny(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., House]:
    """Return a builder of houses on tables of their own, so that a story holds only its own."""

    def build(text: str, when: str = "2026-05-04 06:30", tables: Facts = TINY) -> House:
        monkeypatch.setattr(desks, "load_facts", lambda: tables)
        return House(tmp_path, text, when)

    return build


@pytest.fixture
def real(tmp_path: Path) -> Callable[..., House]:
    """Return a builder of houses on the tables that ship with the package."""

    def build(text: str, when: str = "2026-05-04 06:30") -> House:
        assert load_facts().requirements
        return House(tmp_path, text, when)

    return build
