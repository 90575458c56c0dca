"""The list of all screens, each with the question it answers.

Invariant: every screen can be reached from here by mouse alone, and while somebody is typing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from readiness.screens.screen_table import SCREENS, ScreenRow

if TYPE_CHECKING:
    from collections.abc import Mapping


class ScreensList(ModalScreen[str | None]):
    """Is dismissed with the id of the screen that was chosen, if one was."""

    BINDINGS = [  # noqa: RUF012  the toolkit's
        Binding("escape,f2", "dismiss", "back", show=False),
        *(Binding(row.key, f"choose({row.id!r})", row.name, show=False) for row in SCREENS),
    ]

    def __init__(self, at: str, keys: Mapping[str, str]) -> None:
        """Take the id of the screen that is open, and the keys that were chosen."""
        super().__init__()
        self._at = at
        self._keys = keys

    def compose(self) -> ComposeResult:
        """Yield the list."""
        with Vertical(id="screens", classes="window"):
            yield OptionList(
                *(
                    Option(Content(f"{self._key(row):<3}{row.name:<13} {row.question}"))
                    for row in SCREENS
                ),
                id="screens-list",
                markup=False,
            )
            told = "Enter, a click or its digit opens it, Esc goes back"
            yield Static(Content(told), markup=False)

    def _key(self, row: ScreenRow) -> str:
        return self._keys.get(f"screen-{row.id}", row.key)

    def on_mount(self) -> None:
        """Start at the screen that is open."""
        screens = self.query_one(OptionList)
        screens.highlighted = [row.id for row in SCREENS].index(self._at)
        screens.focus()

    def action_choose(self, id_: str) -> None:
        """Go back with a screen."""
        _ = self.dismiss(id_)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go back with the screen that was chosen."""
        event.stop()
        _ = self.dismiss(SCREENS[event.option_index].id)
