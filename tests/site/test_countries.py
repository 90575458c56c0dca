"""The short way to one country's holidays gives the days of the ordinary way."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.conftest import ROOT

SHORT = """
import json, sys
from readiness.site.countries import holidays_of
days = sorted(day.isoformat() for day in holidays_of(*sys.argv[1:3], 2026))
loaded = [name for name in sys.modules if name.startswith("holidays.countries.")]
print(json.dumps([days, len(loaded)]))
"""
ORDINARY = """
import json, sys
from holidays import country_holidays
days = country_holidays(sys.argv[1], subdiv=sys.argv[2] or None, years=2026)
print(json.dumps([sorted(day.isoformat() for day in days), 0]))
"""


def days_and_modules(program: str, country: str, state: str) -> tuple[list[str], int]:
    """Ask in a fresh interpreter, because a country stays loaded."""
    result = subprocess.run(
        [sys.executable, "-c", program, country, state],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    days, modules = json.loads(result.stdout)
    return days, modules


@pytest.mark.parametrize(
    ("country", "state"), [("US", "OH"), ("US", ""), ("CA", "ON"), ("GB", "SCT"), ("DE", "BY")]
)
def test_one_country_is_loaded_alone_and_gives_the_same_days(country: str, state: str) -> None:
    days, modules = days_and_modules(SHORT, country, state)
    assert days == days_and_modules(ORDINARY, country, state)[0]
    assert len(days) > 5
    assert modules == 1


def test_a_country_that_leans_on_another_comes_the_ordinary_way() -> None:
    days, modules = days_and_modules(SHORT, "PR", "")
    assert days == days_and_modules(ORDINARY, "PR", "")[0]
    assert modules > 100


@pytest.mark.parametrize(("country", "state"), [("QQ", ""), ("US", "QQ")])
def test_a_country_or_state_that_is_not_known_is_refused(country: str, state: str) -> None:
    with pytest.raises(subprocess.CalledProcessError) as caught:
        days_and_modules(SHORT, country, state)
    assert "NotImplementedError" in caught.value.stderr
