"""Budgets of questions: full at first, empty after so many, filled again as time goes by."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from readiness.serve.limits import Budgets, Rate


def test_a_budget_is_used_up_and_comes_back() -> None:
    budgets = Budgets(Rate(at_once=3, per_second=0.5))
    assert [budgets.wait("a", 10.0) for _ in range(4)] == [0, 0, 0, 2.0]
    assert budgets.wait("a", 11.0) == 1.0
    assert budgets.wait("a", 12.0) == 0
    assert budgets.wait("a", 12.0) == 2.0


def test_each_has_a_budget_of_its_own() -> None:
    budgets = Budgets(Rate(at_once=1, per_second=1))
    assert budgets.wait("a", 0.0) == 0
    assert budgets.wait("a", 0.0) > 0
    assert budgets.wait("b", 0.0) == 0


def test_a_budget_is_never_more_than_full() -> None:
    budgets = Budgets(Rate(at_once=2, per_second=10))
    assert [budgets.wait("a", 1e6 * turn) for turn in (0, 1)] == [0, 0]
    assert [budgets.wait("a", 1e6) == 0 for _ in range(3)] == [True, False, False]


def test_only_so_many_are_remembered() -> None:
    """Whoever sends from a million addresses fills no memory; the oldest are forgotten."""
    budgets = Budgets(Rate(at_once=1, per_second=0.001), most=100)
    for number in range(10_000):
        budgets.wait(f"address-{number}", 0.0)
    assert len(budgets._left) == 100
    assert budgets.wait("address-9999", 0.0) > 0, "the newest are known"
    assert budgets.wait("address-0", 0.0) == 0, "the oldest begin anew"


@given(st.lists(st.floats(0, 30), min_size=1, max_size=60), st.integers(1, 5))
def test_no_more_is_answered_than_budget_and_time_allow(gaps: list[float], at_once: int) -> None:
    """Whatever the rhythm: at most the budget and what has come back since."""
    budgets, now, answered = Budgets(Rate(at_once, 0.25)), 0.0, 0
    for gap in gaps:
        now += gap
        answered += budgets.wait("a", now) == 0
    assert answered <= at_once + now * 0.25 + 1e-6
