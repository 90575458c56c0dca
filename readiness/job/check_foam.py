"""Checks of what a job says about its foam: products, allowances, depths of a trip, rates.

Invariant: after these checks a surface has at most one product, of its own class, and every depth
named in a table is a depth.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from readiness.facts.vocabulary import RoomKind, SurfaceKind
from readiness.job.places import PlaceError
from readiness.job.quantities import Length
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.job.checking import Checking
    from readiness.job.foam_quantities import Permeance, Resistance
    from readiness.job.foam_rows import ProductRow
    from readiness.job.positions import Path

Figure = TypeVar("Figure", "Resistance", "Permeance")

SERVICED = (RoomKind.ATTIC, RoomKind.CRAWL_SPACE)


def check_foam(checking: Checking) -> None:
    """Tell what is wrong with the foam of a job."""
    for name, product in checking.job.products.items():
        _check_product(checking, name, product)
    _check_products_of_surfaces(checking)
    _check_depths_of_trips(checking)
    _check_access(checking)
    for name, room in checking.job.rooms.items():
        if room.service_only is not None and room.is_ not in SERVICED:
            what = f"a room of kind {room.is_} is not entered for service only"
            hint = "only an attic or a crawl space can be"
            checking.tell(("rooms", name, "service_only"), what, read=room.is_.value, hint=hint)


def _check_product(checking: Checking, name: str, product: ProductRow) -> None:
    """Tell depths that are none, and figures that go the wrong way with depth."""
    path = ("products", name)
    for (thin, less), (thick, more) in pairwise(_by_depth(checking, (*path, "r"), product.r)):
        if more.r <= less.r:
            what = f"{more} at {thick} is not above {less} at {thin}"
            checking.tell((*path, "r"), what, read=str(more), hint="deeper foam resists more")
    permeances = _by_depth(checking, (*path, "permeance"), product.permeance)
    for (thin, lets), (thick, fewer) in pairwise(permeances):
        if fewer.perm >= lets.perm:
            what = f"{fewer} at {thick} is not below {lets} at {thin}"
            hint = "deeper foam lets less through"
            checking.tell((*path, "permeance"), what, read=str(fewer), hint=hint)
    for key in ("airtight_from", "lift", "most_depth"):
        length = getattr(product, key)
        if length is not None and not length.inches:
            checking.tell((*path, key), f"{length} is no depth", read=str(length))
    if product.lift and product.most_depth and product.lift > product.most_depth:
        what = f"one pass of {product.lift} is deeper than the {product.most_depth} allowed in all"
        checking.tell((*path, "lift"), what, read=str(product.lift))


def _by_depth(
    checking: Checking, path: Path, written: Mapping[str, Figure]
) -> list[tuple[Length, Figure]]:
    """Return the figures from thin to thick, and tell depths that can't be read."""
    found: list[tuple[Length, Figure]] = []
    for depth, figure in written.items():
        try:
            length = Length.parse(depth)
        except MisreadError as error:
            what = f'"{error.read}" is not {error.wanted}'
            checking.tell((*path, depth), what, read=error.read, hint=error.hint)
            continue
        if not length.inches:
            checking.tell((*path, depth), f"{length} is no depth", read=depth)
        elif any(length == other for other, _ in found):
            checking.tell((*path, depth), f"{length} is told twice", read=depth)
        else:
            found.append((length, figure))
    return sorted(found, key=lambda pair: pair[0])


def _check_products_of_surfaces(checking: Checking) -> None:
    """Tell products that are not there or of the other class, and surfaces that fit two."""
    products = checking.job.products
    for name, surface in checking.job.surfaces.items():
        path = ("surfaces", name, "product")
        if surface.product:
            if not checking.known(path, surface.product, products, "product of this job"):
                continue
            is_ = products[surface.product].class_
            if surface.foam and surface.foam != is_:
                what = f"{surface.product} is {is_}, and the surface gets {surface.foam}"
                checking.tell(path, what, read=surface.product, hint="keep one of the two")
        elif surface.foam:
            fit = [one for one, row in products.items() if row.class_ == surface.foam]
            if len(fit) > 1:
                what = f"{' and '.join(fit)} are both {surface.foam}"
                checking.tell(("surfaces", name), what, hint=f'write product = "{fit[0]}"')


def _check_depths_of_trips(checking: Checking) -> None:
    """Tell a trip that sprays more than is agreed for a surface."""
    job = checking.job
    for trip, row in job.trips.items():
        for place, depth in row.depths.items():
            path = ("trips", trip, "depths", place)
            if not depth.inches:
                checking.tell(path, f"{depth} is no depth", read=str(depth))
            try:
                surfaces = job.place_names.surfaces((place,))
            except PlaceError:
                continue
            for surface in surfaces:
                agreed = job.surfaces[surface].depth
                if agreed is not None and depth > agreed:
                    what = f"{depth} is more than the {agreed} agreed for {surface}"
                    checking.tell(path, what, read=str(depth))


def _check_access(checking: Checking) -> None:
    """Tell access for what is neither a place nor a kind of surface."""
    names = checking.job.place_names.known | set(SurfaceKind)
    for name in checking.job.rates.access:
        noun = "place of this job or kind of surface"
        checking.known(("rates", "access", name), name, names, noun)
