"""A token is compared with every share, whole, whatever it is; found or not."""

from __future__ import annotations

from hmac import compare_digest
from pathlib import Path

import pytest

from readiness.desk.shares import make_shares
from readiness.serve import register
from readiness.serve.register import Register


def test_every_share_is_compared_whatever_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No way out of the loop: not for the first that fits, nor for what can be no token."""
    file = tmp_path / "shares.json"
    made = make_shares(file, "a1", ["owner"] * 7, "2026-06-09")
    compared: list[tuple[str, str]] = []

    def counted(known: str, asked: str) -> bool:
        compared.append((known, asked))
        return compare_digest(known, asked)

    monkeypatch.setattr(register, "compare_digest", counted)
    known = Register(file)
    near = made[0].token[:-1] + "z"
    for token in (made[0].token, made[-1].token, near, "z", "", "../../etc/passwd", "\xff" * 300):
        compared.clear()
        known.find(token)
        assert [pair[0] for pair in compared] == [one.share.digest for one in made]
        assert {len(pair[1]) for pair in compared} == {64}, "nothing tells how long it was"


def test_what_a_token_opens(tmp_path: Path) -> None:
    file = tmp_path / "shares.json"
    made = make_shares(file, "a1", ["owner", "plumber"], "2026-06-09")
    known = Register(file)
    assert [known.find(one.token) for one in made] == [one.share for one in made]
    assert known.find(made[0].share.digest) is None
    assert known.find(made[0].share.id) is None
    assert known.find("") is None
