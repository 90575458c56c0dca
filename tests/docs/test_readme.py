"""README.md leads a newcomer from one paragraph to an answer and to passing tests.

Invariant: both commands stand in the first 25 lines, one line each, and need only Python and pip.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from readiness.cli.main import COMMANDS
from tests.conftest import ROOT
from tests.docs.commands import PROMPT, Command, Reader, blocks_of, own_part_of, steps_of

LINES_TO_GET_STARTED = 25
FEWEST_WORDS_OF_THE_OPENING = 80


@pytest.fixture(name="readme", scope="module")
def _readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")


def commands(readme: str) -> list[tuple[int, str]]:
    return [
        (number, line.removeprefix(PROMPT))
        for number, line in enumerate(readme.splitlines(), start=1)
        if line.startswith(PROMPT)
    ]


def test_it_opens_with_the_job_in_one_paragraph(readme: str) -> None:
    title, opening, after = readme.split("\n\n")[:3]
    assert re.fullmatch(r"# readiness", title)
    assert len(opening.split()) >= FEWEST_WORDS_OF_THE_OPENING
    assert not re.search(r"^[#>|*`-]", opening, flags=re.MULTILINE)
    assert len(after.split()) < FEWEST_WORDS_OF_THE_OPENING


def test_its_two_commands_stand_early_and_set_everything_up(readme: str) -> None:
    (check_line, check), (suite_line, suite) = commands(readme)[:2]
    assert check_line < suite_line <= LINES_TO_GET_STARTED
    for command in (check, suite):
        assert command.startswith("python3 -m venv")
        assert "pip" in command
        assert "install" in command
    assert own_part_of(check).startswith("readiness check sample_jobs/")
    assert "[test]" in suite
    assert suite.endswith("-m pytest -n auto")


def test_the_answer_it_shows_is_the_answer(readme: str, tmp_path: Path) -> None:
    """The first text block below the first command is what the command prints, to the letter."""
    line, words = commands(readme)[0]
    shown = next(
        lines for number, kind, lines in blocks_of(readme) if number > line and kind == "text"
    )
    ran = Reader(tmp_path).runs(Command(line, words, ()))
    assert ran.exit_code == 0
    assert list(ran.printed) == shown


def test_the_landing_checks_run_its_test_command() -> None:
    """`.ci/run` takes the command from README.md and does not write it a second time."""
    landing = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "readme_command pytest" in landing
    assert "eval" in landing


def test_it_shows_a_picture_of_the_screen(readme: str) -> None:
    assert re.search(r"!\[[^\]]+\]\(docs/pictures/[\w-]+\.svg\)", readme)


def test_it_shows_every_mark(readme: str) -> None:
    for mark in ("<..", "[=]", "[-]", "..>", ">.<", "[~]", "###", "!!!"):
        assert f"`{mark}`" in readme
    assert r"\|\|\|" in readme


def test_its_table_has_every_command_in_order(readme: str) -> None:
    asked = readme.partition("## What you can ask")[2].partition("\n## ")[0]
    assert re.findall(r"^\| `readiness (\w+)", asked, flags=re.MULTILINE) == list(COMMANDS)


def test_it_has_its_cautions(readme: str) -> None:
    cautions = readme.partition("## Cautions")[2].partition("\n## ")[0]
    for word in ("isocyanates", "ventilation", "hot work", "wiring", "combustion air", "asbestos"):
        assert word in cautions
    assert "product data sheet" in cautions


def test_every_printed_command_is_one_line(readme: str) -> None:
    assert all(not words.endswith("\\") for _, words in commands(readme))
    assert all(isinstance(step, Command) for step in steps_of(readme))
