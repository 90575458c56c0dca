"""Which requirements of the tables this job has.

Invariant: a job has what is usual in its kind, what a local rule switches on and what it names,
less what it removes and what belongs to work it does not have.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Scope

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readiness.facts.rows import Facts, RequirementKind
    from readiness.job.job import Job


def applying_kinds(
    job: Job, facts: Facts, works: frozenset[str]
) -> Iterator[tuple[str, RequirementKind]]:
    """Yield the requirements of a job, in the order of their table.

    Args:
        job: The job.
        facts: All tables.
        works: Ids of the work that the job has; a site card knows of none and is asked everything.
    """
    wanted = {
        patch.requires
        for rule in job.rules
        for patch in facts.rules[rule].patches
        if patch.requires
    }
    for name, kind in facts.requirements.items():
        if job.requirements.get(name) is False:
            continue
        named = name in job.requirements or name in wanted
        usual = job.kind is not None and job.kind in kind.usual_in
        site_wide = bool(kind.usual_in) and kind.scope in (Scope.SITE, Scope.HOUSE)
        card = job.card and job.kind is None and site_wide
        has_work = job.card or not kind.with_any or not works.isdisjoint(kind.with_any)
        if named or ((usual or card) and has_work):
            yield name, kind
