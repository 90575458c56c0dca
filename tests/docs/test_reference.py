"""The pages of docs/reference say what the code says.

Invariant: a page that was not made anew after a change is noticed.
"""

from __future__ import annotations

import re

import pytest

from tests.conftest import ROOT
from tests.docs.reference import FINDINGS, FOLDER, PAGES


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_as_it_would_be_made_now(name: str) -> None:
    """Else run: python -m tests.docs.reference."""
    assert (FOLDER / name).read_text(encoding="utf-8") == PAGES[name]()


def test_every_code_of_a_finding_is_explained() -> None:
    text = (ROOT / "readiness" / "gates" / "findings.py").read_text(encoding="utf-8")
    codes = set(re.findall(r'"([a-z]+(?:-[a-z]+)+)"', text))
    assert codes == set(FINDINGS)
