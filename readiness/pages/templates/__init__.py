"""The templates of the pages, read from the package itself.

Invariant: the only module of this floor that opens anything, and it opens nothing of a user's.
"""

from __future__ import annotations

from importlib import resources


def template_text(name: str) -> str:
    """Return the text of a template."""
    return resources.files(__name__).joinpath(name).read_text("utf-8")
