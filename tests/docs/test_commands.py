"""Every command printed in the documentation does what the page says it does.

Invariant: a page is run from its first command to its last, in one folder.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.docs.commands import (
    Command,
    Reader,
    TypedFile,
    agrees,
    can_run,
    own_part_of,
    steps_of,
    told_exit_code,
)

NO_ANSWER = 4
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
PAGES_WITH_COMMANDS = [
    page for page in PAGES if page.exists() and "\n$ readiness" in page.read_text(encoding="utf-8")
]


def follow(text: str, reader: Reader) -> list[str]:
    """Follow a page and return every place where it does not hold, with its line."""
    wrong: list[str] = []
    steps = steps_of(text)
    for number, step in enumerate(steps):
        if isinstance(step, TypedFile):
            reader.types(step)
            continue
        if not can_run(step.words):
            continue
        ran = reader.runs(step)
        told = told_exit_code(steps, number)
        if ran.exit_code not in ({0, NO_ANSWER} if told is None else {told}):
            wrong.append(f"line {step.line}: `{step.words}` ended with {ran.exit_code}")
        if step.printed and not agrees(step.printed, ran.printed):
            printed = "\n".join(ran.printed)
            wrong.append(f"line {step.line}: `{step.words}` printed\n{printed}")
    return wrong


@pytest.mark.parametrize("page", PAGES_WITH_COMMANDS, ids=lambda page: str(page.relative_to(ROOT)))
def test_the_commands_of_a_page_do_what_it_says(
    page: Path, tmp_path: Path, started: tuple[str, ...]
) -> None:
    wrong = follow(page.read_text(encoding="utf-8"), Reader(tmp_path, started))
    assert not wrong, "\n\n".join(wrong)


def test_a_page_that_shows_another_output_is_noticed(tmp_path: Path) -> None:
    assert follow("```console\n$ echo one\ntwo\n```\n", Reader(tmp_path))
    assert not follow("```console\n$ echo one\none\n```\n", Reader(tmp_path))


def test_a_page_that_tells_another_exit_code_is_noticed(tmp_path: Path) -> None:
    assert follow("```console\n$ (exit 4)\n$ echo $?\n0\n```\n", Reader(tmp_path))
    assert not follow("```console\n$ (exit 4)\n$ echo $?\n4\n```\n", Reader(tmp_path))
    assert follow("```console\n$ (exit 3)\n```\n", Reader(tmp_path))


def test_a_file_on_the_page_is_there_for_the_next_command(tmp_path: Path) -> None:
    page = '```toml shed/job.toml\nname = "Shed"\n```\n\n```console\n$ cat shed/job.toml\n{}\n```\n'
    assert not follow(page.format('name = "Shed"'), Reader(tmp_path))
    assert follow(page.format('name = "Barn"'), Reader(tmp_path))


def test_three_dots_stand_for_anything() -> None:
    assert agrees(("a", "...", "d"), ("a", "b", "c", "d"))
    assert agrees(("a", "..."), ("a",))
    assert not agrees(("a", "...", "d"), ("a", "b", "c"))
    assert not agrees(("a",), ("a", "b"))


def test_setting_up_the_machine_is_left_to_the_reader() -> None:
    words = "python3 -m venv .venv && .venv/bin/readiness check sample_jobs/shed"
    assert own_part_of(words) == "readiness check sample_jobs/shed"
    assert not can_run("python3 -m venv .venv && .venv/bin/python -m pytest")
    assert not can_run("readiness open sample_jobs/shed")


def test_links_between_pages_lead_somewhere() -> None:
    """Every relative link of every page points at a file or folder that is there."""
    broken = [
        f"{page.relative_to(ROOT)}: {target}"
        for page in PAGES
        if page.exists()
        for target in links_of(page.read_text(encoding="utf-8"))
        if not (page.parent / target).exists()
    ]
    assert not broken


def links_of(text: str) -> list[str]:
    """Return the relative targets of a page's links and pictures, without their anchors."""
    targets = [part.partition(")")[0].partition("#")[0] for part in text.split("](")[1:]]
    return [target for target in targets if target and "://" not in target]


def test_a_link_is_read_without_its_anchor() -> None:
    assert links_of("[a](b.md#c) ![d](e.svg) [f](https://example.com) [g](#h)") == ["b.md", "e.svg"]


def test_a_command_keeps_what_it_printed() -> None:
    (step,) = steps_of("text\n```console\n$ readiness x\none\n\ntwo\n```\n")
    assert step == Command(3, "readiness x", ("one", "", "two"))
