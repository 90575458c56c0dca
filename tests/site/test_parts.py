"""How a stay is shared out to its places, and in which order crews take them."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from readiness.site.parts import chains_of, shared
from tests.builders import ROOMS, TRIP, asked, at, facts, problems, told, work

ROW_OF_TWELVE = "[rooms]\n" + "".join(f'room-{n:02} = {{ is = "bedroom" }}\n' for n in range(1, 13))
WALLS = "[surfaces]\n" + "".join(
    f'room-{n:02}.wall = {{ is = "wall above grade" }}\n' for n in range(1, 13)
)
WIRES = '[work]\nwires = { trade = "electrician", in = ["all"], order = "before", takes = "3 d" }\n'


def test_twelve_rooms_one_crew_three_days() -> None:
    """The first room is done on day 1 and the last on day 3, not all of them on day 3."""
    job = asked(ROW_OF_TWELVE + WALLS + WIRES + TRIP)
    finishes = [job.finish(f"wires@room-{n:02}") for n in range(1, 13)]
    assert finishes == sorted(finishes)
    assert told(finishes[0]) == "2026-05-04 09:00"
    assert told(finishes[3]) == "2026-05-04 15:00"
    assert told(finishes[-1]) == "2026-05-06 15:00"


def test_two_crews_make_the_stay_shorter() -> None:
    job = asked(ROW_OF_TWELVE + WALLS + WIRES.replace("takes", "crews_on = 2, takes") + TRIP)
    finishes = [job.finish(f"wires@room-{n:02}") for n in range(1, 13)]
    assert told(max(finishes)) == "2026-05-05 11:00"
    assert sum(1 for finish in finishes if told(finish) == "2026-05-04 09:00") == 2


def test_places_that_come_first_are_first_in_the_order_told_and_keep_the_sum() -> None:
    """A room, then a list; the rest as ever. Sums are rounded in the new order."""
    first = WIRES.replace("takes", 'first = ["room-07", "all but room-01"], takes')
    job = asked(ROW_OF_TWELVE + WALLS + first.replace("3 d", "1000 min") + TRIP)
    rooms = [job.site.tasks[part].place for part in job.site.stay_tasks["wires"].parts]
    assert rooms[:3] == ["room-07", "room-02", "room-03"]
    assert rooms[-1] == "room-01"
    assert sum(job.site.tasks[part].minutes for part in job.site.stay_tasks["wires"].parts) == 1000


def test_a_place_that_is_to_come_first_must_be_one_of_the_job() -> None:
    text = ROW_OF_TWELVE + WALLS + WIRES.replace("takes", 'first = "attic", takes') + TRIP
    assert problems(text) == ["attic is no place of this job"]


def test_a_booking_stands_on_the_first_part_of_every_crew() -> None:
    text = WIRES.replace("takes", "booked = 2026-05-06, crews_on = 2, takes")
    job = asked(ROW_OF_TWELVE + WALLS + text + TRIP)
    starts = sorted(job.start(f"wires@room-{n:02}") for n in range(1, 13))
    assert starts[:2] == [at("2026-05-06 07:00")] * 2
    assert starts[2] > starts[1]


def test_together_makes_one_task_of_all_places() -> None:
    job = asked(ROOMS + WIRES.replace("takes", "together = true, takes") + TRIP)
    assert [task.id for task in job.site.tasks if task.stay == "wires"] == ["wires"]
    assert job.site.tasks[job.task("wires")].minutes == 3 * 480


def test_parts_follow_the_written_list_else_storeys_then_ids() -> None:
    rooms = (
        'storeys = ["ground", "upper"]\n[rooms]\nstudy = { storey = "upper" }\n'
        'hall = { storey = "ground" }\nbath = { storey = "upper" }\n'
        "[surfaces]\n"
        + "".join(f'{r}.wall = {{ is = "wall above grade" }}\n' for r in ("study", "hall", "bath"))
    )
    kinds = facts(work={"boxes": work()})
    usual = asked(rooms + "[work]\nboxes = {}\n" + TRIP, tables=kinds)
    assert [usual.site.tasks[p].place for p in usual.site.stay_tasks["boxes"].parts] == [
        "hall",
        "bath",
        "study",
    ]
    written = asked(rooms + '[work]\nboxes = { in = ["study", "hall"] }\n' + TRIP, tables=kinds)
    assert [written.site.tasks[p].place for p in written.site.stay_tasks["boxes"].parts] == [
        "study",
        "hall",
    ]


def test_shares_follow_written_weights_else_areas() -> None:
    rooms = (
        '[rooms]\nbath = { floor_area = "50 sq ft" }\nhall = { floor_area = "150 sq ft" }\n'
        '[surfaces]\nbath.w = { is = "wall above grade" }\nhall.w = { is = "wall above grade" }\n'
    )
    job = asked(rooms + WIRES.replace("3 d", "400 min") + TRIP)
    lengths = {task.place: task.minutes for task in job.site.tasks if task.stay == "wires"}
    assert lengths == {"bath": 100, "hall": 300}
    weighed = WIRES.replace("3 d", "400 min").replace(
        "takes", "weights = { bath = 3, hall = 1 }, takes"
    )
    job = asked(rooms + weighed + TRIP)
    lengths = {task.place: task.minutes for task in job.site.tasks if task.stay == "wires"}
    assert lengths == {"bath": 300, "hall": 100}


def test_a_usual_duration_follows_the_floor_and_a_written_one_does_not() -> None:
    rooms = (
        '[rooms]\nbath = { floor_area = "600 sq ft" }\n'
        '[surfaces]\nbath.w = { is = "wall above grade" }\n'
    )
    kinds = facts(work={"boxes": work(each=False, takes="4 d"), "each": work(takes="4 h")})
    usual = asked(rooms + "[work]\nboxes = {}\neach = {}\n" + TRIP, tables=kinds)
    assert usual.site.tasks[usual.task("boxes@bath")].minutes == 480
    assert usual.site.tasks[usual.task("each@bath")].minutes == 240
    written = asked(rooms + '[work]\nboxes = { takes = "4 d" }\n' + TRIP, tables=kinds)
    assert written.site.tasks[written.task("boxes@bath")].minutes == 4 * 480


weights = st.lists(st.fractions(min_value=0, max_value=100), min_size=1, max_size=12)


@given(st.integers(0, 20_000), weights)
def test_shares_add_up_exactly_and_none_is_far_off(whole: int, parts: list[Fraction]) -> None:
    shares = shared(whole, parts)
    assert sum(shares) == whole
    assert all(share >= 0 for share in shares)
    total = sum(parts)
    if total > 0:
        for share, weight in zip(shares, parts, strict=True):
            assert abs(share - whole * weight / total) <= 1


@given(st.lists(st.integers(0, 500), min_size=1, max_size=12), st.integers(1, 4))
def test_the_next_part_goes_to_the_crew_that_is_free_first(lengths: list[int], crews: int) -> None:
    chains = chains_of(lengths, crews)
    assert sorted(part for chain in chains for part in chain) == list(range(len(lengths)))
    free = dict.fromkeys(range(len(chains)), 0)
    for part, length in enumerate(lengths):
        crew = next(number for number, chain in enumerate(chains) if part in chain)
        assert free[crew] == min(free.values())
        free[crew] += length


def test_days_of_a_stay_are_days_of_its_trade() -> None:
    """`1 d` is the length of the trade's own day, also where the job's day is another."""
    text = '[trades]\nelectrician = { hours = "Mon-Thu 07:00-17:00" }\n'
    job = asked(ROOMS + text + WIRES.replace('["all"]', '["bath"]').replace("3 d", "1 d") + TRIP)
    assert job.site.tasks[job.task("wires@bath")].minutes == 600
    assert job.finish("wires@bath") - job.start("wires@bath") == timedelta(hours=10).seconds // 60
