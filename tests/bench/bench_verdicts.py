"""How long a changed fact and a moved day take, against one topological sort of the same network.

Invariant: both run on a job of about 1,000 items in 100 rooms, everything of the question included.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import networkx as nx
import pytest

from readiness.desk.desk import Desk, desk_of
from readiness.diary.stated import fold
from readiness.facts.vocabulary import Gate
from readiness.schedule.outlook import outlook_of
from readiness.telling.case import case_of
from tests.bench.ratio import compare, fails_when_delayed

pytestmark = pytest.mark.bench

ROOMS = 100
CHANGED_FACT_LIMIT = 40
MOVED_DAY_LIMIT = 15
DAY_MINUTES = 1440


def large_job() -> str:
    """Return a job of 100 rooms with one surface each and eight works before and after the foam."""
    rooms = [f"r{number:03d}" for number in range(ROOMS)]
    lines = [
        'name = "Large"',
        'key = "a1b2c3"',
        "as_of = 2026-05-04T06:30:00",
        'site = { time_zone = "America/New_York", country = "US", holidays = false }',
        "board = 2026-08-10",
        "[rooms]",
        *(f'{room} = {{ is = "bedroom", storey = "s{room[1]}" }}' for room in rooms),
        "[surfaces]",
        *(
            f'{room}.outer = {{ is = "wall above grade", area = "100 sq ft net" }}'
            for room in rooms
        ),
        "[work]",
        *(
            f'{work} = {{ trade = "{trade}", in = ["all"], order = "before", takes = "10 d" }}'
            for work, trade in (
                ("studs", "framer"),
                ("drains", "plumber"),
                ("ducts", "hvac"),
                ("boxes", "electrician"),
                ("cable", "electrician"),
                ("data", "low-voltage"),
                ("backing", "framer"),
            )
        ),
        (
            'board = { trade = "drywall", in = ["all"], order = "after", takes = "20 d", '
            "agreed = 2026-08-10 }"
        ),
        "[trips]",
        'main = { agreed = 2026-07-06T07:00:00, lasts = "5 d" }',
    ]
    return "\n".join(lines)


@pytest.fixture(scope="module")
def desk() -> Desk:
    """Return the large job, laid out."""
    return desk_of(large_job().encode(), Path("job.toml"))


def sort_of(desk: Desk) -> Callable[[], object]:
    """Return one topological sort of the job's network, as the library does it."""
    site = desk.frame.site
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(len(site.tasks)))
    graph.add_edges_from((link.source, link.target) for link in site.links)
    return lambda: list(nx.topological_sort(graph))


def test_one_changed_fact_gives_all_verdicts_anew(desk: Desk) -> None:
    """Forecast, spray windows, standings and verdicts together stay under forty sorts."""
    sort = sort_of(desk)
    moment = desk.clock()
    seen = fold(desk.job, moment, desk.lines.origin)

    def changed() -> object:
        case = case_of(outlook_of(desk.frame, seen))
        return case.judge.verdicts(Gate.PROMISE, moment + 60 * DAY_MINUTES, "main")

    assert 900 < len(desk.frame.site.tasks) < 1_100
    compare("one changed fact, 1,000 items", changed, sort, limit=CHANGED_FACT_LIMIT).check()
    fails_when_delayed("one changed fact", changed, sort, limit=CHANGED_FACT_LIMIT)


def test_a_moved_day_gives_all_verdicts_anew(desk: Desk) -> None:
    """Only the gate is asked again; the forecast stays."""
    sort = sort_of(desk)
    case = desk.case()
    days = iter(range(1, 10_000))

    def moved() -> object:
        on = case.outlook.seen.as_of + next(days) * DAY_MINUTES
        return case.judge.verdicts(Gate.PROMISE, on, "main")

    compare("a moved day, 1,000 items", moved, sort, limit=MOVED_DAY_LIMIT).check()
    fails_when_delayed("a moved day", moved, sort, limit=MOVED_DAY_LIMIT)
