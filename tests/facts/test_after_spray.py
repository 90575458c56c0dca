"""What is looked at, done and told after the spray.

Invariant: 57 items in our own words, each held by something that asks for it or kept for the
closing record.
"""

from __future__ import annotations

import re

from readiness.facts.loader import load_after_spray, load_depth_figures, load_facts
from readiness.facts.vocabulary import Gate, Phase, Role, Status
from readiness.job.quantities import Length, Share

ITEMS = load_after_spray()
FACTS = load_facts()


def test_there_are_fifty_seven() -> None:
    assert len(ITEMS) == 57


def test_they_stand_in_the_order_of_their_phases_but_for_what_comes_later() -> None:
    order = list(Phase)
    phases = [order.index(item.phase) for item in ITEMS.values() if item.phase is not Phase.LATER]
    assert phases == sorted(phases)


def test_each_is_held_by_rows_that_exist_or_told_in_the_record() -> None:
    for name, item in ITEMS.items():
        assert set(item.requirements) <= set(FACTS.requirements), name
        assert set(item.works) <= set(FACTS.work), name
        assert set(item.approvals) <= set(FACTS.approvals), name
        assert set(item.steps) <= set(FACTS.trip), name
        held = (*item.requirements, *item.works, *item.approvals, *item.steps)
        assert bool(held) is not item.told, name


def test_each_is_done_by_somebody_who_exists() -> None:
    known = {*FACTS.trades, *(role.value for role in Role)}
    assert {item.whom for item in ITEMS.values()} <= known


def test_each_says_what_good_looks_like_and_what_is_done_otherwise() -> None:
    for name, item in ITEMS.items():
        assert item.passes_when, name
        assert item.remedy or item.told, name
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", name), name


def test_each_names_its_source() -> None:
    for name, item in ITEMS.items():
        unsourced = item.source == "common practice, no source"
        assert unsourced is (item.status is Status.COMMON_PRACTICE), name


def test_everything_that_the_board_gate_asks_is_an_item() -> None:
    asked = {name for name, kind in FACTS.requirements.items() if kind.due is Gate.BOARD}
    held = {code for item in ITEMS.values() for code in item.requirements}
    assert asked - held == {"fire-watch-named", "alarms-working"}


def test_every_check_says_how_long_mending_takes() -> None:
    for name, kind in FACTS.requirements.items():
        assert bool(kind.mend_takes) is kind.check, name
        assert not kind.measured or kind.check, name


def test_the_sealing_list_is_told_joint_by_joint() -> None:
    assert len(ITEMS["caulk-the-joints"].parts) == 6
    assert len(ITEMS["foam-gaps-by-hand"].parts) == 5


def test_figures_of_depth_can_be_read_and_name_their_source() -> None:
    figures = load_depth_figures()
    for row in figures.values():
        assert row.source
        assert row.status
    assert Share.parse(figures["uneven"].share).percent == 20
    assert Share.parse(figures["thinnest-spot"].share).percent == 75
    assert Length.parse(figures["trimmed-under"].length).inches * 2 == 1


def test_the_items_of_a_phase_stand_together() -> None:
    """Else a list that begins each phase under a heading tells one of them twice."""
    phases = [item.phase for item in ITEMS.values()]
    assert phases == sorted(phases, key=list(dict.fromkeys(phases)).index)
