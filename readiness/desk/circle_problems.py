"""Tells tasks that wait for each other as problems of the job file.

Invariant: every task and link of the shortest circle is named, with the line it comes from.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.job.problems import Problem
from readiness.site.places import SITE
from readiness.site.task import TaskKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.schedule.circles import Circle
    from readiness.site.site import Site


def circle_problems(site: Site, circles: Iterable[Circle]) -> list[Problem]:
    """Return one problem for each group of tasks that wait for each other."""
    return [_problem(site, circle) for circle in circles]


def _problem(site: Site, circle: Circle) -> Problem:
    links = [site.links[number] for number in circle.links]
    written = [link.origin for link in links if link.origin.line is not None]
    steps = []
    for number, task in zip(circle.links, circle.tasks, strict=True):
        link = site.links[number]
        steps.append(
            f"{_told(site, link.target)} waits for {_told(site, task)} ({_where(link.origin)})"
        )
    surfaces = _sprayed(site, circle)
    if surfaces:
        what = "these wait for each other through the foam, which needs two trips"
        hint = "put one of the surfaces into an earlier trip: " + ", ".join(surfaces)
    else:
        what = "these wait for each other"
        hint = "take one of the waits out, or change the order of one of them"
    chain = "; ".join(steps)
    return Problem(
        file=written[0].source if written else "job.toml",
        line=written[0].line if written else None,
        key=written[0].row if written else "work",
        what=f"{what}: {chain}",
        hint=hint,
    )


def _where(origin: object) -> str:
    line = getattr(origin, "line", None)
    row = getattr(origin, "row", "")
    return f"line {line}" if line is not None else f"usual for {row}"


def _told(site: Site, task: int) -> str:
    row = site.tasks[task]
    if row.place == SITE:
        return row.id
    return f"{row.stay.removeprefix('approval:')} in {site.places.name(row.place)}"


def _sprayed(site: Site, circle: Circle) -> list[str]:
    """Return the surfaces whose spray and release lie on the circle, and those that wait for it."""
    kinds = {site.tasks[task].kind for task in circle.tasks}
    if TaskKind.SPRAY not in kinds or TaskKind.RELEASE not in kinds:
        return []
    found = dict.fromkeys(
        site.places.name(surface)
        for task in circle.tasks
        for surface in site.tasks[task].surfaces
        if site.tasks[task].kind in (TaskKind.SPRAY, TaskKind.WORK)
    )
    return list(found)
