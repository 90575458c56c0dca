"""The search for ways equals trying every set of the list, on random small jobs.

The referee knows nothing of cuts: it judges all sets with at most one change of each group and
takes the smallest rank. The jobs have work that is before one surface and after another, so that
leaving a surface or moving a work helps one chain and harms another.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from itertools import product, zip_longest
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from readiness.planning.bill import rank_of
from readiness.planning.change import ChangeKind, Offer
from readiness.planning.listing import offer_of
from readiness.planning.search import Search, apart_from_its_date
from readiness.planning.trying import Trying
from tests.builders import at
from tests.laws.random_jobs import Plan, Work, asked_of, days, plans

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.planning.change import Change
    from readiness.planning.trying import Chosen

MOST_CHANGES = 9
"""A list longer than this is thinned out, so that all sets can be tried."""

COSTS = (
    "[costs]\ntrip = 700\nmove = 45\napproval = 90\ntrade_day = 400\n"
    "shift = 120\ncrew = 150\nrig = 60\nseal = 40\nheat_hour = 2\n"
)

SATURDAY = 5
RIG_COSTS = st.sampled_from((30, 60, 950))

YES = tuple((code, "yes", "2026-05-03T09:00:00") for code in ("answered", "access", "dry"))
"""All that anybody has to answer."""

NO_OFFER = Offer((), frozenset(), (), (), "")


class Slow(Work):
    """Work that can be hurried, or dried with heat."""

    __slots__ = ()

    def line(self) -> str:
        """Return it with both durations."""
        shorter = f'fast_takes = "{self.days - 2} d", fast_costs = 300, dried_takes = "2 d"'
        return (
            super()
            .line()
            .replace(f'takes = "{self.days} d"', f'takes = "{self.days} d", {shorter}')
        )


class Mixed(Work):
    """Work that is before one surface and after another."""

    __slots__ = ()

    def line(self) -> str:
        """Return it with an order for each surface."""
        orders = '{ "bath.outer" = "before", "kitchen.outer" = "after" }'
        return super().line().replace(f'order = "{self.order}"', f"order = {orders}")


class Netted(Work):
    """Work that waits, place by place, for the look at what it covers there."""

    __slots__ = ()

    def line(self) -> str:
        """Return it with its wait."""
        wait = '{ end_of = "wiring-look", each_place = true }'
        return super().line().replace(" }", f", starts_after = [{wait}] }}")


COVER = Slow("cover", "framer", ("bath",), "before", 3)
TAIL = Work("tail", "electrician", ("kitchen",), "before", 3)
"""What is done behind the long work in one place, whatever the other one waits for."""


@st.composite
def jobs(draw: st.DrawFn) -> Plan:
    """Draw a plan, often with a mixed work, or one that a second crew makes shorter."""
    plan = draw(plans())
    if draw(st.booleans()):
        plan = replace(plan, answers=YES)
    if draw(st.booleans()):
        plan = replace(plan, lasts_hours=0, area=draw(st.sampled_from(("100 sq ft", "900 sq ft"))))
    if draw(st.booleans()):
        plan = replace(plan, surface_is="rim joist")
    else:
        # Small enough to be sealed by hand, as a wall too
        plan = replace(plan, area=draw(st.sampled_from((plan.area, "30 sq ft"))))
    if draw(st.booleans()):
        plan = replace(plan, thing_is="duct", pile_is="hole")
    if draw(st.booleans()):
        slow = Slow(
            name="slow",
            trade=draw(st.sampled_from(("plumber", "electrician"))),
            rooms=("bath", "kitchen"),
            order="before",
            days=draw(st.integers(3, 8)),
            approval=draw(st.booleans()),
        )
        plan = replace(plan, works=(*plan.works, slow))
    if draw(st.booleans()):
        mixed = Mixed(
            name="mixed",
            trade=draw(st.sampled_from(("plumber", "hvac"))),
            rooms=("bath", "kitchen"),
            order="before",
            days=draw(st.integers(1, 2)),
            booked=draw(st.integers(5, 15).map(lambda day: f"2026-05-{day:02}")),
        )
        plan = replace(plan, works=(*plan.works, mixed))
    if draw(st.booleans()):
        after_a_look = Work(
            name="late",
            trade="framer",
            rooms=("bath",),
            order="before",
            days=draw(st.integers(1, 2)),
            waits_for=(("wiring-look", 0),),
        )
        plan = replace(plan, works=(*plan.works, after_a_look))
    if draw(st.booleans()):
        rough = Work(
            name="rough",
            trade="plumber",
            rooms=("bath", "kitchen"),
            order="before",
            days=draw(st.integers(2, 6)),
            approval=True,
        )
        net = Netted(
            name="net",
            trade="framer",
            rooms=("bath", "kitchen"),
            order="before",
            days=draw(st.integers(2, 6)),
        )
        plan = replace(plan, works=(*plan.works, rough, net))
    if draw(st.booleans()):
        plan = replace(plan, slot=draw(days) + "T09:00:00")
    return replace(plan, extra=COSTS if draw(st.booleans()) else "")


def _working_days(day: int) -> int:
    """Return how many days of May are worked before a day, from Monday 4 on."""
    return sum(1 for earlier in range(4, day) if date(2026, 5, earlier).weekday() < SATURDAY)


@st.composite
def questions(draw: st.DrawFn) -> tuple[Plan, int]:
    """Draw a plan and the day that is asked about, often one that is late by a little.

    Or one with a long work on two storeys, of which the asked trip may need one alone.
    """
    plan = draw(jobs())
    day = draw(st.integers(5, 15))
    drawn_as = draw(st.sampled_from(("any", "late", "storeys")))
    if drawn_as == "storeys":
        storeys = Work(
            name="long",
            trade=draw(st.sampled_from(("plumber", "electrician"))),
            rooms=("kitchen", "bath"),
            order="before",
            days=_working_days(day) + draw(st.integers(0, 2)),
            approval=draw(st.sampled_from((False, False, True))),
            booked=draw(st.sampled_from(("", "", "", "2026-05-06"))),
        )
        few = plan.works[: draw(st.sampled_from((0, 0, 1)))]
        behind = draw(st.sampled_from(((), (), (TAIL,), (COVER, TAIL))))
        works = (*few, storeys, *behind)
        plan = replace(plan, works=works, has_storeys=True, thing="", pile=False)
        plan = replace(plan, answers=YES, extra=draw(st.sampled_from((plan.extra, COSTS))))
        ground = ("kitchen.outer", "kitchen.rim")
        early = draw(st.sampled_from((ground, ground, ("bath.outer",), ())))
        plan = replace(plan, early=early, early_day=draw(st.sampled_from(("", plan.early_day))))
    if drawn_as == "late":
        # A trip of more than a day, and what follows on the second day after its arrival
        tiles = Work(
            name="tiles",
            trade=draw(st.sampled_from(("framer", "plumber"))),
            rooms=draw(st.sampled_from((("kitchen",), ("bath",), ("bath", "kitchen")))),
            order="after",
            days=1,
            booked=f"2026-05-{day + 2:02}",
        )
        lasts = draw(st.sampled_from((11, 12, 14, 0)))
        area = draw(st.sampled_from(("300 sq ft", "500 sq ft", "900 sq ft")))
        few = plan.works[: draw(st.integers(0, 2))]
        plan = replace(
            plan, works=(*few, tiles), lasts_hours=lasts, area=area, thing="", pile=False
        )
        plan = replace(plan, extra=COSTS.replace("rig = 60", f"rig = {draw(RIG_COSTS)}"))
    return plan, at(f"2026-05-{day:02} 07:00")


def thinned(offer: Offer) -> Offer:
    """Return the offer with at most so many changes, of all kinds in turn."""
    kinds: dict[str, list[Change]] = {}
    for change in offer.changes:
        kinds.setdefault(change.kind, []).append(change)
    in_turn = [c for row in zip_longest(*kinds.values()) for c in row if c is not None]
    kept = sorted(in_turn[:MOST_CHANGES], key=lambda change: change.id)
    return replace(offer, changes=tuple(kept))


def trying_of(plan: Plan, on: int) -> Trying | None:
    """Return what tries the sets of a plan's offer; None if the plan can't be laid out."""
    job = asked_of(plan)
    if job is None:
        return None
    wall = f"2026-05-{(on // 1440) - (at('2026-05-01') // 1440) + 1:02}T07:00:00"
    fields = ({"kind": "dated", "what": "first", "when": wall, "agreed": False},)
    empty = replace(NO_OFFER, fields=fields, says="book it")
    base = Trying(job.outlook, empty, "first", on).attempt(frozenset())
    return Trying(job.outlook, thinned(offer_of(base, empty, "first")), "first", on)


def every_set(trying: Trying) -> Iterator[Chosen]:
    """Yield every set with at most one change of a group that leaves a surface in the trip."""
    groups: dict[str, list[str]] = {}
    for change in trying.offer.changes:
        groups.setdefault(change.group, []).append(change.id)
    surfaces = len(trying.attempt(frozenset()).asked_surfaces)
    for picks in product(*([None, *members] for members in groups.values())):
        chosen = frozenset(pick for pick in picks if pick is not None)
        out = sum(len(change.surfaces) for change in trying.changes(chosen))
        if out < max(surfaces, 1):
            yield chosen


def excluded(trying: Trying, chosen: Chosen, earlier: list[Chosen]) -> bool:
    """Say whether a set holds an earlier way, or one that differs from it by dates alone."""
    mine = {apart_from_its_date(change) for change in trying.changes(chosen)}
    return any(
        {apart_from_its_date(change) for change in trying.changes(way)} <= mine for way in earlier
    )


def drawn(plan: Plan, on: int) -> Trying:
    """Return what tries the sets of a drawn plan; one that can't be laid out is drawn anew."""
    trying = trying_of(plan, on)
    assume(trying is not None)
    assert trying is not None
    return trying


def check_against_every_set(trying: Trying) -> tuple[tuple[ChangeKind, ...], ...]:
    """Compare the first two ways with the best of all sets; return the kinds of their changes."""
    found = Search(trying).run(most=2)
    working = [chosen for chosen in every_set(trying) if trying.attempt(chosen).works]
    earlier: list[Chosen] = []
    for way in found.ways:
        left = [chosen for chosen in working if not excluded(trying, chosen, earlier)]
        best = min(rank_of(trying.offer, trying.changes(chosen)) for chosen in left)
        assert rank_of(trying.offer, trying.changes(way.chosen)) == best
        for change in way.chosen:
            assert not trying.attempt(way.chosen - {change}).works, change
        earlier.append(way.chosen)
    if len(found.ways) < 2 and frozenset() not in earlier:
        assert all(excluded(trying, chosen, earlier) for chosen in working)
    if not found.ways:
        assert not working
        assert found.proof
    return tuple(tuple(c.kind for c in trying.changes(way.chosen)) for way in found.ways)


@settings(max_examples=40, deadline=None)
@given(questions())
def test_the_search_equals_trying_every_set(question: tuple[Plan, int]) -> None:
    """Cost, people, changes and ids of the first two ways are those of the best sets."""
    event(f"{len(check_against_every_set(drawn(*question)))} ways")


@pytest.mark.long
@pytest.mark.timeout(1800)
def test_the_search_equals_trying_every_set_on_hundreds_of_jobs() -> None:
    """Every kind of change is on the list of some, and the newer kinds are in the first way too."""
    listed, in_a_way = Counter[ChangeKind](), Counter[ChangeKind]()

    @settings(max_examples=600, deadline=None)
    @given(questions())
    def on_each(question: tuple[Plan, int]) -> None:
        trying = drawn(*question)
        found = check_against_every_set(trying)
        listed.update({change.kind for change in trying.offer.changes})
        in_a_way.update({kind for way in found for kind in way})

    on_each()
    print(f"\nlisted: {listed}\nfirst: {in_a_way}")  # noqa: T201 - so that a run shows its cases
    assert set(listed) == set(ChangeKind)
    for kind in (ChangeKind.RIG, ChangeKind.FIRST):
        assert listed[kind] >= 20, listed
        assert in_a_way[kind] >= 2, in_a_way
    assert listed[ChangeKind.PART] >= 20, listed
    assert {ChangeKind.SEAL, ChangeKind.BAY} <= set(in_a_way)


PART_PLAN = Plan(
    works=(
        Mixed("mixed", "plumber", ("bath", "kitchen"), "before", 1, booked="2026-05-05"),
        Work("rough", "plumber", ("bath", "kitchen"), "before", 2, approval=True),
        Netted("net", "framer", ("bath", "kitchen"), "before", 3),
    ),
    trip_day="2026-05-05T07:00:00",
    early_day="2026-05-06T07:00:00",
    lasts_hours=4,
)
RIG_PLAN = Plan(
    works=(
        Slow("slow", "plumber", ("bath", "kitchen"), "before", 4, approval=True),
        Work("tiles", "framer", ("bath",), "after", 1, booked="2026-05-13"),
    ),
    looks=(("wiring-look", "bath.outer", "2026-04-20"),),
    lasts_hours=11,
    surface_is="rim joist",
    extra=COSTS.replace("rig = 60", "rig = 30"),
)
STOREYS_PLAN = Plan(
    works=(Work("long", "plumber", ("kitchen", "bath"), "before", 8),),
    answers=YES,
    early=("kitchen.outer", "kitchen.rim"),
    early_day="",
    has_storeys=True,
    extra=COSTS,
)


def test_a_look_at_a_part_first_is_found_where_it_is_in_the_best_way() -> None:
    """Nets go up where the look has passed; found by drawing, and made as small as it goes."""
    trying = trying_of(PART_PLAN, at("2026-05-10 07:00"))
    assert trying is not None
    assert ChangeKind.PART in check_against_every_set(trying)[0]
    kept = tuple(change for change in trying.offer.changes if change.kind != ChangeKind.PART)
    without = Trying(trying.outlook, replace(trying.offer, changes=kept), "first", trying.on)
    assert check_against_every_set(without)[:1] != check_against_every_set(trying)[:1]


@pytest.mark.parametrize(("plan", "kind"), [(RIG_PLAN, "rig"), (STOREYS_PLAN, "first")])
def test_another_rig_and_another_storey_first_are_found_where_they_are_cheapest(
    plan: Plan, kind: str
) -> None:
    """And where nothing else is on the list they are the only way, without them there is none."""
    trying = trying_of(plan, at("2026-05-11 07:00"))
    assert trying is not None
    assert check_against_every_set(trying)[0] == (kind,)
    only = tuple(change for change in trying.offer.changes if change.kind == kind)
    for kept, ways in ((only, ((kind,),)), ((), ())):
        alone = Trying(trying.outlook, replace(trying.offer, changes=kept), "first", trying.on)
        assert check_against_every_set(alone) == ways


def test_a_storey_first_that_harms_the_other_one_hides_no_way() -> None:
    """Of two days on each storey the tail of the ground needs the first two, else it is too late.

    The upper storey first costs nothing and is tried first; the fast way of the cover is the way.
    """
    long = STOREYS_PLAN.works[0]
    works = (replace(long, days=4), COVER, TAIL)
    dear = COSTS.replace("crew = 150", "crew = 950").replace("shift = 120", "shift = 950")
    plan = replace(STOREYS_PLAN, works=works, early=(), extra=dear)
    trying = trying_of(plan, at("2026-05-11 07:00"))
    assert trying is not None
    turned = trying.attempt(frozenset({"first:long:upper"})).verdicts
    assert turned is not None
    words = {name: verdict.word.value for name, verdict in turned.surfaces.items()}
    assert (words["bath.outer"], words["kitchen.outer"]) == ("on course", "too early")
    assert check_against_every_set(trying)[0] == ("fast",)


def test_a_date_before_a_keep_out_helps_a_work_that_was_booked_within_it() -> None:
    """Held by its booking and the keep-out of an earlier trip: either alone is not the whole."""
    plan = Plan(
        works=(
            Work("w0", "electrician", ("bath",), "free", 2, booked="2026-05-07"),
            Work(
                "w1",
                "electrician",
                ("bath",),
                "before",
                1,
                waits_for=(("w0", 0),),
                begun="2026-04-20",
            ),
            Work("slow", "plumber", ("bath", "kitchen"), "before", 3),
        ),
        early=("kitchen.rim",),
        trip_day="2026-05-05T07:00:00",
        lasts_hours=0,
    )
    trying = trying_of(plan, at("2026-05-11 07:00"))
    assert trying is not None
    assert len(check_against_every_set(trying)) == 2


def test_what_an_office_has_seen_stays_seen_where_a_surface_is_sealed_by_hand() -> None:
    """The look at the bath has passed; its wires stay done although no foam comes there."""
    plan = Plan(
        works=(
            Slow("slow", "electrician", ("bath", "kitchen"), "before", 6, approval=True),
            Mixed("mixed", "plumber", ("bath", "kitchen"), "before", 1, booked="2026-05-11"),
        ),
        looks=tuple(
            (look, f"{room}.outer", "2026-04-24")
            for look, room in (("wiring-look", "kitchen"), ("wiring-look", "bath"))
        ),
        slot="2026-05-09T09:00:00",
        answers=(("access", "yes", "2026-05-03T09:00:00"),),
        trip_day="2026-05-08T07:00:00",
        lasts_hours=4,
        surface_is="rim joist",
        extra=COSTS,
    )
    trying = trying_of(plan, at("2026-05-09 07:00"))
    assert trying is not None
    assert len(check_against_every_set(trying)) == 2
    assert "seal:bath.outer" in Search(trying).run(most=1).ways[0].chosen


def test_the_random_jobs_have_mixed_work() -> None:
    """The line of a mixed work is one that can be laid out."""
    plan = Plan(works=(Mixed("mixed", "plumber", ("bath", "kitchen"), "before", 1),))
    job = asked_of(plan)
    assert job is not None
    orders = {order.value for task in job.site.orders.values() for order in task.values()}
    assert {"before", "after"} <= orders


def test_the_least_area_that_must_leave_a_trip_is_told_to_the_minute() -> None:
    """A trip of unwritten length, too late by a little: a set that leaves less fails as well."""
    work = Work("tiles", "plumber", ("kitchen",), "after", 1, booked="2026-05-12")
    plan = Plan(works=(work,), lasts_hours=0, area="900 sq ft", trip_day="2026-05-12T07:00:00")
    trying = trying_of(plan, at("2026-05-12 07:00"))
    assert trying is not None
    assert trying.area is not None
    base = trying.attempt(frozenset())
    site = base.outlook.site if base.outlook is not None else None
    assert site is not None
    trip = site.trips["first"]
    closes = site.calendars[site.spray_calendar].spans(at("2026-05-11"), base.on)[-1][1]
    needed = trying.area.to_leave(base, closes - 60)
    assert needed is not None
    sprays = sum(site.tasks[task].minutes for task in trip.sprays.values())
    everything = trying.area.of(trip.surfaces)
    minutes = needed / everything * sprays
    assert 56 <= minutes <= 60
