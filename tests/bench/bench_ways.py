"""How much the search for ways adds to the forecasts that it asks for, the solver left out.

Invariant: the job has about 300 items, 60 surfaces and a list of 60 changes; both sides make the
same forecasts in the same order.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pytest

from readiness.desk.desk import desk_of
from readiness.planning import search
from readiness.planning.change import Offer
from readiness.planning.cheapest import Cheapest
from readiness.planning.listing import offer_of
from readiness.planning.search import Found, Search
from readiness.planning.trying import Chosen, Trying
from tests.bench.ratio import compare, fails_when_delayed
from tests.builders import at

pytestmark = pytest.mark.bench

STOREYS = 6
ROOMS = 60
CHANGES = 60
LIMIT = 1.2
MOST_TO_THE_FIRST = 400
MOST_TO_THREE = 1500
ON = at("2026-06-15 11:00")
"""07:00 at the site."""


def held_job() -> str:
    """Return a job with works on both sides of the foam of each storey booked for wrong days."""
    rooms = [f"r{number:02}" for number in range(ROOMS)]
    of_storey = [
        ", ".join(f'"{room}"' for room in rooms if int(room[1:]) % STOREYS == storey)
        for storey in range(STOREYS)
    ]
    works = []
    for storey, places in enumerate(of_storey):
        for name, trade, order, booked in (
            ("pipe", "plumber", "before", f"2026-06-{11 + storey:02}"),
            ("wire", "electrician", "before", f"2026-06-{5 + 2 * storey:02}"),
            ("panel", "framer", "after", f"2026-06-{16 + storey:02}"),
            ("trim", "carpenter", "after", f"2026-06-{18 + 2 * storey:02}"),
        ):
            works.append(
                f'{name}-{storey} = {{ trade = "{trade}", in = [{places}], order = "{order}", '
                f'takes = "1 d", booked = {booked} }}'
            )
    return "\n".join(
        [
            'name = "Held"',
            'key = "a1b2c4"',
            "as_of = 2026-06-01T06:30:00",
            'site = { time_zone = "America/New_York", country = "US", holidays = false }',
            "[rooms]",
            *(
                f'{room} = {{ is = "bedroom", storey = "s{int(room[1:]) % STOREYS}" }}'
                for room in rooms
            ),
            "[surfaces]",
            *(f'{room}.outer = {{ is = "wall above grade", area = "90 sq ft" }}' for room in rooms),
            "[work]",
            *works,
            "[requirements]",
            "[approvals]",
            "[trips]",
            'main = { booked = 2026-06-15T07:00:00, lasts = "6 h", keep_out = "24 h elapsed" }',
            "[costs]",
            "trip = 900\nmove = 120\napproval = 80\ntrade_day = 500",
            "crew = 300\nrig = 800\nshift = 350",
        ]
    )


@dataclass(frozen=True)
class Pair:
    """The search without its solver, and the forecasts that it makes, alone."""

    searched: Callable[[], object]
    forecasts_alone: Callable[[], object]
    to_the_first: int
    found: Found
    changes: int
    items: int


def to_sixty(offer: Offer) -> Offer:
    """Return the offer with so many changes, of all groups in turn."""
    by_group: dict[str, int] = {}
    turn = {}
    for change in offer.changes:
        turn[change.id] = by_group[change.group] = by_group.get(change.group, -1) + 1
    kept = sorted(offer.changes, key=lambda change: (turn[change.id], change.id))[:CHANGES]
    return replace(offer, changes=tuple(sorted(kept, key=lambda change: change.id)))


@cache
def pair() -> Pair:
    """Return both sides, from one search that remembers what its solver said."""
    outlook = desk_of(held_job().encode(), Path("job.toml")).case().outlook
    nothing = Offer((), frozenset(), (), (), "")
    base = Trying(outlook, nothing, "main", ON).attempt(frozenset())
    offer = to_sixty(offer_of(base, nothing, "main"))
    first = Trying(outlook, offer, "main", ON)
    to_the_first = Search(first).run(most=1).forecasts
    answers: list[Chosen | None] = []
    solve = Cheapest.solve

    def remembered(model: Cheapest) -> Chosen | None:
        answers.append(solve(model))
        return answers[-1]

    trying = Trying(outlook, offer, "main", ON)
    asked: list[Chosen] = []
    attempt = trying._attempt

    def noted(chosen: Chosen) -> object:
        asked.append(chosen)
        return attempt(chosen)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Cheapest, "solve", remembered)
        patch.setattr(trying, "_attempt", noted)
        found = Search(trying).run(most=3)

    def searched() -> object:
        told = iter(answers)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(Cheapest, "solve", lambda _: next(told))
            return Search(Trying(outlook, offer, "main", ON)).run(most=3)

    def forecasts_alone() -> object:
        alone = Trying(outlook, offer, "main", ON)
        return [alone.attempt(chosen) for chosen in asked]

    items = len(outlook.site.tasks)
    return Pair(searched, forecasts_alone, to_the_first, found, len(offer.changes), items)


def test_three_ways_are_found_within_so_many_forecasts() -> None:
    both = pair()
    print(  # noqa: T201 - the table of benches is read from the output
        f"\nbench ways: {both.items} items, {both.changes} changes, {both.to_the_first} forecasts "
        f"to the first way, {both.found.forecasts} to {len(both.found.ways)}"
    )
    assert both.items >= 280
    assert both.changes == CHANGES
    assert len(both.found.ways) == 3
    assert both.found.finished
    assert both.to_the_first <= MOST_TO_THE_FIRST == search.MOST_FORECASTS_TO_THE_FIRST
    assert both.found.forecasts <= MOST_TO_THREE == search.MOST_FORECASTS


def test_the_search_adds_at_most_so_much_to_its_forecasts() -> None:
    both = pair()
    compare("ways", both.searched, both.forecasts_alone, limit=LIMIT, turns=5).check()


def test_the_bench_of_ways_notices_a_delay() -> None:
    both = pair()
    fails_when_delayed("ways", both.searched, both.forecasts_alone, limit=LIMIT)
