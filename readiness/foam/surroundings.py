"""What foam has to do with the ground, with what is hot and with wiring.

Invariant: distances to flues and lights and wiring in foam are questions to a licensed trade or the
office, with figure and status, and never an approval.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.facts.foam_rows import Topic
from readiness.facts.vocabulary import FoamExposure, SurfaceKind
from readiness.foam.editions import speaks_for
from readiness.foam.foam_spot import written
from readiness.foam.said import Said, State, asked_about, mark_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from readiness.foam.foam_spot import FoamSpot, Ruled

GROUND = "ground"
AT_THE_SILL = (SurfaceKind.RIM_JOIST, SurfaceKind.CRAWL_WALL, SurfaceKind.WALL_BELOW_GRADE)
BY_FLUES = (
    SurfaceKind.ROOF_DECK,
    SurfaceKind.ATTIC_FLOOR,
    SurfaceKind.GABLE_WALL,
    SurfaceKind.WALL_ABOVE_GRADE,
    SurfaceKind.METAL_ROOF,
    SurfaceKind.RIM_JOIST,
    SurfaceKind.FLOOR_OVER_COLD_SPACE,
)
BY_LIGHTS = (
    SurfaceKind.ROOF_DECK,
    SurfaceKind.ATTIC_FLOOR,
    SurfaceKind.FLOOR_OVER_COLD_SPACE,
    SurfaceKind.METAL_ROOF,
)


def ground_said(spot: FoamSpot, ruled: Ruled) -> Iterable[Said]:
    """Yield what the ground asks of a surface."""
    rules, edition = ruled.tables.rules, ruled.edition
    if spot.kind is SurfaceKind.CRAWL_WALL:
        rule = rules["ground-cover"]
        says = f"{rule.title}: {rule.says}"
        yield Said(GROUND, State.OWED, says, (mark_of(rule, edition),), owes="ground sheet")
        yield asked_about(rules["crawl-air"], edition, ruled.units)
    over_crawl = spot.exposure in (FoamExposure.CRAWL_SPACE, FoamExposure.EARTH_FLOOR)
    if spot.kind is SurfaceKind.FLOOR_OVER_COLD_SPACE and over_crawl:
        rule = rules["floor-over-vented-crawl"]
        says = f"{rule.title}: {rule.says}"
        yield Said(GROUND, State.ASK, says, (mark_of(rule, edition),))
    in_the_ground = spot.exposure in (FoamExposure.BELOW_GRADE, FoamExposure.CRAWL_SPACE)
    if in_the_ground and spot.kind in rules["flood-class"].on:
        yield asked_about(rules["flood-class"], edition, ruled.units)


def asked_of_the_job(
    spots: Iterable[FoamSpot], ruled: Ruled, local_rules: Collection[str]
) -> Iterable[Said]:
    """Yield what is asked once for the whole job: pests, flues, lights, wiring."""
    kinds = {spot.kind for spot in spots}
    rules, edition = ruled.tables.rules, ruled.edition
    if kinds & set(AT_THE_SILL):
        yield _strip(ruled, local_rules)
        yield _termites(kinds, ruled)
    for rule in rules.values():
        if rule.topic is Topic.CLEARANCE and rule.asks:
            near = BY_LIGHTS if rule.whom == "electrician" else BY_FLUES
            if kinds & set(near):
                yield asked_about(rule, edition, ruled.units)
        elif rule.topic is Topic.WIRING and rule.asks:
            yield asked_about(rule, edition, ruled.units)


TOLD_BESIDE = (
    "retarder-double",
    "foam-counts-density",
    "roof-wood-shingles",
    "roof-contact",
    "roof-other-way",
    "roof-diffusion-ports",
    "roof-board-sealed",
    "roof-humid-buildings",
    "ceiling-without-attic",
    "bare-by-test",
    "foam-service-heat",
    "heat-of-cure",
    "open-cell-dry-places",
)
"""Rules that are told beside the others and compared with nothing."""


def told_beside(spots: Collection[FoamSpot], ruled: Ruled) -> Iterable[Said]:
    """Yield the rules that speak of these surfaces and are only told."""
    kinds = {spot.kind for spot in spots}
    classes = {spot.foam.class_ for spot in spots if spot.foam is not None}
    for rule in (ruled.tables.rules[name] for name in TOLD_BESIDE):
        if (
            (not rule.on or kinds & set(rule.on))
            and (not rule.editions or ruled.edition in rule.editions)
            and (not rule.zones or speaks_for(rule.zones, ruled.zone))
            and (rule.foam is None or rule.foam in classes)
        ):
            said = asked_about(rule, ruled.edition, ruled.units)
            yield replace(said, state=State.TOLD)


def _termites(kinds: Collection[SurfaceKind], ruled: Ruled) -> Said:
    """Return what is asked about foam near soil, with what is let off or usual beside it."""
    rules = ruled.tables.rules
    beside = [
        rule
        for rule in (rules["termites-inside"], rules["inspection-gap"])
        if set(rule.on) & set(kinds)
    ]
    said = asked_about(rules["termite-heavy"], ruled.edition, ruled.units)
    told = "".join(f"; {rule.title}: {rule.says}" for rule in beside)
    marks = (*said.marks, *(mark_of(rule) for rule in beside))
    return replace(said, says=said.says + told, marks=marks)


def _strip(ruled: Ruled, local_rules: Collection[str]) -> Said:
    """Return the strip at the sill: asked about, or switched on by the job's local rule."""
    rule = ruled.tables.rules["termite-strip"]
    if "termite-strip" not in local_rules:
        return asked_about(rule, ruled.edition, ruled.units)
    says = f"{rule.title}: switched on by the local rule; its width is asked before the rig rolls"
    marks = (mark_of(rule), written("local rule termite-strip"))
    return Said(GROUND, State.OWED, says, marks)
