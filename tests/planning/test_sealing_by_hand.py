"""Sealing by hand, and the bay behind a thing, are found where they are the least that helps."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from readiness.cli.page import paper_of
from readiness.desk.desk import Desk, desk_of, open_desk
from readiness.desk.drafting import Draft
from readiness.desk.papers import answers_of
from readiness.desk.statement import Statement, writer_of
from readiness.facts.loader import load_by_hand
from readiness.facts.vocabulary import LEFT_OUT, Gate
from readiness.pages.paper import Paper, Point, Points
from readiness.planning.listing_by_hand import fits
from readiness.questions.check import check
from readiness.questions.ways import WayLine, WaysAnswer, ways
from tests.planning.test_helping_changes import HEAD, PIPES

RIM = HEAD.replace(
    'kitchen.outer = { is = "wall above grade", area = "40 sq ft" }',
    'kitchen.rim = { is = "rim joist", area = "30 sq ft", depth = "3 in" }',
).replace('"40 sq ft" }', '"40 sq ft", depth = "3 in" }')
NOTHING = "[approvals]\n[work]\n"
COSTS = "[costs]\ntrip = 9000\nmove = 900\napproval = 90\ntrade_day = 400\n"
DUCT = '[obstructions]\nduct = { is = "rim-duct", in = ["kitchen"] }\n'
LONG = PIPES.replace("44 h", "60 h").replace(', "kitchen"', "")
HOLE = DUCT.replace("rim-duct", "uncut-hole")


def found(text: str, day: int = 11) -> WaysAnswer:
    """Return the ways to spray on a day of May."""
    desk = desk_of(text.encode(), Path("job.toml"))
    return ways(desk.case(), date(2026, 5, day), origin_of=desk.lines.origin)


def applied(text: str, way: WayLine, folder: Path) -> Desk:
    """Return the job once a way is written into its diary."""
    (folder / "job.toml").write_text(text, encoding="utf-8")
    who = writer_of("Noor Haddad, contractor")
    draft = Draft(open_desk(folder), who, "by ways")
    for line in way.lines:
        draft.add(Statement(dict(line), who))
    draft.write()
    return open_desk(folder)


@pytest.mark.parametrize(
    ("text", "day", "change"),
    [
        (f"{RIM}{NOTHING}{DUCT}{COSTS}seal_cans = 40\n", 11, "bay:duct"),
        (f"{RIM}{NOTHING}{HOLE}{COSTS}seal_cans = 40\n", 4, "bay:duct"),
        (f"{RIM}{NOTHING}{LONG}{COSTS}seal_kit = 75\n", 11, "seal:bath.outer"),
    ],
    ids=["a duct that stands", "a hole not cut on the day itself", "a small wall"],
)
def test_it_is_the_way_and_once_written_the_day_works_and_board_waits_for_it(
    text: str, day: int, change: str, tmp_path: Path
) -> None:
    way = found(text, day).ways[0]
    assert way.changes == (change,)
    asked = date(2026, 5, day)
    assert not check(desk_of(text.encode(), Path("job.toml")).case(), asked).is_yes
    desk = applied(text, way, tmp_path)
    assert check(desk.case(), asked).is_yes
    assert any(who.name == "Insulator" for who in way.people)
    assert any("write down" in step for step in way.brings)
    wanted = {r.code for r in desk.case().site.requirements if r.demands.due is Gate.BOARD}
    assert LEFT_OUT in wanted


def test_the_rest_of_the_surface_is_sprayed_and_its_area_told(tmp_path: Path) -> None:
    text = f"{RIM}{NOTHING}{DUCT}{COSTS}seal_cans = 40\n"
    way = found(text).ways[0]
    assert way.does.startswith("Leave duct where it is, keep the bay behind duct at Kitchen rim")
    assert "Kitchen rim of 30 sq ft is sprayed without that bay; mark and measure it" in way.brings
    desk = applied(text, way, tmp_path)
    assert "kitchen.rim" in desk.case().site.trips["first"].surfaces
    answers = answers_of(desk.case())
    (duct,) = answers.particulars.things
    assert (duct.surfaces, duct.bays) == ((), ("Kitchen rim",))
    told = [
        point for point in _not_to_spray(paper_of("crew lead", answers)) if "duct" in point.head
    ]
    assert [point.head for point in told] == ["The bay behind duct"]
    assert "later: seal by hand with canned foam and sealant" in told[0].text


def _not_to_spray(paper: Paper) -> tuple[Point, ...]:
    return next(
        section.points
        for section in paper.sections
        if isinstance(section, Points) and section.heading == "Do not spray"
    )


def test_the_cheapest_method_that_fits_is_offered_and_the_others_are_named() -> None:
    text = f"{RIM}{NOTHING}{DUCT}{COSTS}"
    every = found(f"{text}seal_cans = 90\nseal_boards = 60\nseal_kit = 80\n").ways
    seals = {way.changes[0]: way for way in every}
    assert seals["bay:duct"].amount == 60
    assert seals["bay:duct"].bill[0].price == "seal_boards"
    told = " ".join(seals["seal:kitchen.rim"].brings)
    assert "or seal it with a small two-part kit" in told
    # The rim is too large for cans
    assert "cans" not in told
    one = found(f"{text}seal = 50\n").ways[0]
    assert (one.amount, one.bill[0].price) == (50, "seal")


@pytest.mark.parametrize("thing", ["tub", "panel", "water-heater", "furnace", "flue"])
def test_no_bay_is_offered_behind_what_does_not_say_so(thing: str) -> None:
    stands = f'[obstructions]\nit = {{ is = "{thing}", blocks = ["bath.outer"] }}\n'
    told = found(f"{RIM}{NOTHING}{stands}{COSTS}seal = 1\n")
    assert not any(change.startswith("bay") for way in told.ways for change in way.changes)


def test_a_method_fits_up_to_its_area_and_its_foam_and_no_further() -> None:
    """And where no area is written, or no depth for foam, nobody can say that it fits."""
    rows = load_by_hand()

    def fitting(is_: str, area: str, depth: str = "") -> list[str]:
        deep = f', depth = "{depth}"' if depth else ""
        wide = f', area = "{area}"' if area else ""
        text = HEAD.replace(
            'bath.outer = { is = "wall above grade", area = "40 sq ft" }',
            f'bath.outer = {{ is = "{is_}"{wide}{deep} }}',
        )
        job = desk_of(f"{text}{NOTHING}".encode(), Path("job.toml")).job
        return [name for name, method in rows.items() if fits(method, "bath.outer", job)]

    assert fitting("rim joist", "10 sq ft", "3 in") == ["cans", "boards", "kit"]
    assert fitting("rim joist", "11 sq ft", "3 in") == ["boards", "kit"]
    assert fitting("rim joist", "66 sq ft", "3 in") == ["boards", "kit"]
    assert fitting("rim joist", "67 sq ft", "3 in") == ["boards"]
    assert fitting("rim joist", "161 sq ft", "1 in") == []
    assert fitting("wall above grade", "33 sq ft", "3 in") == ["kit"]
    assert fitting("roof deck", "5 sq ft", "3 in") == []
    assert fitting("rim joist", "10 sq ft") == ["boards"]
    assert fitting("rim joist", "", "3 in") == []
