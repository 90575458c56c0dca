"""What holds in every table about foam: sources, marks, quantities, references.

Invariant: each rule is checked over all rows, so that a new row meets it without a new test.
"""

from __future__ import annotations

import re

import pytest

from readiness.facts.foam_rows import (
    CondensationRow,
    Figure,
    FoamRuleRow,
    FoamTables,
    ResistanceRow,
)
from readiness.facts.loader import load_facts, load_foam
from readiness.facts.rows import Row
from readiness.facts.vocabulary import FoamClass, Role, Status, SurfaceKind
from readiness.foam.editions import KNOWN
from readiness.foam.resistance import Reached, meets
from readiness.job.durations import Duration
from readiness.job.foam_quantities import BoardFeet, Density, Permeance, Resistance, SprayRate
from readiness.job.quantities import Length, Share
from readiness.job.written import FromText
from readiness.site.foam_works import ANSWERED_BY
from tests.facts.tables import text_of

FOAM = load_foam()
NAMES = tuple(FoamTables.model_fields)
ROWS: list[tuple[str, Row]] = [
    (f"{table}.{name}", row) for table in NAMES for name, row in getattr(FOAM, table).items()
]
STANDARD = re.compile(r"\b[A-Z]{2,}[ -](Table )?[A-Z]?[0-9]|National Building|no document seen")
ZONE = re.compile(r"[1-8][ABC]?")
KINDS: dict[Figure, type[FromText] | None] = {
    Figure.DENSITY: Density,
    Figure.RESISTANCE: Resistance,
    Figure.AIRTIGHT_DEPTH: Length,
    Figure.RETARDER_DEPTH: Length,
    Figure.PERMEANCE: Permeance,
    Figure.LIFT: Length,
    Figure.WAIT: Duration,
    Figure.DRUM_SET: BoardFeet,
    Figure.RATE: SprayRate,
    Figure.ACCESS: None,
    Figure.FRAMING: Share,
    Figure.OVERFILL: Length,
    Figure.TRIM_SHORT: Length,
    Figure.WASTE: Share,
    Figure.RESERVE: Share,
    Figure.SET_UP: Duration,
    Figure.MASKING: Duration,
    Figure.TRIM: Duration,
    Figure.CLEAN_UP: Duration,
}


@pytest.mark.parametrize("table", NAMES)
def test_every_table_says_what_it_decides_and_when_it_was_checked(table: str) -> None:
    head = text_of(f"foam_{table}").split("\n[", 1)[0]
    assert "# Decides: " in head
    assert "# Checked: 2026-11" in head


@pytest.mark.parametrize(("name", "row"), ROWS, ids=[name for name, _ in ROWS])
def test_every_row_says_how_far_its_source_was_seen(name: str, row: Row) -> None:
    """What nobody has seen says so in its source too, so that no page can hide it."""
    unsourced = row.source == "common practice, no source"
    assert unsourced is (row.status is Status.COMMON_PRACTICE), name
    if row.status is Status.FROM_MEMORY:
        assert "memory" in row.source
        assert STANDARD.search(row.source)


def test_no_row_calls_anything_safe() -> None:
    texts = [str(row) for _, row in ROWS]
    assert not [text for text in texts if re.search(r"\bsafe", text, re.IGNORECASE)]


def test_every_figure_is_a_quantity_of_its_kind() -> None:
    for name, row in FOAM.figures.items():
        kind = KINDS[row.of]
        for text in (row.low, row.high, row.used):
            if text and kind is not None:
                kind.parse(text)
            elif text:
                assert float(text) >= 1, name


def test_what_is_planned_with_lies_within_what_is_told() -> None:
    for row in FOAM.figures.values():
        if row.low and row.high and row.used:
            low, used, high = (_worth(row.of, text) for text in (row.low, row.used, row.high))
            assert low <= used <= high, row


def _worth(figure: Figure, text: str) -> float:
    """Return a figure as a plain number of whatever it is written in."""
    kind = KINDS[figure]
    value = kind.parse(text) if kind is not None else text
    if isinstance(value, Duration):
        return value.minutes(480)
    return float(str(text).strip("R-").split()[0])


def test_passes_and_waits_are_told_and_never_planned_with() -> None:
    rows = [row for row in FOAM.figures.values() if row.of in {Figure.LIFT, Figure.WAIT}]
    assert len(rows) == 3
    assert all(row.caution and not row.used for row in rows)


def test_every_kind_of_surface_has_its_access() -> None:
    named = [on for row in FOAM.figures.values() if row.of is Figure.ACCESS for on in row.on]
    assert sorted(named) == sorted(SurfaceKind)


@pytest.mark.parametrize("foam", list(FoamClass))
@pytest.mark.parametrize(
    "figure", [Figure.RESISTANCE, Figure.AIRTIGHT_DEPTH, Figure.DRUM_SET, Figure.RATE]
)
def test_each_class_has_what_stands_in_for_a_sheet(foam: FoamClass, figure: Figure) -> None:
    rows = [row for row in FOAM.figures.values() if row.of is figure and row.foam is foam]
    assert any(row.used for row in rows)


def test_editions_and_zones_are_known_ones() -> None:
    rows: list[ResistanceRow | CondensationRow | FoamRuleRow] = [
        *FOAM.r_values.values(),
        *FOAM.condensation.values(),
        *FOAM.rules.values(),
    ]
    assert {edition for row in rows for edition in row.editions} <= set(KNOWN)
    assert all(ZONE.fullmatch(zone) for row in rows for zone in row.zones)


def test_every_sum_of_the_energy_table_can_be_read() -> None:
    nothing = Reached(0, 0)
    for name, row in FOAM.r_values.items():
        for column in ("ceiling", "attic", "wall", "floor", "basement", "crawl"):
            wanted = getattr(row, column)
            if wanted.startswith("RSI"):
                Resistance.parse(wanted)
            elif wanted not in {"", "0"}:
                assert not any(meets(option, nothing) for option in wanted.split(" or ")), name


def test_who_is_asked_is_a_role_or_a_trade() -> None:
    known = set(Role) | set(load_facts().trades)
    asked = {rule.whom for rule in FOAM.rules.values() if rule.asks}
    assert asked <= known
    assert all(bool(rule.asks) is bool(rule.whom) for rule in FOAM.rules.values())


def test_a_row_that_somebody_can_be_hurt_by_carries_its_caution() -> None:
    hot = {"gas-vent", "chimney", "single-wall-gas", "single-wall-solid", "light-to-insulation"}
    fire = {"thermal-barrier", "ignition-barrier-attic", "ignition-barrier-crawl"}
    wiring = {"cables-in-foam", "knob-and-tube"}
    assert all(FOAM.rules[name].caution for name in hot | fire | wiring)


def test_what_foam_owes_is_answered_by_work_that_exists() -> None:
    facts = load_facts()
    assert {work for works in ANSWERED_BY.values() for work in works} <= set(facts.work)
    owed = [one for row in facts.work.values() for one in row.owed]
    assert owed
    assert {work for one in owed for work in one.unless} <= set(facts.work)
