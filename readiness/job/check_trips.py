"""Checks of trips against one another, and of readings against what they measure.

Invariant: after these checks a surface belongs to at most one trip, and a reading is a quantity of
its kind.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from readiness.job.instruments import QUANTITY_OF, figure_read
from readiness.job.places import PlaceError
from readiness.job.temperatures import TemperatureDifference
from readiness.job.trip_rows import rig_id
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from collections.abc import Callable

    from readiness.job.checking import Checking
    from readiness.job.positions import Path


SPREAD = "above-dew-point"
"""The requirement whose limit is a difference of temperatures; three readings together give it."""


def check_trips(checking: Checking) -> None:
    """Tell surfaces of two trips or of none that a trip speaks of, and rigs called like trades."""
    first: dict[str, str] = {}
    for name, trip in checking.job.trips.items():
        if rig_id(trip) in checking.job.trades:
            what = f"a trade is called {rig_id(trip)} already, and calendars would be mixed up"
            checking.tell(("trips", name, "rig"), what, read=trip.rig or "")
        try:
            surfaces = checking.job.place_names.surfaces(trip.surfaces)
            spoken_of = {
                key: checking.job.place_names.surfaces(tuple(getattr(trip, key)))
                for key in ("sprayed", "reserved", "follow_ups", "left_exposed", "depths")
            }
        except PlaceError:
            continue
        path = ("trips", name, "surfaces")
        for other in dict.fromkeys(first[surface] for surface in surfaces if surface in first):
            shared = [surface for surface in surfaces if first.get(surface) == other]
            what = f"{shared[0]} belongs to trip {other} already"
            hint = (
                f"and {len(shared) - 1} more; name the surfaces of each trip" if shared[1:] else ""
            )
            checking.tell(path, what, read=shared[0], hint=hint)
        for surface in surfaces:
            first.setdefault(surface, name)
        for key, named in spoken_of.items():
            for surface in named:
                if surface not in surfaces:
                    what = f"{surface} is no surface of this trip"
                    checking.tell(("trips", name, key), what, read=surface)


def check_readings(checking: Checking) -> None:
    """Tell readings and limits that are no quantity of their kind."""
    for name, reading in checking.job.readings.items():
        path: Path = ("readings", name, "value")
        _check_quantity(checking, path, reading.value, partial(figure_read, reading.is_))
    for name, row in checking.job.requirements.items():
        usual = checking.facts.requirements.get(name)
        if not row or usual is None:
            continue
        for key, written in (("at_most", row.at_most), ("at_least", row.at_least)):
            path = ("requirements", name, key)
            if written and name == SPREAD and key == "at_least":
                _check_quantity(checking, path, written, TemperatureDifference.parse)
            elif written and usual.reading is None:
                checking.tell(path, f"{name} has no limit", read=written)
            elif written and usual.reading is not None:
                _check_quantity(checking, path, written, QUANTITY_OF[usual.reading].parse)


def _check_quantity(
    checking: Checking, path: Path, written: str, parse: Callable[[str], object]
) -> None:
    """Tell text that is no quantity of its kind."""
    try:
        parse(written)
    except MisreadError as error:
        what = f'"{error.read}" is not {error.wanted}'
        checking.tell(path, what, read=error.read, hint=error.hint)
