"""Reads the tables of facts that ship with the package.

Invariant: the tables are read once per process, and a wrong row fails here and nowhere later.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from readiness.facts.rows import Facts, QuestionKind, Questions

if TYPE_CHECKING:
    from readiness.facts.after_spray_rows import AfterSprayItem, DepthFigure
    from readiness.facts.chance_rows import Chances
    from readiness.facts.foam_rows import FoamTables
    from readiness.facts.limit_rows import Limits

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
    folder = resources.files("readiness.facts") / "tables"
    return Facts.model_validate(
        {name: tomllib.loads((folder / f"{name}.toml").read_text("utf-8")) for name in TABLES}
    )


@cache
def load_questions() -> dict[str, QuestionKind]:
    """Return the questions that are asked before a rig leaves, by id.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    file = resources.files("readiness.facts") / "tables" / "questions.toml"
    rows = tomllib.loads(file.read_text("utf-8"))
    return Questions.model_validate({"questions": rows}).questions


@cache
def load_chances() -> Chances:
    """Return the usual chances that something goes wrong, for jobs that say nothing else.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.chance_rows import Chances

    file = resources.files("readiness.facts") / "tables" / "chances.toml"
    return Chances.model_validate({"chances": tomllib.loads(file.read_text("utf-8"))})


@cache
def load_after_spray() -> dict[str, AfterSprayItem]:
    """Return what is looked at, done and told after the spray, by id, in its order.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.after_spray_rows import AfterSpray

    file = resources.files("readiness.facts") / "tables" / "after_spray.toml"
    rows = tomllib.loads(file.read_text("utf-8"))
    return AfterSpray.model_validate({"after_spray": rows}).after_spray


@cache
def load_depth_figures() -> dict[str, DepthFigure]:
    """Return the figures that readings of depth are judged by where a job says nothing.

    Raises:
        pydantic.ValidationError: A row of the table is wrong; a fault of the package.
    """
    from readiness.facts.after_spray_rows import Depths

    file = resources.files("readiness.facts") / "tables" / "depth.toml"
    rows = tomllib.loads(file.read_text("utf-8"))
    return Depths.model_validate({"depth": rows}).depth


@cache
def load_limits() -> Limits:
    """Return the limits of conditions and how surfaces meet the weather.

    Raises:
        pydantic.ValidationError: A row of a table is wrong; a fault of the package.
    """
    from readiness.facts.limit_rows import Limits

    folder = resources.files("readiness.facts") / "tables"
    return Limits.model_validate(
        {
            name: tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
            for name in ("limits", "exposures")
        }
    )


@cache
def load_foam() -> FoamTables:
    """Return the tables about foam: figures, uses, resistance, condensation, rules.

    Raises:
        pydantic.ValidationError: A row of a table is wrong; a fault of the package.
    """
    from readiness.facts.foam_rows import FoamTables

    folder = resources.files("readiness.facts") / "tables"
    return FoamTables.model_validate(
        {
            name: tomllib.loads((folder / f"foam_{name}.toml").read_text("utf-8"))
            for name in ("figures", "uses", "r_values", "condensation", "rules")
        }
    )
