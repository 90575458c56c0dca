"""The loader reads every table once and refuses a wrong row.

Invariant: a row that the shape does not know never reaches the program.
"""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from readiness.facts.loader import TABLES, load_facts
from readiness.facts.rows import Facts, WorkKind
from readiness.facts.vocabulary import SurfaceKind


def test_all_tables_load_and_none_is_empty() -> None:
    facts = load_facts()
    assert {table: bool(getattr(facts, table)) for table in TABLES} == dict.fromkeys(TABLES, True)


def test_tables_are_read_once_per_process() -> None:
    assert load_facts() is load_facts()


def test_loader_names_every_table_of_the_shape() -> None:
    assert set(TABLES) == set(Facts.model_fields)


def test_every_kind_of_surface_has_its_row() -> None:
    assert set(load_facts().surfaces) == set(SurfaceKind)


@pytest.mark.parametrize(
    ("key", "value"),
    [("colour", "blue"), ("scope", "street"), ("usual_in", ["castle"]), ("takes", None)],
)
def test_a_wrong_row_is_refused(key: str, value: object) -> None:
    """An unknown key, a word outside its list and a missing duration each fail on reading."""
    row = load_facts().work["framing"].model_dump(mode="json")
    assert WorkKind.model_validate(row) == load_facts().work["framing"]
    with pytest.raises(ValidationError, match=key):
        WorkKind.model_validate(row | {key: value})
