"""The line at the foot: the keys that do something now and what; a click on one presses it.

The toolkit's own foot makes a widget of every key whenever the focus moves, which was more than
half of the time in which a screen opens; this one draws its line and is a single widget.
Invariant: a key stands here exactly when the screen would take it now.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content
from textual.widget import Widget

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from textual.binding import ActiveBinding
    from textual.events import MouseDown, MouseMove, MouseScrollDown, MouseScrollUp
    from textual.screen import Screen


class Piece(NamedTuple):
    """A part of the line."""

    text: str
    style: str = ""
    key: str = ""
    """Pressed by a click; none in a gap and in the word of several keys."""
    does: str = ""


GAP = Piece(" ")


class Foot(Widget):
    """Keys with what they do, as many as fit; the wheel shows those that do not."""

    ALLOW_SELECT = False

    def __init__(self) -> None:
        """Start empty: what the keys do is known once the screen is there."""
        super().__init__(id="foot")
        self.pieces: tuple[Piece, ...] = ()
        self._hidden = 0
        """Pieces that the wheel has moved out to the left."""

    def on_mount(self) -> None:
        """Hear of it when a key does something else."""
        self.screen.bindings_updated_signal.subscribe(self, self._take_keys)

    def on_unmount(self) -> None:
        """Hear no more."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _take_keys(self, screen: Screen[object]) -> None:
        if not self.is_attached or not screen.app.app_focus:
            return
        pieces = tuple(self._told(screen.active_bindings.values()))
        if pieces != self.pieces:
            self.pieces, self._hidden = pieces, 0
            self.refresh()

    def _told(self, active: Iterable[ActiveBinding]) -> Iterator[Piece]:
        shown: dict[str, ActiveBinding] = {}
        for each in active:
            if each.binding.show:
                shown.setdefault(each.binding.action, each)
        for group, members in groupby(shown.values(), lambda each: each.binding.group):
            keys = list(members)
            if group is None or len(keys) == 1:
                for each in keys:
                    yield from self._one(each, each.binding.description)
            else:
                yield GAP
                for each in keys:
                    yield from self._one(each)
                yield Piece(f"  {group.description} ")

    def _one(self, each: ActiveBinding, name: str = "") -> Iterator[Piece]:
        """Yield a key, and its name with a gap behind if it has one of its own."""
        binding, does = each.binding, each.tooltip or each.binding.description
        faint = "" if each.enabled else " dim"
        yield Piece(self.app.get_key_display(binding), f"bold{faint}", binding.key, does)
        if name:
            yield Piece(f" {name}", faint.strip(), binding.key, does)
            yield GAP

    def render(self) -> Content:
        """Return the line from the first piece that is not moved out."""
        return Content.assemble(
            *((piece.text, piece.style) for piece in self.pieces[self._hidden :])
        )

    def piece_at(self, column: int) -> Piece:
        """Return what stands in a column."""
        for piece in self.pieces[self._hidden :]:
            column -= Content(piece.text).cell_length
            if column < 0:
                return piece
        return GAP

    def on_mouse_down(self, event: MouseDown) -> None:
        """Press the key."""
        piece = self.piece_at(event.x)
        if "dim" in piece.style:
            self.app.bell()
        elif piece.key:
            self.app.simulate_key(piece.key)

    def on_mouse_move(self, event: MouseMove) -> None:
        """Say what the key under the mouse does."""
        does = self.piece_at(event.x).does or None
        if does != self.tooltip:
            self.tooltip = does

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        """Show what stands further right, if it does not fit."""
        event.stop()
        if self.render().cell_length > self.size.width:
            self._hidden += 1
            self.refresh()

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        """Go back to the left."""
        event.stop()
        if self._hidden:
            self._hidden -= 1
            self.refresh()
