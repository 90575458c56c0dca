"""Who writes is asked in one order: the option, the settings, the environment, the login name.

Invariant: every test has a home of its own.
"""

from __future__ import annotations

import getpass
from pathlib import Path

import pytest

from readiness.desk.statement import writer_of
from readiness.facts.vocabulary import Role
from tests.desk.builders import Ran, entries, job_folder, run

MONDAY = "2026-05-04 16:00"
SETTINGS = 'writer = "Sara Ode, dispatcher"\n'


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of the settings; nobody is named but the login."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    monkeypatch.delenv("READINESS_WRITER", raising=False)
    monkeypatch.setattr(getpass, "getuser", lambda: "lou")
    folder = tmp_path / "settings" / "readiness"
    folder.mkdir(parents=True)
    return folder


def says(tmp_path: Path, *words: str, by: str = "") -> Ran:
    job = tmp_path / "cedar"
    if not job.exists():
        job_folder(tmp_path)
    return run("note", job, *(words or ("remark", "mud")), at=MONDAY, by=by)


def who(tmp_path: Path, writer: str) -> tuple[str, str | None]:
    line = entries(tmp_path / "cedar", writer)[-1]
    return line["by"], line["role"]


def test_the_login_name_has_no_role_and_may_not_override(home: Path, tmp_path: Path) -> None:
    assert home.exists()
    assert says(tmp_path).code == 0
    assert who(tmp_path, "lou") == ("lou", None)
    refused = says(tmp_path, "stop", "wet")
    assert refused.code == 2
    assert "needs the role" in refused.err


def test_each_goes_before_the_next(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("READINESS_WRITER", "Eve Moss, crew lead")
    says(tmp_path)
    assert who(tmp_path, "eve-moss") == ("Eve Moss", Role.CREW_LEAD.value)
    (home / "settings.toml").write_text(SETTINGS, encoding="utf-8")
    says(tmp_path)
    assert who(tmp_path, "sara-ode") == ("Sara Ode", Role.DISPATCHER.value)
    says(tmp_path, by="Dana Ruiz, contractor")
    assert who(tmp_path, "dana-ruiz") == ("Dana Ruiz", Role.CONTRACTOR.value)


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        ("writer = 7\n", "writer is no text"),
        ("writer = Dana\n", "the settings can't be read"),
        ('writer = ", contractor"\n', "the writer has no name"),
    ],
)
def test_settings_that_name_nobody_are_told_and_nothing_is_written(
    settings: str, told: str, home: Path, tmp_path: Path
) -> None:
    (home / "settings.toml").write_text(settings, encoding="utf-8")
    said = says(tmp_path)
    assert said.code == 2
    assert told in said.err
    assert not (tmp_path / "cedar" / "diary").exists()


@pytest.mark.parametrize("error", [KeyError, OSError])
def test_a_machine_that_knows_no_login_name_asks_for_one(
    error: type[Exception], home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert home.exists()

    def nobody() -> str:
        raise error

    monkeypatch.setattr(getpass, "getuser", nobody)
    said = says(tmp_path)
    assert (said.code, said.out) == (2, "")
    assert "--writer" in said.err


@pytest.mark.parametrize(
    ("said", "role"),
    [
        ("inspector", Role.OFFICE),
        ("Inspector", Role.OFFICE),
        ("lead", Role.CREW_LEAD),
        ("GC", Role.CONTRACTOR),
        ("electrician", Role.TRADE),
    ],
)
def test_a_role_is_heard_as_people_call_it(said: str, role: Role) -> None:
    assert writer_of(f"Eve Moss, {said}").role is role
