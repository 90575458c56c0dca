"""The rows that the page for contributors shows are rows that the tables take.

Invariant: each row is tried in the table that its block names, beside the real rows.
"""

from __future__ import annotations

import tomllib

import pydantic
import pytest

from readiness.facts.loader import load_facts
from readiness.facts.rows import Facts
from tests.conftest import ROOT
from tests.docs.commands import blocks_of

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SHOWN = [
    (info.removeprefix("toml ").strip(), "\n".join(lines))
    for _, info, lines in blocks_of(PAGE)
    if info.startswith("toml ")
]


def facts_with(table: str, text: str) -> Facts:
    """Return the facts with the shown rows added to the table."""
    facts = load_facts()
    name = table.rpartition("/")[2].removesuffix(".toml")
    rows = tomllib.loads(text)
    assert not rows.keys() & getattr(facts, name).keys()
    checked = Facts.model_validate({**_empty(), name: rows})
    added = {**getattr(facts, name), **getattr(checked, name)}
    return facts.model_copy(update={name: added})


def _empty() -> dict[str, dict[str, object]]:
    return {name: {} for name in Facts.model_fields}


@pytest.mark.parametrize(("table", "text"), SHOWN, ids=[table for table, _ in SHOWN])
def test_the_row_shown_is_a_row_of_its_table(table: str, text: str) -> None:
    assert (ROOT / table).is_file()
    facts = facts_with(table, text)
    for kind in facts.work.values():
        assert kind.trade in facts.trades
        for link in (*kind.starts_after, *kind.finishes_after):
            assert (link.end_of or link.start_of) in facts.work
    assert all(thing.pull_trade in facts.trades for thing in facts.obstructions.values())


def test_a_row_of_another_shape_is_refused() -> None:
    with pytest.raises(pydantic.ValidationError):
        facts_with("readiness/facts/tables/work.toml", '[made-up]\ntitle = "Nothing else"\n')


def test_the_page_shows_a_row_for_each_thing_to_add() -> None:
    assert [table.rpartition("/")[2] for table, _ in SHOWN] == [
        "work.toml",
        "obstructions.toml",
        "requirements.toml",
    ]
    for thing in ("a kind of work", "an obstruction", "a requirement", "a screen"):
        assert f"## How to add {thing}\n" in PAGE
