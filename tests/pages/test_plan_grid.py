"""The grid of a plan: rooms down, days across, each letter explained."""

from __future__ import annotations

import re

from readiness.pages.plan_cells import letters_of
from readiness.pages.plan_grid import WIDTH, grid
from readiness.questions.plan import PlanAnswer
from tests.questions.test_plan import ONE_TRIP, answered, work

TRIP = ONE_TRIP.replace("12 h elapsed", "30 h elapsed")


def small_plan() -> PlanAnswer:
    """Return two trades before the foam and one after it, in two rooms."""
    lines = (
        work("one"),
        work("two", places="hall"),
        work("screen", order="after"),
        work("chase", places="hall", order="free", more=", booked = 2026-05-18"),
    )
    return answered(*lines, trips=TRIP)


def rows_of(answer: PlanAnswer) -> dict[str, list[str]]:
    """Return the cells of each room, block after block, by the day above them."""
    found: dict[str, list[str]] = {}
    heads: list[str] = []
    for line in grid(answer):
        name = next((row for row in (*answer.rooms, "(elsewhere)") if line.startswith(row)), "")
        if re.match(r"[A-Z][a-z]{2}( \d{4})?  ", line):
            heads = re.findall(r"[A-Z][a-z]\d+", line)
        elif name:
            cells = line.removeprefix(name).split()
            pairs = [f"{day} {cell}" for day, cell in zip(heads, cells, strict=True)]
            found.setdefault(name, []).extend(pairs)
    return found


def test_each_room_tells_who_is_in_it_and_when_it_is_shut() -> None:
    rows = rows_of(small_plan())
    assert [cell for cell in rows["Bath"] if not cell.endswith(" .")] == [
        "Mo4 El2",
        "Tu5 Sp1",
        "We6 out",
        "Th7 Fr",
    ]
    assert "Mo18 He" in rows["Hall"]


def test_a_week_in_which_nobody_has_a_room_is_left_out() -> None:
    heads = [line for line in grid(small_plan()) if line.startswith("May")]
    assert len(heads) == 2
    assert "Mo18" in heads[1]
    assert not any("Mo11" in head and "Mo4" not in head for head in heads)


def test_crews_that_are_in_a_room_at_once_are_counted_and_people_are_told_where_written() -> None:
    """One crew goes from the bath to the hall, another is in the bath the first day."""
    both = work("one").replace('["bath"]', '["bath", "hall"]').replace("1 d", "2 d")
    more = work("two").replace("plumber", "electrician")
    crews = "[trades]\nelectrician = { crews = 2 }\n"
    answer = answered(both, more, trips=TRIP, trades=f"{crews}[rates]\npeople = 3\n")
    assert [(line.crews, line.people) for line in answer.crews] == [(2, None), (1, 3)]
    assert rows_of(answer)["Bath"][0] == "Mo4 2El2"
    assert rows_of(answer)["Hall"][0] == "Mo4 .", "the second crew is in the bath as well"
    assert "Sp: Spray foam crew (a crew of 3)." in " ".join(" ".join(grid(answer)).split())
    apart = answered(both.replace("takes", "crews_on = 2, takes"), trips=TRIP, trades=crews)
    assert all(rows_of(apart)[room][0].startswith("Mo4 El") for room in ("Bath", "Hall")), (
        "one each"
    )


def test_every_step_that_somebody_works_on_stands_in_a_cell() -> None:
    """Two, ten hours and one after each other in one room: two days for three of the steps."""
    waits = ', starts_after = [{ end_of = "one" }]'
    first = work("one").replace("1 d", "2 h")
    second = work("two", more=waits).replace("1 d", "10 h")
    third = work("screen", more=waits.replace("one", "two")).replace("1 d", "1 h")
    answer = answered(first, second, third, trips=TRIP)
    assert len(answer.chain) == 4
    assert rows_of(answer)["Bath"] == ["Mo4 Pl3,4+", "Tu5 Fr2+", "We6 Sp1", "Th7 out"]


def test_who_works_in_no_room_has_a_row_too() -> None:
    """Else a step of the chain could stand in no cell."""
    outside = work("one").replace(', in = ["bath"]', "")
    answer = answered(outside, work("two"), work("screen", places="hall"), trips=TRIP)
    assert any("El" in cell for cell in rows_of(answer)["(elsewhere)"])


def test_no_two_parties_have_the_same_letters_and_all_are_explained() -> None:
    answer = small_plan()
    letters = letters_of(answer)
    assert len(set(letters.values())) == len(letters)
    said = " ".join(grid(answer))
    for who, short in letters.items():
        assert f"{short}: {who.name}" in said
    assert all(len(line) <= WIDTH for line in grid(answer))


def test_a_step_of_the_chain_has_its_number_and_a_second_trade_a_plus_sign() -> None:
    """Two trades in the bath on one morning; the rig waits for both, the board for the rig."""
    half = [work("one").replace("1 d", "3 h"), work("two").replace("1 d", "4 h")]
    answer = answered(*half, work("screen", order="after"), trips=TRIP)
    steps = {line.id: line.step for line in answer.dates}
    assert max(steps.values()) == len(answer.chain)
    cells = rows_of(answer)["Bath"]
    assert any(cell.startswith("Mo4 ") and cell.endswith("+") for cell in cells)
    assert any(re.search(r"[A-Z][a-z]\d", cell) for cell in cells)
