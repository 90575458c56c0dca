"""`readiness page`: the file, whom it is for, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from readiness.cli.page import command
from readiness.job.problems import JobFileError
from tests.conftest import ROOT

HOUSE = str(ROOT / "sample_jobs" / "two-storey-house")


def written(tmp_path: Path, *words: str) -> tuple[int, str, str]:
    """Run the command; return its code, its talk and the page, if there is one."""
    target = tmp_path / "page.html"
    run = CliRunner().invoke(
        command, [HOUSE, "--out", str(target), *words], standalone_mode=False, catch_exceptions=True
    )
    if isinstance(run.exception, Exception):
        raise run.exception
    page = target.read_text(encoding="utf-8") if target.exists() else ""
    return int(run.return_value or 0), run.output, page


@pytest.mark.parametrize(
    ("role", "told"),
    [
        ("contractor", "the contractor"),
        ("Crew-Lead", "the crew lead, Pell Foam"),
        ("spray", "the crew lead, Pell Foam"),
        ("office", "the inspector"),
        ("board  crew", "the board crew, Ruiz Board"),
        ("board-crew", "the board crew, Ruiz Board"),
        ("drywall", "Ruiz Board (Board crew)"),
    ],
)
def test_a_role_may_be_said_in_several_ways(tmp_path: Path, role: str, told: str) -> None:
    code, output, page = written(tmp_path, "--for", role)
    assert code == 0
    assert f"for {told}, page " in output
    assert f"For {told}" in page
    assert output.split()[-1] in page, "the six signs are on the page too"


def test_nobody_of_that_name(tmp_path: Path) -> None:
    with pytest.raises(Exception, match="Did you mean plumber") as refused:
        written(tmp_path, "--for", "plumbr")
    assert "crew lead" in str(refused.value)
    assert not list(tmp_path.iterdir())


def test_a_form_is_for_those_on_site(tmp_path: Path) -> None:
    code, _, page = written(tmp_path, "--for", "crew lead", "--with-form")
    assert code == 0
    assert "<form" in page
    with pytest.raises(Exception, match="the owner has no form"):
        written(tmp_path, "--for", "owner", "--with-form")


def test_a_file_of_somebody_else_stays(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text("<p>mine</p>", encoding="utf-8")
    with pytest.raises(JobFileError, match="was not written by this program"):
        written(tmp_path, "--for", "owner")
    assert (tmp_path / "page.html").read_text(encoding="utf-8") == "<p>mine</p>"


def test_a_page_of_ours_is_replaced(tmp_path: Path) -> None:
    first = written(tmp_path, "--for", "owner")
    second = written(tmp_path, "--for", "owner")
    assert first == second


def test_another_day_is_another_page(tmp_path: Path) -> None:
    _, _, today = written(tmp_path, "--for", "contractor")
    _, _, later = written(tmp_path, "--for", "contractor", "--on", "2026-06-11")
    assert "Thu 11 Jun" in later
    assert today != later
