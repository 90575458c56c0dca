"""The usual order of works, approvals and foam never runs in a circle.

Invariant: the graph below has every usual link, the foam of one trip, all approvals and the board,
at the level of kinds; laid out over places a job has no link that is not in it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from graphlib import CycleError, TopologicalSorter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.facts.loader import load_facts
from readiness.facts.rows import RulePatch, UsualLink, WorkKind
from readiness.facts.vocabulary import JobKind, Order

FACTS = load_facts()
FOAM, BOARD = "the foam", "the board start"
HANGING = "hang-board"
CONTRADICTORY = {"coating-before-look", "look-before-coating"}

Graph = dict[str, set[str]]


def patched(name: str, rules: Collection[str]) -> WorkKind:
    """Return a kind of work as the switched-on local rules leave it."""
    kind = FACTS.work[name]
    for rule in sorted(rules):
        for patch in FACTS.rules[rule].patches:
            if patch.work == name:
                kind = kind.model_copy(update=changes_of(kind, patch))
    return kind


def changes_of(kind: WorkKind, patch: RulePatch) -> dict[str, object]:
    """Return the fields that a patch changes in a kind of work."""

    def kept(links: Iterable[UsualLink]) -> tuple[UsualLink, ...]:
        return tuple(k for k in links if (k.end_of or k.start_of) not in patch.drop_links_from)

    touches = kind.touches
    if patch.order is not None:
        touches = tuple(rule.model_copy(update={"order": patch.order}) for rule in touches)
    return {
        "touches": touches,
        "starts_after": (*kept(kind.starts_after), *patch.starts_after),
        "finishes_after": kept(kind.finishes_after),
        "approval": patch.approval or kind.approval,
    }


def graph_of(works: Collection[str], rules: Collection[str] = ()) -> Graph:
    """Return what each kind, approval, the foam and the board wait for."""
    graph: Graph = {FOAM: set(), BOARD: {FOAM}}
    for name, approval in FACTS.approvals.items():
        graph[name] = {earlier for earlier in approval.after if earlier in FACTS.approvals}
        if approval.after_spray:
            graph[name].add(FOAM)
            graph[BOARD].add(name)
        else:
            graph[FOAM].add(name)
    for name in works:
        _add(graph, name, patched(name, rules), works)
    return graph


def _add(graph: Graph, name: str, kind: WorkKind, works: Collection[str]) -> None:
    """Add a kind of work with its links, its place round the foam and its approval."""
    earlier = {link.end_of or link.start_of for link in (*kind.starts_after, *kind.finishes_after)}
    graph[name] = {other for other in earlier if other in works or other in FACTS.approvals}
    orders = {rule.order for rule in kind.touches}
    if Order.BEFORE in orders:
        graph[FOAM].add(name)
    if orders & {Order.AFTER, Order.CLOSING_UP}:
        graph[name].add(FOAM)
    if Order.CLOSING_UP in orders:
        graph[BOARD].add(name)
    if name == HANGING:
        graph[name].add(BOARD)
    if kind.approval and Order.AFTER not in orders:
        graph[kind.approval].add(name)


def circle_of(graph: Graph) -> list[str]:
    """Return a circle of the graph, or nothing."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle: list[str] = error.args[1]
        return circle
    return []


def waits_for(graph: Graph, name: str) -> set[str]:
    """Return everything that a kind waits for through any chain."""
    found: set[str] = set()
    open_names = [name]
    while open_names:
        for other in graph[open_names.pop()] - found:
            found.add(other)
            open_names.append(other)
    return found


RULES = st.sets(st.sampled_from(sorted(FACTS.rules))).filter(lambda r: not r >= CONTRADICTORY)


def test_all_kinds_together_run_in_no_circle() -> None:
    assert circle_of(graph_of(set(FACTS.work))) == []


@pytest.mark.parametrize("job", list(JobKind))
def test_no_kind_of_job_runs_in_a_circle_under_any_local_rule(job: JobKind) -> None:
    works = {name for name, kind in FACTS.work.items() if job in kind.usual_in}
    for rule in FACTS.rules:
        assert circle_of(graph_of(works, {rule})) == [], rule


@given(works=st.sets(st.sampled_from(sorted(FACTS.work))), rules=RULES)
def test_no_subset_of_kinds_runs_in_a_circle(works: set[str], rules: set[str]) -> None:
    assert circle_of(graph_of(works, rules)) == []


@given(rules=RULES)
def test_local_rules_run_in_no_circle_together(rules: set[str]) -> None:
    assert circle_of(graph_of(set(FACTS.work), rules)) == []


def test_a_circle_through_the_foam_is_found() -> None:
    """The checks above can fail: wiring after the foam, with the framer still waiting for it."""
    graph = graph_of(set(FACTS.work))
    graph["rough-electrical"].add(FOAM)
    assert {"rough-electrical", FOAM} <= set(circle_of(graph))


def test_contradictory_rules_about_the_coating_are_a_circle() -> None:
    assert "barrier-coating" in circle_of(graph_of(set(FACTS.work), CONTRADICTORY))


def test_nothing_before_the_foam_waits_for_work_after_it() -> None:
    """So tub, furnace or panel never hold up the foam that they wait for, in one trip or in two."""
    graph = graph_of(set(FACTS.work))
    late = {name for name in FACTS.work if FOAM in graph[name]}
    assert {name for name in graph[FOAM] if waits_for(graph, name) & late} == set()


@pytest.mark.parametrize(
    ("early", "late"),
    [
        ("drain-rough", "tub"),
        ("tub-wall-lining", "tub"),
        ("duct-trunk", "attic-ducts"),
        ("attic-ducts", "furnace"),
        ("chase-lining", "fireplace"),
        ("rough-electrical", "service-panel"),
        ("framing-pick-up", "blocking"),
        ("rough-electrical", "fire-blocking"),
        ("slab", "framing"),
        ("board-delivery", "hang-board"),
        ("touch-up", "certificate"),
        ("owner-walk", FOAM),
        (FOAM, "tub"),
        (FOAM, "sound-batts"),
        ("sound-batts", BOARD),
        ("electrical-approval", "framing-approval"),
        ("framing-approval", FOAM),
        (FOAM, "insulation-approval"),
        ("insulation-approval", BOARD),
    ],
)
def test_usual_order_among_trades(early: str, late: str) -> None:
    graph = graph_of(set(FACTS.work))
    assert early in waits_for(graph, late)


def test_wiring_goes_behind_or_in_front_of_the_foam_as_the_office_says() -> None:
    """Where no wire may be buried, cable follows the foam and board follows the cable."""
    works = set(FACTS.work)
    usual, ruled = graph_of(works), graph_of(works, {"no-wiring-in-foam"})
    assert "rough-electrical" in waits_for(usual, FOAM)
    assert FOAM in waits_for(ruled, "rough-electrical")
    assert "rough-electrical" in waits_for(ruled, HANGING)
    assert "framing-pick-up" in waits_for(ruled, FOAM)


def test_coating_and_look_come_in_the_order_of_the_office() -> None:
    works, look = set(FACTS.work), "insulation-approval"
    first = graph_of(works, {"coating-before-look"})
    second = graph_of(works, {"look-before-coating"})
    assert "barrier-coating" in waits_for(first, look)
    assert look in waits_for(second, "barrier-coating")


def test_early_stock_of_board_waits_for_nothing() -> None:
    graph = graph_of(set(FACTS.work), {"board-stocked-early"})
    assert FOAM not in waits_for(graph, "board-delivery")
    assert FOAM in waits_for(graph_of(set(FACTS.work)), "board-delivery")
