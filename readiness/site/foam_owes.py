"""Which surfaces bring work with them because of the foam they get.

Invariant: only foam that is written brings anything, and nothing is brought where a work of the job
answers already or a named person has allowed to leave it out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import FoamClass, Order
from readiness.foam.editions import speaks_for, zone_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from readiness.facts.rows import Facts, FoamOwed
    from readiness.facts.vocabulary import Allowance
    from readiness.job.job import Job
    from readiness.site.places import Places
    from readiness.site.stays import Stay

LATER = (Order.AFTER, Order.CLOSING_UP)


def owed_stays(
    job: Job,
    facts: Facts,
    places: Places,
    found: Mapping[str, Stay],
    made: Callable[[str, frozenset[str]], Stay | None],
) -> dict[str, Stay]:
    """Return the works that the foam brings with it and the job does not have yet.

    Args:
        job: The job; a site card has no work of its own.
        facts: All tables of facts.
        places: The places of the job.
        found: The works of the job, by id.
        made: Makes the stay of a work for some surfaces only.
    """
    brought: dict[str, Stay] = {}
    for name, kind in facts.work.items():
        if job.card or not kind.owed or name in found or name in job.work:
            continue
        surfaces = surfaces_owing(kind.owed, job, places, found, facts)
        stay = made(name, surfaces) if surfaces else None
        if stay is not None:
            brought[name] = stay
    return brought


def foam_class(job: Job, surface: str) -> FoamClass | None:
    """Return the class of foam that is written for a surface, by itself or by its product."""
    row = job.surfaces[surface]
    if row.product:
        return job.products[row.product].class_
    return FoamClass(row.foam) if row.foam else None


def surfaces_owing(
    owed: Iterable[FoamOwed],
    job: Job,
    places: Places,
    stays: Mapping[str, Stay],
    facts: Facts,
) -> frozenset[str]:
    """Return the surfaces whose foam brings a row with it.

    Args:
        owed: When a row is brought.
        job: The job.
        places: Its places.
        stays: Its works so far, by id.
        facts: All tables of facts.
    """
    return frozenset(
        surface
        for one in owed
        for surface in job.surfaces
        if _fits(one, job, surface)
        and not any(
            work in stays and surface in covered_by(stays[work], places) for work in one.unless
        )
        and not _is_allowed(one.unless_allowed, job, surface)
        and _rules_agree(one.by_rule, job, surface, facts)
    )


def _fits(owed: FoamOwed, job: Job, surface: str) -> bool:
    """Say whether the foam of a surface is the one a row speaks of."""
    class_ = foam_class(job, surface)
    return (
        class_ is not None
        and owed.foam in (None, class_)
        and (not owed.on or job.surfaces[surface].is_ in owed.on)
        and (not owed.zones or speaks_for(owed.zones, zone_of(job.site.climate)))
    )


def covered_by(stay: Stay, places: Places) -> frozenset[str]:
    """Return the surfaces that a work comes to after the foam, where it is laid out."""
    return frozenset(
        surface
        for place in stay.places
        for surface in stay.touches(places, place)
        if stay.order[surface] in LATER
    )


def _rules_agree(what: str, job: Job, surface: str, facts: Facts) -> bool:
    """Say whether the rules about foam say it too; the rules are read where they are needed only.

    A table of the code that has no row here says nothing, and then open-cell is reason enough.
    """
    if not what:
        return True
    from readiness.foam.owing import is_owed

    said = is_owed(what, job, surface, facts.surfaces[job.surfaces[surface].is_])
    return foam_class(job, surface) is FoamClass.OPEN_CELL if said is None else said


def _is_allowed(allowance: Allowance | None, job: Job, surface: str) -> bool:
    return allowance is not None and any(
        row.allows is allowance and surface in job.place_names.surfaces(row.surfaces)
        for row in job.allowances.values()
    )
