"""Identities of calendar entries."""

from __future__ import annotations

from itertools import product

from readiness.telling.identity import entry_uid


def test_an_identity_stays_the_same_for_ever() -> None:
    """Changing this value doubles every entry in every calendar out there."""
    assert entry_uid("c1b7d0a29e", "tub", "plumber") == "e02b429f-87d5-5821-a9d5-90a85f7e52d1"


def test_different_names_have_different_identities() -> None:
    names = ["a", "b", "a-b", "ab", "a:b"]
    found = {entry_uid(*each) for each in product(names, repeat=3)}
    assert len(found) == len(names) ** 3
