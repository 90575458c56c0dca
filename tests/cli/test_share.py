"""`readiness share`: made, listed, taken back; only the call that makes a token prints it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.desk.shares import digest_of, read_shares, shares_file
from tests.conftest import ROOT

HOUSE = ROOT / "sample_jobs" / "two-storey-house"
ADDRESS = re.compile(r"(http\S+)/([2-9a-z]{32})(\.ics)?$", re.MULTILINE)


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the shares of whoever runs the tests out of them."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def share(*words: str, job: Path = HOUSE) -> str:
    run = CliRunner().invoke(readiness, ["share", str(job), *words], standalone_mode=False)
    if run.exception is not None:
        raise run.exception
    return run.output


def test_nobody_is_shared_with_at_first() -> None:
    assert share() == "Brindle Street 8: shared with nobody; begin with --with ROLE\n"


def test_an_address_is_printed_once() -> None:
    made = share("--with", "electrician")
    page, calendar = ADDRESS.findall(made)
    assert page[:2] == calendar[:2]
    assert (page[2], calendar[2]) == ("", ".ics")
    assert page[0] == "http://127.0.0.1:8430"
    assert "shown this once" in made
    (kept,) = read_shares(shares_file())
    assert kept.digest == digest_of(page[1])
    assert (kept.role, kept.since) == ("electrician", "2026-06-09")
    listed = share()
    assert f"  {kept.id}  electrician, since 2026-06-09" in listed
    assert page[1] not in listed
    assert kept.digest not in listed


def test_a_role_is_shared_by_any_of_its_words() -> None:
    share("--with", "Crew-Lead", "--with", "office")
    assert [one.role for one in read_shares(shares_file())] == ["crew lead", "inspector"]


def test_a_role_without_a_calendar_gets_a_page_only() -> None:
    (only,) = ADDRESS.findall(share("--with", "inspector"))
    assert only[2] == ""


def test_nobody_is_called_so() -> None:
    with pytest.raises(Exception, match="Did you mean plumber"):
        share("--with", "plumber", "--with", "plumbr")
    assert read_shares(shares_file()) == (), "all or none"


def test_taking_back_by_signs_and_by_role() -> None:
    share("--with", "electrician", "--with", "electrician", "--with", "owner")
    first = read_shares(shares_file())[0]
    told = share("--take-back", first.id.lower())
    assert told == f"taken back: {first.id}  electrician, since 2026-06-09\n"
    share("--take-back", "electrician")
    assert [one.role for one in read_shares(shares_file())] == ["owner"]
    with pytest.raises(Exception, match="nothing is shared as 'electrician'"):
        share("--take-back", "electrician")


def test_only_what_is_shared_of_this_job(tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(ROOT / "sample_jobs" / "basement-flat", other)
    share("--with", "owner", job=other)
    assert "shared with nobody" in share()
    with pytest.raises(Exception, match="nothing is shared as 'owner'"):
        share("--take-back", "owner")
    assert len(read_shares(shares_file())) == 1


@pytest.mark.parametrize("url", ["https://pages.example.com/site", "http://192.168.1.20:8430"])
def test_another_address_in_front(url: str) -> None:
    assert ADDRESS.findall(share("--with", "owner", "--url", url + "/"))[0][0] == url


def test_the_address_in_front_may_stand_in_the_settings(tmp_path: Path) -> None:
    settings = tmp_path / "config" / "readiness" / "settings.toml"
    settings.parent.mkdir(parents=True)
    settings.write_text('url = "https://pages.example.com"\n', encoding="utf-8")
    assert ADDRESS.findall(share("--with", "owner"))[0][0] == "https://pages.example.com"
    settings.write_text("url = 7\n", encoding="utf-8")
    with pytest.raises(Exception, match=r'write it like: url = "https://pages\.example\.com"'):
        share("--with", "owner")


@pytest.mark.parametrize(
    "url",
    ["ftp://x.example.com", "pages.example.com", "https://a b", 'https://x"onclick=', "https://"],
)
def test_what_is_no_address_is_refused(url: str) -> None:
    with pytest.raises(Exception, match="is no address"):
        share("--with", "owner", "--url", url)
