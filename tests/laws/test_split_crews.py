"""Half a crew on each of two storeys is never sooner than the whole crew in one of two orders.

That is why no way splits a crew: it would cost as much as the order and bring less.
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.builders import asked

ROOMS = """
[rooms]
kitchen = { is = "kitchen", storey = "ground" }
bath = { is = "bath", storey = "upper" }
hall = { is = "hall", storey = "ground" }
[surfaces]
kitchen.outer = { is = "wall above grade", area = "100 sq ft" }
bath.outer = { is = "wall above grade", area = "100 sq ft" }
hall.outer = { is = "wall above grade", area = "100 sq ft" }
[trips]
"""
PLACES = ("kitchen", "bath")


def finishes(line: str, trips: str) -> tuple[int, ...]:
    """Return when the work ends in each of its two places."""
    work = f'[work]\npipes = {{ trade = "plumber", in = ["kitchen", "bath"], {line} }}\n'
    job = asked(ROOMS + trips + work)
    return tuple(job.finish(f"pipes@{place}") for place in PLACES)


minutes = st.integers(30, 3000)


@settings(max_examples=60, deadline=None)
@given(minutes, minutes, st.sampled_from(("ground", "upper", "all")), st.integers(0, 150))
def test_one_of_two_orders_ends_both_storeys_as_soon_as_half_a_crew_on_each(
    below: int, above: int, shut: str, hours: int
) -> None:
    """One storey, or both, are shut at first, from the arrival of another trip to its release."""
    trips = (
        f'early = {{ booked = 2026-05-05T07:00:00, surfaces = "hall", zone = "{shut}", '
        f'lasts = "4 h", keep_out = "{hours} h elapsed" }}\n'
        'main = { surfaces = ["kitchen", "bath"] }\n'
    )
    weights = f'order = "before", weights = {{ kitchen = {below}, bath = {above} }}'
    whole = f'{weights}, takes = "{below + above} min"'
    halves = f'{weights}, crews_on = 2, takes = "{2 * (below + above)} min"'
    split = finishes(halves, trips)
    orders = [finishes(f'{whole}, first = "{place}"', trips) for place in PLACES]
    assert any(
        all(mine <= theirs for mine, theirs in zip(order, split, strict=True)) for order in orders
    )
