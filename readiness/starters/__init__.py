"""A filled-in, invented job for each kind of job, and one site card: what `new` starts from.

Invariant: a starter is TOML as it stands; its dates are texts counted in working days from `spray`
or `today`, which whoever uses it puts in.
"""

from __future__ import annotations

from importlib import resources

CARD = "site card"
"""The starter of a site card."""

STARTERS = {
    "new house": "new-house.toml",
    "gut renovation": "gut-renovation.toml",
    "addition": "addition.toml",
    "post-frame": "post-frame.toml",
    "crawl space": "crawl-space.toml",
    "roof deck": "roof-deck.toml",
    "basement": "basement.toml",
    CARD: "site-card.toml",
}
"""File by kind of job."""


def starter_text(kind: str) -> str:
    """Return the text of a starter.

    Raises:
        KeyError: There is no starter of that kind.
    """
    return (resources.files("readiness.starters") / STARTERS[kind]).read_text("utf-8")
