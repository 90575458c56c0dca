"""The code of an address, read back by a reader that shares no code with what wrote it."""

from __future__ import annotations

import re

import numpy as np
import pytest
import zxingcpp

from readiness.serve.qr_code import qr_code

FIELD = 4
"""Points of the picture along one side of a field."""


def drawn(fields: int, path: str) -> np.ndarray:
    """Return the path as a picture: dark runs on a light ground."""
    picture = np.full((fields * FIELD, fields * FIELD), 255, dtype=np.uint8)
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", path)
    assert "".join(f"M{x} {y}h{n}v1h-{m}z" for x, y, n, m in runs) == path
    for x, y, length, back in runs:
        assert length == back
        rows = slice(int(y) * FIELD, (int(y) + 1) * FIELD)
        picture[rows, int(x) * FIELD : (int(x) + int(length)) * FIELD] = 0
    return picture


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:8430/4jsg9npw3j8psrhzrmeadbysyfu33gxk",
        "https://pages.example.com/site/4jsg9npw3j8psrhzrmeadbysyfu33gxk",
        "http://[::1]:8430/" + "z" * 32,
        "https://" + "a" * 200 + ".example.com/x",
    ],
)
def test_a_reader_finds_the_address(address: str) -> None:
    code = qr_code(address)
    (found,) = zxingcpp.read_barcodes(drawn(code.fields, code.path))
    assert found.text == address
    assert found.format == zxingcpp.BarcodeFormat.QRCode


def test_a_margin_is_left_all_around() -> None:
    code = qr_code("https://pages.example.com/x")
    picture = drawn(code.fields, code.path)
    edge = 4 * FIELD
    assert (picture[:edge] == 255).all()
    assert (picture[-edge:] == 255).all()
    assert (picture[:, :edge] == 255).all()
    assert (picture[:, -edge:] == 255).all()
    assert (picture[edge] == 0).any()
