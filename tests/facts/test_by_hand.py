"""The table of sealing by hand, and behind which things a bay may be sealed so."""

from __future__ import annotations

import re

import pytest

from readiness.facts.by_hand_rows import HandMethod
from readiness.facts.loader import load_by_hand, load_facts
from readiness.facts.vocabulary import SurfaceKind
from readiness.job.cost_rows import CostsRow
from readiness.job.foam_quantities import BoardFeet
from readiness.job.quantities import Area

ROWS = load_by_hand()
LARGEST_SQUARE_FEET = 200
TOUCHED_BY_NOBODY = re.compile(r"\b(?:gas|flue|panel|ignition|pressure)\b", re.IGNORECASE)
NEVER_BY_HAND = {SurfaceKind.ROOF_DECK, SurfaceKind.METAL_ROOF, SurfaceKind.METAL_WALL}
"""Whole decks and metal skins are sprayed or left; nobody closes them by hand."""


def test_the_methods_come_with_what_takes_least_first() -> None:
    assert list(ROWS) == ["cans", "boards", "kit"]


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_a_method_has_limits_a_price_of_its_own_and_a_caution(row: HandMethod) -> None:
    assert row.on
    assert not NEVER_BY_HAND & set(row.on)
    assert all(Area.parse(most).square_feet <= LARGEST_SQUARE_FEET for most in row.on.values())
    assert row.foam is bool(row.most_foam)
    assert not row.most_foam or BoardFeet.parse(row.most_foam).board_feet > 0
    assert row.price in CostsRow.model_fields
    assert row.done_by in load_facts().trades
    assert row.caution
    assert len({other.price for other in ROWS.values()}) == len(ROWS)


def test_two_part_foam_is_told_with_its_protection_and_a_keep_out_of_its_own() -> None:
    kit = ROWS["kit"]
    assert "isocyanates" in kit.caution
    assert "keep-out of its own by its sheet" in kit.caution
    assert any("keep everybody out again" in step for step in kit.entails)


def test_no_bay_is_sealed_behind_what_only_a_licensed_trade_may_touch() -> None:
    """Nor behind gas, flues, panels or what is under pressure, whatever the way round them says."""
    offered = {name: kind for name, kind in load_facts().obstructions.items() if kind.bay_by_hand}
    assert set(offered) == {"rim-duct", "stair-run", "beam-pocket", "uncut-hole"}
    for name, kind in offered.items():
        assert not kind.licensed, name
        words = " ".join((kind.title, *kind.entails, kind.caution, kind.approval))
        assert not TOUCHED_BY_NOBODY.search(words), name
        assert "hand" in kind.instead or "Reserve the bay" in kind.instead, name
