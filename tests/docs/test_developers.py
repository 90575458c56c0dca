"""The rows that the page for contributors shows are rows that the tables take.

Invariant: each row is tried in the table that its block names, beside the real rows.
"""

from __future__ import annotations

import re
import tomllib

import pydantic
import pytest

from readiness.facts.loader import load_facts
from readiness.facts.rows import Facts
from tests.conftest import ROOT
from tests.docs.commands import blocks_of
from tests.test_house import floors_top_to_bottom

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LEAST_FILES_NAMED = 20
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
    for thing in (
        "a kind of work",
        "an obstruction",
        "a requirement",
        "a question",
        "a kind of entry",
        "a screen",
    ):
        section = PAGE.partition(f"## How to add {thing}\n")[2].partition("\n## ")[0]
        assert "These tests tell: `tests/" in section, thing


def floors_told(page: str) -> list[list[str]]:
    """Return the floors of the page's table, top to bottom, each with its packages."""
    rows = page.partition("| floor |")[2].partition("\n\n")[0].splitlines()[2:]
    return [re.findall(r"`(\w+)`", row.replace("\\|", " ").split("|")[1]) for row in rows]


def test_each_floor_is_named_with_its_invariant_from_top_to_bottom() -> None:
    """Floors that are planned and not built yet have no row."""
    there = [
        [name for name in floor if (ROOT / "readiness" / name / "__init__.py").is_file()]
        for floor in floors_top_to_bottom()
    ]
    assert floors_told(PAGE) == [floor for floor in there if floor]


def test_a_floor_that_is_not_told_is_noticed() -> None:
    assert floors_told("| floor | why |\n|---|---|\n| `a` \\| `b` | x |\n| `c` | y |\n\n") == [
        ["a", "b"],
        ["c"],
    ]


def test_every_file_it_names_is_there() -> None:
    """Names in capitals stand for what a contributor writes."""
    named = set(re.findall(r"`((?:tests|readiness|docs|\.ci)/[\w./-]+)`", PAGE))
    assert len(named) > LEAST_FILES_NAMED
    written = {name for name in named if "NAME" in name or "/x.py" in name or "_x.py" in name}
    assert not [name for name in sorted(named - written) if not (ROOT / name).exists()]
