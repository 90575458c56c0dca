"""Shares: made, read, taken back; the file is one person's own and opens nothing."""

from __future__ import annotations

import json
import os
import re
import stat
import threading
from pathlib import Path

import pytest

from readiness.desk.shares import (
    LENGTH,
    SIGNS,
    digest_of,
    make_shares,
    read_shares,
    shares_file,
    take_back,
)
from readiness.job.problems import JobFileError

SINCE = "2026-06-09"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "state" / "readiness" / "shares.json"


def test_no_file_is_no_share(file: Path) -> None:
    assert read_shares(file) == ()
    assert not file.parent.exists(), "reading makes nothing"


def test_a_token_is_not_in_the_file(file: Path) -> None:
    """Whoever reads the file can open nothing with what it holds."""
    made = make_shares(file, "a1", ["electrician", "owner"], SINCE)
    text = file.read_text(encoding="utf-8")
    for one in made:
        assert one.token not in text
        assert digest_of(one.token) == one.share.digest
        assert one.share.digest in text
    assert read_shares(file) == tuple(one.share for one in made)


def test_only_its_owner_reads_the_file(file: Path) -> None:
    """Whatever the mask of the shell allows others."""
    before = os.umask(0)
    try:
        make_shares(file, "a1", ["owner"], SINCE)
    finally:
        os.umask(before)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    take_back(file, [])
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_tokens_cannot_be_guessed(file: Path) -> None:
    """More than the 122 random bits of a UUID of version 4 (RFC 9562, section 5.4)."""
    assert len(set(SIGNS)) ** LENGTH > 2**122
    tokens = {one.token for one in make_shares(file, "a1", ["owner"] * 200, SINCE)}
    assert len(tokens) == 200
    assert all(re.fullmatch(f"[{SIGNS}]{{{LENGTH}}}", token) for token in tokens)
    places = [{token[place] for token in tokens} for place in range(LENGTH)]
    assert all(len(signs) > len(SIGNS) // 2 for signs in places), "every place is drawn"


def test_what_is_taken_back_is_gone_and_the_others_stay(file: Path) -> None:
    first, second = make_shares(file, "a1", ["owner", "plumber"], SINCE)
    take_back(file, [first.share.id])
    assert read_shares(file) == (second.share,)


def test_two_who_share_at_once_lose_nothing(file: Path) -> None:
    def share(role: str) -> None:
        for _ in range(5):
            make_shares(file, "a1", [role], SINCE)

    threads = [threading.Thread(target=share, args=(f"trade-{number}",)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    shares = read_shares(file)
    assert len(shares) == 30
    assert len({one.id for one in shares}) == 30


def test_a_file_that_others_may_read_is_refused(file: Path) -> None:
    make_shares(file, "a1", ["owner"], SINCE)
    file.chmod(0o640)
    with pytest.raises(JobFileError, match="chmod 600"):
        read_shares(file)


GOOD = {"id": "ABCD", "job": "a1", "role": "owner", "since": SINCE, "digest": "0" * 64}


@pytest.mark.parametrize(
    "content",
    [
        "",
        "{",
        "[]",
        "7",
        '{"shares": 7}',
        '{"shares": [7]}',
        "[" * 100_000,
        json.dumps({"shares": [GOOD | {"digest": "0" * 63}]}),
        json.dumps({"shares": [GOOD | {"digest": 0}]}),
        json.dumps({"shares": [GOOD | {"more": "x"}]}),
        json.dumps({"shares": [{"id": "ABCD"}]}),
    ],
)
def test_what_is_no_file_of_shares_is_refused_and_stays(file: Path, content: str) -> None:
    file.parent.mkdir(parents=True)
    file.write_text(content, encoding="utf-8")
    file.chmod(0o600)
    with pytest.raises(JobFileError, match="does not hold shares"):
        make_shares(file, "a1", ["owner"], SINCE)
    assert file.read_text(encoding="utf-8") == content
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_good_shares_are_read(file: Path) -> None:
    """The rows above are refused for what is wrong with them, not for what is right."""
    file.parent.mkdir(parents=True)
    file.write_text(json.dumps({"shares": [GOOD]}), encoding="utf-8")
    file.chmod(0o600)
    assert read_shares(file)[0].digest == "0" * 64


def test_the_file_stands_in_the_state_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "/made-up/state")
    assert shares_file() == Path("/made-up/state/readiness/shares.json")
    monkeypatch.delenv("XDG_STATE_HOME")
    monkeypatch.setenv("HOME", "/made-up/home")
    assert shares_file() == Path("/made-up/home/.local/state/readiness/shares.json")
