"""The holidays of one country without loading those of all the others.

The library imports the package of all its 250 countries to reach one, which takes longer than
laying out a job; the module of one country nearly always stands by itself.
Invariant: the days are asked of the library in its ordinary way; what is done before only saves
it the way, and is undone when it fails.
"""

from __future__ import annotations

import sys
from datetime import date
from importlib.machinery import PathFinder
from importlib.util import find_spec, module_from_spec


def holidays_of(country: str, state: str, year: int) -> frozenset[date]:
    """Return the public holidays of a year; an empty state means the whole country.

    Raises:
        NotImplementedError: The library knows no such country or state.
    """
    from holidays import country_holidays

    _load_alone(country)
    return frozenset(country_holidays(country, subdiv=state or None, years=year))


def _load_alone(country: str) -> None:
    from holidays.registry import COUNTRIES

    module = next((module for module, names in COUNTRIES.items() if country in names), "")
    package, name = find_spec("holidays"), f"holidays.countries.{module}"
    if not module or package is None or name in sys.modules or "holidays.countries" in sys.modules:
        return
    folders = [f"{folder}/countries" for folder in package.submodule_search_locations or ()]
    spec = PathFinder.find_spec(name, folders)
    if spec is None or spec.loader is None:
        return
    sys.modules[name] = module_from_spec(spec)
    try:
        spec.loader.exec_module(sys.modules[name])
    except ImportError:
        # It leans on another country, whose import begins with the whole package
        del sys.modules[name]
