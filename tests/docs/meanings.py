"""What keys and fields mean, from the sentence below each, else from a list beside this module.

Invariant: a meaning stands in one place; the model comes first, and the list never repeats it.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from readiness.job.schema import field_sentences

LISTED: dict[str, dict[str, str]] = tomllib.loads(
    Path(__file__).with_suffix(".toml").read_text(encoding="utf-8")
)
SHARED = ("every-row", "every-answer", "every-entry")


def meanings_of(model: type[Any], keys: dict[str, str], shared: str) -> dict[str, str]:
    """Return the meaning of each key of a model; a key that nobody explains is left out.

    Args:
        model: The model or answer.
        keys: Name of each field by its key.
        shared: Which of the shared lists holds for it.
    """
    own = field_sentences(model)
    listed = {**LISTED[shared], **LISTED.get(model.__name__, {})}
    told = {key: own.get(field) or listed.get(key, "") for key, field in keys.items()}
    return {key: meaning for key, meaning in told.items() if meaning}


def repeated(model: type[Any], keys: dict[str, str]) -> list[str]:
    """Return the keys that both the model and its own list explain, or that it does not have."""
    own = field_sentences(model)
    listed = LISTED.get(model.__name__, {})
    return [key for key in listed if key not in keys or keys[key] in own]
