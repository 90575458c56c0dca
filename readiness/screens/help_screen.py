"""Help for the pane one is in, and every key; choosing a key there does what it does.

Invariant: every command can be reached from here by mouse alone.
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

from readiness.screens.actions import Act, key_told

if TYPE_CHECKING:
    from collections.abc import Sequence


class HelpScreen(ModalScreen[str | None]):
    """Tells about one pane; is dismissed with the action that was chosen, if one was."""

    BINDINGS = [Binding("escape,f1", "dismiss", "back", show=False)]  # noqa: RUF012  the toolkit's

    def __init__(self, told: str, acts: Sequence[Act]) -> None:
        """Take what is said of the pane, and the keys of the screen."""
        super().__init__()
        self._told = told
        self._acts = acts

    def compose(self) -> ComposeResult:
        """Yield the text and the list of keys."""
        with Vertical(id="help"):
            yield Static(Content(self._told), id="help-text", markup=False)
            yield OptionList(
                *(
                    Option(Content(f"{key_told(act):<14} {act.name:<12} {act.does}"), act.action)
                    for act in self._acts
                    if act.id != "help"
                ),
                id="help-keys",
                markup=False,
            )
            yield Static(Content("Enter or a click does it, Esc goes back"), markup=False)

    def on_mount(self) -> None:
        """Start in the list."""
        self.query_one(OptionList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go back and do what was chosen."""
        event.stop()
        _ = self.dismiss(event.option_id)
