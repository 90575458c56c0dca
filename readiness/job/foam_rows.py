"""What a job file says about its foam: products, named allowances, the spray company's rates.

Invariant: a figure of a product stands beside the sheet it was read from; what is left out is not
guessed.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from readiness.facts.vocabulary import Allowance, FoamClass, SurfaceKind
from readiness.job.fields import Count, Day, Factor, Places, Rating, Text, as_many
from readiness.job.foam_quantities import BoardFeet, Density, Permeance, Resistance, SprayRate
from readiness.job.quantities import Duration, Length, Share
from readiness.job.rows import Row


class ProductRow(Row):
    """One foam as its data sheet and its evaluation report describe it."""

    name: Text = ""
    class_: FoamClass = Field(alias="class")
    """Class of the foam."""
    sheet: Text
    """The product data sheet all figures here were read from."""
    report: Text = ""
    """The evaluation report or listing, by number."""
    listed_for: Annotated[tuple[SurfaceKind, ...], BeforeValidator(as_many)] = ()
    """Kinds of surface for which its own listing names it."""
    r: dict[Text, Resistance] = Field(default_factory=dict)
    """Resistance by depth, e.g. `{ "1 in" = "R-6.4", "3.5 in" = "R-24" }`."""
    permeance: dict[Text, Permeance] = Field(default_factory=dict)
    """Permeance by depth, e.g. `{ "2 in" = "0.8 perm" }`."""
    airtight_from: Length | None = None
    """Least depth at which it counts as air-impermeable."""
    density: Density | None = None
    """Density in place."""
    flame_spread: Rating | None = None
    """Flame spread by ASTM E84 or UL 723."""
    smoke_developed: Rating | None = None
    """Smoke developed by the same test."""
    lift: Length | None = None
    """Deepest single pass."""
    wait: Duration | None = None
    """Wait between two passes at the same spot."""
    most_depth: Length | None = None
    """Deepest installed foam that its fire tests cover."""
    drum_set: BoardFeet | None = None
    """What one drum set yields by the sheet."""


class AllowanceRow(Row):
    """What a named person allowed for the foam on some surfaces, against the usual rule."""

    surfaces: Places
    allows: Allowance
    """What may be otherwise there."""
    by: Text
    at: Day
    """When it was said or written."""
    paper: Text = ""
    """Letter, report or drawing in which it stands."""


class RatesRow(Row):
    """The spray company's own figures; what is left out is planned with common practice."""

    spray: dict[FoamClass, SprayRate] = Field(default_factory=dict)
    """Board feet in an hour at the gun, by class, at an open wall."""
    drum_set: dict[FoamClass, BoardFeet] = Field(default_factory=dict)
    """What the company gets out of one drum set, by class."""
    access: dict[Text, Factor] = Field(default_factory=dict)
    """How much longer spraying takes than at an open wall, by place or kind of surface."""
    waste: Share | None = None
    """Foam that ends elsewhere, as a share added to what stays on the wall."""
    reserve: Share | None = None
    """What is loaded beyond the need, as a share of it."""
    overfill: Length | None = None
    """How far trimmed open-cell is sprayed beyond its cavity."""
    set_up: Duration | None = None
    """From arrival to a warm rig, masking aside."""
    masking: Duration | None = None
    """Masking for one trip."""
    trim: Duration | None = None
    """Trimming and scraping."""
    clean_up: Duration | None = None
    """Unmasking, bagging, sweeping."""
    people: Count | None = None
    """Head count of the crew."""
