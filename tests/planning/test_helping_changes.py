"""What ends work sooner is found where it is the least that makes a day work."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from readiness.desk.desk import desk_of, open_desk
from readiness.desk.drafting import Draft
from readiness.desk.statement import Statement, writer_of
from readiness.pages.ways_text import ways_text
from readiness.planning.change import ChangeKind, Offer
from readiness.planning.listing import offer_of
from readiness.planning.trying import Trying
from readiness.questions.check import check
from readiness.questions.ways import WaysAnswer, ways
from tests.builders import at

HEAD = """
name = "Cedar Lane 3"
key = "5b0e77a1"
as_of = 2026-05-04T06:30:00
site = { time_zone = "UTC", country = "US", holidays = false, hours = "Mon-Fri 07:00-15:00" }
[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }
[surfaces]
bath.outer = { is = "wall above grade", area = "40 sq ft" }
kitchen.outer = { is = "wall above grade", area = "40 sq ft" }
[trades]
plumber = { name = "Ada Pipe" }
framer = { name = "Cal Frame" }
[requirements]
[trips]
first = { booked = 2026-05-11T07:00:00, lasts = "4 h" }
"""


def asked(tables: str, day: int = 11, at_most: float | None = None) -> WaysAnswer:
    """Return the ways to spray the bath and the kitchen on a day of May."""
    desk = desk_of((HEAD + tables).encode(), Path("job.toml"))
    on = date(2026, 5, day)
    return ways(desk.case(), on, at_most=at_most, origin_of=desk.lines.origin)


PIPES = (
    'pipes = { trade = "plumber", in = ["bath", "kitchen"], order = "before", takes = "44 h" }\n'
)
COSTS = "[costs]\ntrip = 9000\nmove = 900\napproval = 90\ntrade_day = 400\n"


def test_one_evening_ends_what_would_have_ended_on_the_next_day() -> None:
    """44 h of work in a week of 40 h: an evening of four hours, late in that week."""
    found = asked(f"[approvals]\n[work]\n{PIPES}{COSTS}shift = 120\n")
    assert found.ways[0].changes == ("evening:plumber:2026-05-07",)
    assert found.ways[0].does == "Let Ada Pipe work on Thu 7 May until 19:30."
    assert found.ways[0].amount == 120
    assert [who.name for who in found.ways[0].people] == ["Ada Pipe"]
    assert "keeps the site open" in found.ways[0].brings[0]


def test_the_fast_way_of_a_work_costs_what_its_line_says() -> None:
    pipes = PIPES.replace("takes =", 'fast_takes = "40 h", fast_costs = 75, takes =')
    found = asked(f"[approvals]\n[work]\n{pipes}{COSTS}shift = 120\n")
    assert found.ways[0].changes == ("fast:pipes",)
    assert "the fast way, in 40 h" in found.ways[0].does
    assert found.ways[0].amount == 75


def test_heat_is_paid_by_the_hour_and_brings_its_caution() -> None:
    """A deck that dries for ten days, or for three with heat: 72 hours at 2 each."""
    drying = (
        'dry-out = { title = "Let the deck dry", trade = "framer", in = ["bath"], '
        'order = "before", takes = "240 h elapsed", dried_takes = "72 h elapsed" }\n'
    )
    found = asked(f"[approvals]\n[work]\n{drying}{COSTS}heat_hour = 2\n")
    way = found.ways[0]
    assert way.changes == ("dry:dry-out",)
    assert way.does == 'Run heat or a dehumidifier for 72 h, for "Let the deck dry".'
    assert way.amount == 144
    assert way.bill[0].price == "heat_hour"
    assert any("Indirect heat only" in caution for caution in way.cautions)


def test_heat_without_its_price_is_not_offered_and_that_is_said() -> None:
    drying = (
        'dry-out = { trade = "framer", in = ["bath"], order = "before", '
        'takes = "240 h elapsed", dried_takes = "72 h elapsed" }\n'
    )
    found = asked(f"[approvals]\n[work]\n{drying}{COSTS}")
    assert all("dry:dry-out" not in way.changes for way in found.ways)
    assert any("drying with heat (heat_hour)" in note for note in found.notes)


OFFICE = '[offices]\ntown = { name = "Town office", visits = "Mon-Fri 08:00-09:00" }\n'


def test_an_earlier_slot_is_asked_for_where_a_later_one_is_confirmed() -> None:
    """The slot of Tuesday 12 is confirmed; the notice of two days allows Wednesday 6."""
    pipes = PIPES.replace("44 h", "8 h").replace("takes", 'approval = "plumbing-approval", takes')
    look = "plumbing-approval = { requested = 2026-05-01T09:00:00, slot = 2026-05-12T08:00:00 }\n"
    found = asked(f"{OFFICE}[approvals]\n{look}[work]\n{pipes}{COSTS}")
    way = found.ways[0]
    assert way.changes == ("slot:plumbing-approval",)
    assert "instead of Tue 12 May 08:00" in way.does
    assert "Wed 6 May 08:00" in way.does
    assert way.brings == ("the office has to confirm it",)
    assert way.lines[0]["wanted"] == "2026-05-06T08:00:00"
    assert "slot" not in way.lines[0]


NET = PIPES.replace("44 h", "48 h").replace("takes", 'approval = "plumbing-approval", takes') + (
    'net = { trade = "framer", in = ["bath", "kitchen"], order = "before", takes = "40 h", '
    'starts_after = [{ end_of = "plumbing-approval", each_place = true }] }\n'
)


def test_a_look_at_a_part_lets_the_work_that_waits_for_it_begin_there(tmp_path: Path) -> None:
    """48 h of pipes and 40 h of net in ten days: only if the bath is netted before Monday 11.

    Nothing else on the list costs as little; without it the day fails, and written it works.
    """
    head = HEAD.replace("booked = 2026-05-11", "booked = 2026-05-18")
    text = f"{head}{OFFICE}[approvals]\nplumbing-approval = {{}}\n[work]\n{NET}{COSTS}"
    day = date(2026, 5, 18)
    way = ways(desk_of(text.encode(), Path("job.toml")).case(), day).ways[0]
    assert way.changes == ("part:plumbing-approval:00",)
    assert 'of Bath outer by itself, Thu 7 May 08:00, so that "net" can begin there' in way.does
    assert way.amount == 90
    assert way.lines == (
        {
            "kind": "requested",
            "approval": "plumbing-approval",
            "surfaces": ["bath.outer"],
            "part": True,
        },
    )
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    assert not check(open_desk(tmp_path).case(), day).is_yes
    who = writer_of("Noor Haddad, contractor")
    draft = Draft(open_desk(tmp_path), who, "by ways")
    for line in way.lines:
        draft.add(Statement(dict(line), who))
    draft.write()
    case = open_desk(tmp_path).case()
    assert check(case, day).is_yes
    parts = [tuple(a.looks) for a in case.site.approvals if a.id == "plumbing-approval"]
    assert parts == [("bath.outer",), ("kitchen.outer",)]


def test_a_part_is_listed_only_where_work_before_the_foam_waits_for_the_look_there() -> None:
    """Not where the wait joins all places, where nothing waits, nor for work after the foam."""
    nothing = Offer((), frozenset(), (), (), "")

    def listed(work: str) -> list[str]:
        text = f"{HEAD}{OFFICE}[approvals]\nplumbing-approval = {{}}\n[work]\n{work}"
        outlook = desk_of(text.encode(), Path("job.toml")).case().outlook
        base = Trying(outlook, nothing, "first", at("2026-05-11 07:00")).attempt(frozenset())
        changes = offer_of(base, nothing, "first").changes
        return [change.id for change in changes if change.kind is ChangeKind.PART]

    pipes, net = NET.splitlines()
    assert listed(NET) == ["part:plumbing-approval:00"]
    for other in (net.replace(", each_place = true", ""), "", net.replace('"before"', '"after"')):
        assert listed(f"{pipes}\n{other}\n") == []


@pytest.mark.parametrize("kind", ["evening", "fast", "dry", "slot", "part"])
def test_nothing_of_that_is_offered_on_the_day_itself(kind: str) -> None:
    """Nothing but what was seen counts then; so none of it could help."""
    pipes = PIPES.replace("takes", 'approval = "plumbing-approval", fast_takes = "8 h", takes')
    pipes = pipes.replace("fast_takes", 'dried_takes = "9 h", fast_takes')
    found = asked(f"{OFFICE}[approvals]\nplumbing-approval = {{}}\n[work]\n{pipes}", day=4)
    assert not any(change.startswith(kind) for way in found.ways for change in way.changes)


ALL_PRICED = f"[approvals]\n[work]\n{PIPES}{COSTS}shift = 120\ncrew = 200\n"


def test_only_ways_within_the_sum_are_told() -> None:
    every = asked(ALL_PRICED)
    assert [way.amount for way in every.ways][:3] == [120, 120, 200]
    cheap = asked(ALL_PRICED, at_most=150)
    assert [way.amount for way in cheap.ways] == [120, 120]
    assert [way.number for way in cheap.ways] == [1, 2]


def test_ways_that_differ_by_their_date_alone_are_one_way() -> None:
    """An evening of Wednesday would do as well as one of Thursday; it is told once."""
    kinds = [way.changes[0].partition(":")[0] for way in asked(ALL_PRICED).ways]
    assert kinds == ["evening", "extra", "crew", "arrive", "leave"]


def test_a_sum_that_no_way_keeps_is_told_beside_the_cheapest() -> None:
    found = asked(ALL_PRICED, at_most=80)
    assert found.ways == ()
    assert found.proof == (
        "The cheapest way costs 120, more than 80: Let Ada Pipe work on Thu 7 May until 19:30.",
    )


def test_what_has_no_price_can_not_be_held_against_a_sum() -> None:
    """Without a price for a shift no evening is told, and the answer says what it left out."""
    found = asked(ALL_PRICED.replace("move = 900\n", ""), at_most=500)
    assert all(not way.unpriced for way in found.ways)
    assert any("not known" in note and "move" in note for note in found.notes)


def test_each_price_and_each_change_names_its_line() -> None:
    found = asked(ALL_PRICED)
    lines = (HEAD + ALL_PRICED).splitlines()
    shift = lines.index("shift = 120") + 1
    plumber = next(n for n, line in enumerate(lines, 1) if line.startswith("plumber ="))
    assert found.ways[0].bill[0].origin == f"job.toml:{shift} costs.shift"
    assert found.ways[0].origins == (f"job.toml:{plumber} trades.plumber",)
    fast = ALL_PRICED.replace("takes =", 'fast_takes = "40 h", fast_costs = 75, takes =')
    lines = (HEAD + fast).splitlines()
    pipes = next(n for n, line in enumerate(lines, 1) if line.startswith("pipes ="))
    way = asked(fast).ways[0]
    assert way.bill[0].origin == f"job.toml:{pipes} work.pipes.fast_costs"
    assert way.origins == (f"job.toml:{pipes} work.pipes",)


def test_evenings_are_left_out_of_a_long_list_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("readiness.planning.listing.MOST_OFFERED", 12)
    found = asked(ALL_PRICED)
    assert all("evening" not in change for way in found.ways for change in way.changes)
    assert any("Evenings are not offered" in note for note in found.notes)


LONG = PIPES.replace("44 h", "160 h").replace("takes", 'approval = "plumbing-approval", takes')


def test_a_long_proof_is_told_in_short_and_whole_only_to_whoever_asks_why(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each surface once, with how much of the list did not help it."""
    monkeypatch.setattr("readiness.questions.ways.MOST_TOLD", 1)
    found = asked(f"{OFFICE}[approvals]\nplumbing-approval = {{}}\n[work]\n{LONG}", day=8)
    assert found.ways == ()
    assert len(found.proof) > 1
    told = " ".join(found.in_short)
    assert told.count("Bath outer") == told.count("Kitchen outer") == 1
    assert re.search(r"too early even with \d+ changes? ?(at once)?, because", told)
    short = ways_text(found)
    assert f"No set of the {found.offered} changes gets past all of this:" in short
    assert f"--why tells all {len(found.proof)} steps" in short
    whole = " ".join(ways_text(found, why=True).split())
    assert "steps of it" not in whole
    assert all(" ".join(step.split()) in whole for step in found.proof)
