"""What a reader takes and what it has: the two headers that decide about an answer."""

from __future__ import annotations

import gzip

import pytest

from readiness.serve.sheets import CALENDAR, has_already, sheet_of, takes_packed


@pytest.mark.parametrize(
    ("accepted", "packed"),
    [
        ("", False),
        ("gzip", True),
        ("GZIP", True),
        ("x-gzip", True),
        ("deflate, gzip;q=1.0, *;q=0.5", True),
        ("compress, gzip", True),
        ("*", True),
        ("*;q=0", False),
        ("gzip;q=0", False),
        ("gzip; q=0.000, identity", False),
        ("gzip;q=0.001", True),
        ("identity;q=1, *;q=0", False),
        ("gzip;q=0, *", False),
        ("br", False),
        ("gzipped", False),
        ("notgzip", False),
    ],
)
def test_who_takes_gzip(accepted: str, packed: bool) -> None:  # noqa: FBT001
    """Forms and examples of RFC 9110, section 12.5.3."""
    assert takes_packed(accepted) is packed


@pytest.mark.parametrize(
    ("known", "has"),
    [
        ('"xyzzy"', True),
        ('W/"xyzzy"', True),
        ('"xyzzy", "r2d2xxxx", "c3piozzzz"', True),
        ('W/"r2d2xxxx",W/"xyzzy"', True),
        ('"a,b", "xyzzy"', True),
        ("*", True),
        (" * ", True),
        ("xyzzy", False),
        ('"xyzz"', False),
        ('"XYZZY"', False),
        ('"', False),
        ("", False),
        ('"*"', False),
    ],
)
def test_who_has_it_already(known: str, has: bool) -> None:  # noqa: FBT001
    """Forms and examples of RFC 9110, section 13.1.2."""
    assert has_already('"xyzzy"', known) is has


def test_equal_bytes_have_the_equal_tag() -> None:
    one, two, other = (sheet_of(CALENDAR, body) for body in (b"a" * 99, b"a" * 99, b"b" * 99))
    assert one == two
    assert one.packed.body == two.packed.body, "packing keeps no clock"
    tags = {one.plain.tag, one.packed.tag, other.plain.tag, other.packed.tag}
    assert len(tags) == 4
    assert gzip.decompress(one.packed.body) == b"a" * 99
