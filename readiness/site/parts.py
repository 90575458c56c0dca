"""How the duration of a stay is shared out to its parts, and in which order crews take them.

Invariant: the shares are whole minutes that add up to the whole exactly, because the running sum
is rounded and not each share.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, lcm
from typing import TYPE_CHECKING

from readiness.site.places import SITE, Places
from readiness.site.stays import REFERENCE_FLOOR_SQUARE_FEET, ROOM_FLOOR_SQUARE_FEET

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readiness.job.job import Job
    from readiness.site.stays import Stay


def shared(whole_minutes: int, weights: Sequence[Fraction]) -> list[int]:
    """Return the whole shared out by weight; equal shares if no weight is positive."""
    # As whole numbers of one fraction, which add up far quicker than fractions do
    unit = lcm(*(weight.denominator for weight in weights))
    counts = [weight.numerator * (unit // weight.denominator) for weight in weights]
    total = sum(counts)
    if total <= 0:
        counts, total = [1] * len(weights), len(weights)
    shares: list[int] = []
    running, told = 0, 0
    for count in counts:
        running += count
        upto = round(Fraction(whole_minutes * running, total))
        shares.append(upto - told)
        told = upto
    return shares


def chains_of(minutes: Sequence[int], crews: int) -> list[list[int]]:
    """Return the parts as one chain per crew; the next part goes to the crew that is free first."""
    chains: list[list[int]] = [[] for _ in range(max(1, min(crews, len(minutes))))]
    busy = [0] * len(chains)
    for part, length in enumerate(minutes):
        crew = busy.index(min(busy))
        chains[crew].append(part)
        busy[crew] += length
    return chains


def stay_minutes(stay: Stay, job: Job, places: Places, day_minutes: int) -> list[int]:
    """Return the working minutes of each part of a stay, in the order of its places."""
    whole = stay.takes.minutes(day_minutes)
    if stay.each:
        lengths = [whole] * len(stay.places)
        return [sum(lengths)] if stay.together else lengths
    if stay.scaled:
        floor = floor_square_feet(stay.places, job, places)
        whole = max(len(stay.places), ceil(whole * floor / REFERENCE_FLOOR_SQUARE_FEET))
    if stay.together:
        return [whole]
    return shared(whole, [_weight(stay, place, job, places) for place in stay.places])


def floor_square_feet(names: Sequence[str], job: Job, places: Places) -> Fraction:
    """Return the floor area of the rooms that the places lie in, each room once."""
    rooms: dict[str, None] = {}
    for name in names:
        rooms.update(dict.fromkeys(_rooms_around(name, places)))
    if not rooms:
        return Fraction(REFERENCE_FLOOR_SQUARE_FEET)
    return sum((_room_floor(room, job) for room in rooms), Fraction(0))


def _rooms_around(place: str, places: Places) -> tuple[str, ...]:
    """Return the rooms inside a place, or those it lies in if it is a room or a surface."""
    if place in places.rooms_of_surface:
        return places.rooms_of_surface[place]
    if place == SITE:
        return places.rooms
    return tuple(room for room in places.rooms if room in places.members[place])


def _room_floor(room: str, job: Job) -> Fraction:
    area = job.rooms[room].floor_area
    return area.square_feet if area is not None else Fraction(ROOM_FLOOR_SQUARE_FEET)


def _weight(stay: Stay, place: str, job: Job, places: Places) -> Fraction:
    """Return the written weight of a part, else its area."""
    if place in stay.weights:
        return Fraction(stay.weights[place]).limit_denominator(1000)
    if place in job.surfaces:
        return surface_square_feet(place, job)
    return floor_square_feet((place,), job, places)


def surface_square_feet(surface: str, job: Job) -> Fraction:
    """Return the area of a surface; 100 sq ft if none is written."""
    area = job.surfaces[surface].area
    return area.square_feet if area is not None else Fraction(100)
