"""What all screens of one open job share: the day, the gate, the answer, the chosen places.

Invariant: every screen shows the same day, gate and reading of the job; what somebody is typing
belongs to its screen and to nobody else.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readiness.desk.statement import Writer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.screens.asker import Answered, Asked, Asker


@dataclass
class Session:
    """One open job as the screens show it."""

    asker: Asker
    answered: Answered
    asked: Asked
    hint: str = ""
    """Said under the head until something else has to be said."""
    writer: Writer = field(default_factory=lambda: Writer("nobody", None))
    """Who writes into the diary."""
    keys: Mapping[str, str] = field(default_factory=dict)
    """Keys that were chosen instead of ours, by the id of what they do."""
    reading: int = 0
    """Rises whenever the files were read anew or written."""
    asking: int = 0
    """Rises with every answer that is shown."""
    surfaces: tuple[str, ...] | None = None
    """The chosen surfaces; None means all."""
    chosen_name: str = ""

    def take(self, answered: Answered) -> None:
        """Take another answer; places that are gone are no longer chosen."""
        self.answered = answered
        self.asking += 1
        known = {line.surface for line in answered.answer.surfaces}
        if self.surfaces is not None and not known.issuperset(self.surfaces):
            self.choose(None, "")

    def choose(self, surfaces: tuple[str, ...] | None, name: str) -> None:
        """Choose places on every screen."""
        self.surfaces = surfaces
        self.chosen_name = name if surfaces is not None else ""
