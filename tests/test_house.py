"""The house stands as its plan says: floors, homes of outside packages, sizes, names.

Invariant: every import contract of the project is broken here on purpose, in a copy, and noticed.
"""

from __future__ import annotations

import ast
import itertools
import re
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import ROOT

LONGEST_MODULE_LINES = 400
NAMES_THAT_SAY_NOTHING = {"base", "common", "helper", "helpers", "manager", "misc", "utils"}


@dataclass(frozen=True)
class BadImport:
    """One line that breaks one contract."""

    contract: str
    module: str
    line: str

    @property
    def expected(self) -> str:
        """How the report names the importing module."""
        return f"readiness.{self.module.replace('/', '.')}"


BAD_IMPORTS = (
    BadImport("floors", "gates", "import readiness.questions"),
    BadImport("home-of-networkx", "schedule/made_up", "import networkx"),
    BadImport("home-of-textual", "cli", "import textual.app"),
    BadImport("home-of-uvicorn", "cli", "import uvicorn"),
    BadImport("home-of-click", "desk", "import click"),
    BadImport("home-of-icalendar", "pages", "import icalendar"),
    BadImport("home-of-workbooks", "desk", "import openpyxl"),
    BadImport("home-of-printing", "desk", "import weasyprint"),
    BadImport("home-of-pydantic", "schedule", "from pydantic import BaseModel"),
    BadImport("home-of-numpy", "questions", "import numpy"),
    BadImport("home-of-jinja2", "exchange", "import jinja2"),
    BadImport("home-of-ortools", "questions", "import ortools"),
    BadImport("home-of-holidays", "job", "import holidays"),
    BadImport("home-of-tomli", "job", "import tomli"),
    BadImport("home-of-dateutil", "gates", "from dateutil import rrule"),
)
"""The contract between questions needs two modules and is broken by a test of its own."""


def contracts() -> list[dict[str, object]]:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    found: list[dict[str, object]] = settings["tool"]["importlinter"]["contracts"]
    return found


def floors_top_to_bottom() -> list[list[str]]:
    (contract,) = [one for one in contracts() if one["id"] == "floors"]
    layers = contract["layers"]
    assert isinstance(layers, list)
    return [[name.strip(" ()") for name in layer.split("|")] for layer in layers]


def copy_of_the_house(folder: Path) -> Path:
    shutil.copytree(
        ROOT / "readiness",
        folder / "readiness",
        ignore=shutil.ignore_patterns("__pycache__"),
    )
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def check_imports(folder: Path, *contract_ids: str) -> subprocess.CompletedProcess[str]:
    chosen = [word for name in contract_ids for word in ("--contract", name)]
    program = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", program, "--no-logo", "--no-cache", *chosen],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def add_line(folder: Path, module: str, line: str) -> None:
    package = folder / "readiness" / module
    target = package / "__init__.py" if package.is_dir() else package.with_suffix(".py")
    target.parent.mkdir(parents=True, exist_ok=True)
    text = target.read_text(encoding="utf-8") if target.exists() else '"""Made by a test."""\n'
    target.write_text(f"{text}\n{line}\n", encoding="utf-8")


def test_every_contract_is_kept() -> None:
    result = check_imports(ROOT)
    assert result.returncode == 0, result.stdout + result.stderr
    assert f"{len(contracts())} kept, 0 broken" in result.stdout


@pytest.mark.parametrize("bad", BAD_IMPORTS, ids=lambda bad: bad.contract)
def test_one_bad_import_breaks_its_contract(bad: BadImport, tmp_path: Path) -> None:
    """A contract that nothing can break guards nothing."""
    house = copy_of_the_house(tmp_path)
    add_line(house, bad.module, bad.line)
    result = check_imports(house, bad.contract)
    assert result.returncode == 1, result.stdout + result.stderr
    assert "1 broken" in result.stdout
    assert bad.expected in result.stdout


def test_a_question_that_asks_another_breaks_the_contract(tmp_path: Path) -> None:
    house = copy_of_the_house(tmp_path)
    add_line(house, "questions/first_made_up", "import readiness.questions.second_made_up")
    add_line(house, "questions/second_made_up", "")
    result = check_imports(house, "questions-apart")
    assert result.returncode == 1, result.stdout + result.stderr
    assert "readiness.questions.first_made_up" in result.stdout


def test_each_contract_has_its_bad_import() -> None:
    broken = {bad.contract for bad in BAD_IMPORTS} | {"questions-apart"}
    assert broken == {contract["id"] for contract in contracts()}


def test_every_floor_refuses_to_import_the_floor_above(tmp_path: Path) -> None:
    """Each package is made to import its neighbour above, all in one copy; each is named."""
    house = copy_of_the_house(tmp_path)
    present = [
        [name for name in floor if (house / "readiness" / name).is_dir()]
        for floor in floors_top_to_bottom()
    ]
    present = [floor for floor in present if floor]
    pairs = [
        (lower, upper)
        for above, below in itertools.pairwise(present)
        for lower in below
        for upper in above
    ]
    for number, (lower, upper) in enumerate(pairs):
        add_line(house, f"{lower}/made_up_{number}", f"import readiness.{upper}")
    result = check_imports(house, "floors")
    assert result.returncode == 1, result.stdout + result.stderr
    for number, (lower, upper) in enumerate(pairs):
        assert f"readiness.{lower}.made_up_{number} -> readiness.{upper}" in result.stdout


def test_neighbours_on_one_floor_do_not_know_each_other(tmp_path: Path) -> None:
    house = copy_of_the_house(tmp_path)
    add_line(house, "pages/made_up", "import readiness.exchange")
    result = check_imports(house, "floors")
    assert result.returncode == 1, result.stdout + result.stderr
    assert "readiness.pages.made_up -> readiness.exchange" in result.stdout


def test_a_package_without_a_floor_is_refused(tmp_path: Path) -> None:
    """The list of floors is exhaustive: nobody builds beside the house."""
    house = copy_of_the_house(tmp_path)
    add_line(house, "annex/made_up", "")
    add_line(house, "annex", "")
    result = check_imports(house, "floors")
    assert result.returncode == 1, result.stdout + result.stderr
    assert "annex" in result.stdout


def modules() -> list[Path]:
    return sorted((ROOT / "readiness").rglob("*.py"))


def test_no_module_is_longer_than_the_limit() -> None:
    lengths = {
        str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines())
        for path in modules()
    }
    too_long = {name: lines for name, lines in lengths.items() if lines > LONGEST_MODULE_LINES}
    assert not too_long


def test_no_module_has_a_name_that_says_nothing() -> None:
    parts = {part.removesuffix(".py") for path in modules() for part in path.parts}
    assert not parts & NAMES_THAT_SAY_NOTHING


def test_every_module_says_why_it_exists_and_what_always_holds() -> None:
    """A module's docstring ends with its invariant; a package's own may say less."""
    silent = []
    for path in modules():
        said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        if len(said) < 20 or (path.name != "__init__.py" and "Invariant:" not in said):
            silent.append(str(path.relative_to(ROOT)))
    assert not silent


def words_of_the_house() -> dict[str, str]:
    """Return every text a user may read, by file."""
    places = [ROOT / "README.md", ROOT / "docs", ROOT / "readiness", ROOT / "sample_jobs"]
    files = [
        path for place in places for path in ([place] if place.is_file() else place.rglob("*"))
    ]
    return {
        str(path.relative_to(ROOT)): path.read_text(encoding="utf-8")
        for path in sorted(files)
        if path.suffix in {".md", ".py", ".toml", ".tcss"}
    }


@pytest.mark.parametrize(
    ("pattern", "why"),
    [
        (r"\bsafe(ly)?\b", "a keep-out is released by a person; nothing here calls a place so"),
        (r"\bdry[- ]runs?\b", "a dry run is a trip that was wasted"),
    ],
)
def test_words_that_mislead_on_a_site_are_not_used(pattern: str, why: str) -> None:
    found = [
        name
        for name, text in words_of_the_house().items()
        if re.search(pattern, text, re.IGNORECASE)
    ]
    assert not found, why


def test_the_package_ships_its_tables_and_its_mark_of_types() -> None:
    assert (ROOT / "readiness" / "py.typed").is_file()
    assert list((ROOT / "readiness" / "facts").rglob("*.toml"))
    assert list((ROOT / "readiness" / "starters").rglob("*.toml"))
