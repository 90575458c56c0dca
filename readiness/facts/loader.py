"""Reads the tables of facts that ship with the package.

Invariant: the tables are read once per process, and a wrong row fails here and nowhere later.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import tomli

from readiness.facts.rows import Facts, QuestionKind, Questions

if TYPE_CHECKING:
    from readiness.facts.after_spray_rows import AfterSprayItem, DepthFigure
    from readiness.facts.by_hand_rows import HandMethod
    from readiness.facts.chance_rows import Chances
    from readiness.facts.foam_rows import FoamTables
    from readiness.facts.limit_rows import ExposureRow, Limits
    from readiness.facts.shift_rows import ShiftKind
    from readiness.facts.vocabulary import SurfaceKind

FOLDER = Path(__file__).with_name("tables")
TABLES = (
    "work",
    "requirements",
    "approvals",
    "obstructions",
    "trip",
    "trades",
    "rules",
    "surfaces",
)
"""One TOML file per table, beside this module under `tables/`."""


@cache
def load_facts() -> Facts:
    """Return all tables.

    Raises:
        pydantic.ValidationError: A row of a table is wrong; a fault of the package.
    """
    return Facts.model_validate({name: _table(name) for name in TABLES})


@cache
def load_questions() -> dict[str, QuestionKind]:
    """Return the questions that are asked before a rig leaves, by id.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    return Questions.model_validate({"questions": _table("questions")}).questions


@cache
def load_chances() -> Chances:
    """Return the usual chances that something goes wrong, for jobs that say nothing else.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.chance_rows import Chances

    return Chances.model_validate({"chances": _table("chances")})


@cache
def load_after_spray() -> dict[str, AfterSprayItem]:
    """Return what is looked at, done and told after the spray, by id, in its order.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.after_spray_rows import AfterSpray

    return AfterSpray.model_validate({"after_spray": _table("after_spray")}).after_spray


@cache
def load_depth_figures() -> dict[str, DepthFigure]:
    """Return the figures that readings of depth are judged by where a job says nothing.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.after_spray_rows import Depths

    return Depths.model_validate({"depth": _table("depth")}).depth


@cache
def load_shifts() -> dict[str, ShiftKind]:
    """Return the shifts beyond the usual hours, by id.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.shift_rows import Shifts

    return Shifts.model_validate({"shifts": _table("shifts")}).shifts


@cache
def load_by_hand() -> dict[str, HandMethod]:
    """Return how surfaces are sealed by hand, by id, what takes least first.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.by_hand_rows import ByHand

    return ByHand.model_validate({"by_hand": _table("by_hand")}).by_hand


@cache
def load_exposures() -> dict[SurfaceKind, ExposureRow]:
    """Return how surfaces meet the weather.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.limit_rows import Exposures

    return Exposures.model_validate({"exposures": _table("exposures")}).exposures


@cache
def load_limits() -> Limits:
    """Return the limits of conditions and how surfaces meet the weather.

    Raises:
        pydantic.ValidationError: A row of a table is wrong; a fault of the package.
    """
    from readiness.facts.limit_rows import Limits

    return Limits.model_validate({name: _table(name) for name in ("limits", "exposures")})


@cache
def load_foam() -> FoamTables:
    """Return the tables about foam: figures, uses, resistance, condensation, rules.

    Raises:
        pydantic.ValidationError: A row of a table is wrong; a fault of the package.
    """
    from readiness.facts.foam_rows import FoamTables

    names = ("figures", "uses", "r_values", "condensation", "rules")
    return FoamTables.model_validate({name: _table(f"foam_{name}") for name in names})


def _table(name: str) -> dict[str, Any]:
    return tomli.loads((FOLDER / f"{name}.toml").read_text("utf-8"))
