"""What the pages of how-to and explanation show of a job file is something a job file takes.

Invariant: each line of each table shown is tried as a line of that table.
"""

from __future__ import annotations

import tomllib

import pydantic
import pytest

from tests.conftest import ROOT
from tests.docs.commands import blocks_of
from tests.docs.job_page import TABLES

SHOWN = [
    pytest.param("\n".join(lines), id=f"{page.name}:{number}")
    for folder in ("how-to", "explanation")
    for page in sorted((ROOT / "docs" / folder).glob("*.md"))
    for number, info, lines in blocks_of(page.read_text(encoding="utf-8"))
    if info == "toml"
]


ONE_ROW = {"site", "costs", "chances", "depth"}
"""Tables whose keys are settings, not things by id."""


def try_lines(text: str) -> int:
    """Try every line of every table, and return how many there were."""
    tried = 0
    for table, lines in tomllib.loads(text).items():
        if table in ONE_ROW:
            TABLES[table].model_validate(lines)
            tried += len(lines)
            continue
        for row in lines.values():
            TABLES[table].model_validate(row)
            tried += 1
    return tried


@pytest.mark.parametrize("text", SHOWN)
def test_the_lines_shown_are_lines_of_their_table(text: str) -> None:
    assert try_lines(text)


def test_a_line_of_another_shape_is_refused() -> None:
    with pytest.raises(pydantic.ValidationError):
        try_lines('[trips]\nmain = { date = "soon" }\n')
    with pytest.raises(KeyError):
        try_lines("[visits]\nmain = {}\n")
