"""Checks that what an agreed depth means is said whole.

Invariant: after these checks a surface with a tolerance has one that leaves some foam.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.facts.vocabulary import DepthMeans

if TYPE_CHECKING:
    from readiness.job.checking import Checking


def check_depth(checking: Checking) -> None:
    """Tell a tolerance without its meaning, the meaning without a tolerance, and one too wide."""
    job = checking.job
    _check_pair(checking, ("depth",), "means", job.depth.means, given=bool(job.depth.tolerance))
    for name, surface in job.surfaces.items():
        means = surface.depth_means or job.depth.means
        tolerance = surface.tolerance or job.depth.tolerance
        path = ("surfaces", name)
        if surface.depth_means is not None or surface.tolerance is not None:
            _check_pair(checking, path, "depth_means", means, given=tolerance is not None)
        if surface.depth is not None and tolerance is not None and tolerance >= surface.depth:
            what = f"a tolerance of {tolerance} leaves nothing of {surface.depth}"
            checking.tell((*path, "depth"), what, read=str(surface.depth))


def _check_pair(
    checking: Checking, path: tuple[str, ...], key: str, means: DepthMeans | None, *, given: bool
) -> None:
    wants = means is DepthMeans.TOLERANCE
    if wants and not given:
        what = "an average with tolerance needs its tolerance"
        checking.tell((*path, key), what, hint='write tolerance = "0.25 in"')
    elif given and not wants:
        what = f"a tolerance means nothing with {means.value if means else 'nothing said'}"
        hint = f'write {key} = "{DepthMeans.TOLERANCE.value}", or take the tolerance out'
        checking.tell((*path, "tolerance"), what, hint=hint)
