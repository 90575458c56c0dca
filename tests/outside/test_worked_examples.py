"""Textbook networks with published answers: early and late dates, floats, length.

The figures and their sources stand in `worked_examples.toml`. Each network is timed twice: with a
minute for each unit on the clock, and with a day for each unit on a calendar that never closes.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from readiness.schedule.backward import Late, Targets, backward
from readiness.schedule.calendar import Calendar
from readiness.schedule.chains import chain
from readiness.schedule.floats import Floats, floats
from readiness.schedule.forward import Forecast, forward
from readiness.schedule.network import Network, compiled
from readiness.schedule.state import State
from readiness.schedule.worktime import Worktime
from readiness.site.task import Link, LinkKind
from tests.schedule.builders import DAY, MONDAY, link, task

EXAMPLES: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("worked_examples.toml").read_text(encoding="utf-8")
)
SEEN = sorted(name for name, example in EXAMPLES.items() if example["status"] == "seen")
CALENDARS: list[Calendar] = [
    Worktime(lambda low, high: [(low, high)], MONDAY - DAY, MONDAY + 30 * DAY)
]


@dataclass(frozen=True)
class Timed:
    """An example, timed; `unit` is the minutes that stand for one of its units."""

    names: list[str]
    unit: int
    network: Network
    forecast: Forecast
    late: Late
    floats: Floats


def timed(example: dict[str, Any], unit: int, calendar: int | None) -> Timed:
    names = sorted(example["works"])
    tasks = [
        task(index, example["works"][name]["takes"] * unit, calendar, name)
        for index, name in enumerate(names)
    ]
    links = [
        link_of(names, name, row, unit) for name in names for row in example["works"][name]["after"]
    ]
    network = compiled(tasks, links, 0)
    state = State(bookings=dict.fromkeys(range(len(names)), MONDAY))
    forecast = forward(network, CALENDARS, state)
    late = backward(network, CALENDARS, Targets(), otherwise=max(forecast.finish))
    found = floats(network, CALENDARS, forecast, late, state)
    return Timed(names, unit, network, forecast, late, found)


def link_of(names: list[str], name: str, row: str | dict[str, Any], unit: int) -> Link:
    if isinstance(row, str):
        return link(names.index(row), names.index(name))
    kind, gap = LinkKind(row["kind"]), row["gap"] * unit
    return link(names.index(row["from"]), names.index(name), kind, gap, elapsed=unit == 1)


def units(instant: int, found: Timed) -> float:
    return (instant - MONDAY) / found.unit


def check_row(found: Timed, name: str, expected: dict[str, Any]) -> None:
    index = found.names.index(name)
    pairs: dict[str, Forecast | Late] = {"early": found.forecast, "late": found.late}
    for key, dates in pairs.items():
        if key in expected:
            assert [
                units(dates.start[index], found),
                units(dates.finish[index], found),
            ] == expected[key], (name, key)
    for key, minutes in (("total", found.floats.total_float), ("free", found.floats.free_float)):
        if key in expected:
            assert minutes[index] / found.unit == expected[key], (name, key)


@pytest.mark.parametrize(("unit", "calendar"), [(1, None), (DAY, 0)])
@pytest.mark.parametrize("name", SEEN)
def test_a_network_has_its_published_length_dates_and_floats(
    name: str, unit: int, calendar: int | None
) -> None:
    example = EXAMPLES[name]
    found = timed(example, unit, calendar)
    length = example["duration"] if "duration" in example else example["recomputed_duration"]
    assert units(max(found.forecast.finish), found) == length
    for table in ("published", "recomputed"):
        for work, expected in example.get(table, {}).items():
            check_row(found, work, expected)


@pytest.mark.parametrize("name", SEEN)
def test_the_driving_chain_of_a_network_runs_through_works_without_float(name: str) -> None:
    """What the books call critical; where several chains are, the told one is one of them."""
    found = timed(EXAMPLES[name], DAY, 0)
    last = max(range(len(found.names)), key=lambda index: found.forecast.finish[index])
    state = State(bookings=dict.fromkeys(range(len(found.names)), MONDAY))
    steps = chain(last, found.network, CALENDARS, found.forecast, state)
    assert [found.floats.total_float[step.task] for step in steps] == [0] * len(steps)
    assert found.forecast.start[steps[-1].task] == MONDAY


def test_a_network_known_only_from_memory_says_so() -> None:
    """Its length agrees, but that proves nothing: the answer was not read in the source."""
    from_memory = {name for name in EXAMPLES if name not in SEEN}
    assert {EXAMPLES[name]["status"] for name in from_memory} == {"from memory"}
    assert from_memory == {"plant-of-14-works"}


def test_free_float_with_a_lag_as_the_navy_teaches_it() -> None:
    """Source: US Navy training manual 14233, arrow and precedence networks (seen).

    An activity with early start 3, early finish 10 and late start 5 before one with early start 11
    and lag 0 has a total float of 2 and a free float of 1.
    """
    network = compiled([task(0, 7 * DAY, 0), task(1, DAY, 0)], [link(0, 1)], 0)
    state = State(bookings={0: MONDAY + 3 * DAY, 1: MONDAY + 11 * DAY})
    forecast = forward(network, CALENDARS, state)
    late = backward(network, CALENDARS, Targets(start={1: MONDAY + 12 * DAY}))
    found = floats(network, CALENDARS, forecast, late, state)
    assert (forecast.finish[0], late.start[0]) == (MONDAY + 10 * DAY, MONDAY + 5 * DAY)
    assert (found.total_float[0], found.free_float[0]) == (2 * DAY, DAY)
