"""The pane of rooms and surfaces, each with its mark and its word.

Invariant: a surface stands under every room it runs through, and choosing it there or here asks the
same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from readiness.pages.columns import columns_of, filled
from readiness.screens.lines import MARK_COLUMNS, marked_content
from readiness.screens.themes import needs_somebody

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.events import Resize

    from readiness.questions.check import CheckAnswer, SurfaceLine


@dataclass(frozen=True, slots=True)
class Place:
    """A place that can be chosen."""

    id: str
    """Unique in the list; a surface in two rooms stands there twice."""
    name: str
    word: str
    surfaces: tuple[str, ...] | None
    """None: every surface."""
    indent: int = 0


def places_of(answer: CheckAnswer) -> list[Place]:
    """Return what can be chosen: rooms that are held up first, then as the job has them."""
    places = [Place("all", "all places", answer.verdict, None)]
    by_id = {line.surface: line for line in answer.surfaces}
    storeys = dict.fromkeys(line.storey for line in answer.rooms)
    told: set[str] = set()
    for room in sorted(answer.rooms, key=lambda room: not needs_somebody(room.word)):
        name = room.name
        if len(storeys) > 1 and room.storey and room.storey not in room.name:
            name = f"{room.name}, {room.storey}"
        places.append(Place(f"room {room.room}", name, room.word, room.surfaces))
        for surface in room.surfaces:
            is_above = surface in told
            places.append(_surface(answer, by_id[surface], room.room, is_above=is_above))
        told.update(room.surfaces)
    places.extend(
        _surface(answer, line, "") for line in answer.surfaces if line.surface not in told
    )
    return places


def _surface(answer: CheckAnswer, line: SurfaceLine, room: str, *, is_above: bool = False) -> Place:
    """Return a surface under a room; one that runs on from a room above says so."""
    name = line.name if line.trip == answer.trip else f"{line.name} ({line.trip})"
    name += " (above)" if is_above else ""
    return Place(f"surface {line.surface} {room}", name, line.word, (line.surface,), indent=2)


class PlacesPane(OptionList):
    """Rooms and surfaces."""

    HELP = (
        "Each room and surface with its mark and word. A room says what its surfaces say together."
        " Enter or a click shows only what holds that place; Esc or the first line shows all."
    )

    @dataclass
    class Chosen(Message):
        """Somebody chose a place."""

        place: Place

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="places", classes="pane", markup=False)
        self._places: list[Place] = []

    def show(self, places: Iterable[Place]) -> None:
        """Show places; the line that was highlighted stays so."""
        self._places = list(places)
        self._draw()

    def _draw(self) -> None:
        at = self.highlighted
        self.clear_options()
        columns = self.scrollable_content_region.width
        self.add_options(Option(_row(place, columns), id=place.id) for place in self._places)
        if self._places:
            self.highlighted = min(at or 0, len(self._places) - 1)

    def on_resize(self, event: Resize) -> None:
        """Draw again for another width."""
        del event
        self._draw()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Say which place was chosen."""
        event.stop()
        self.post_message(self.Chosen(self._places[event.option_index]))


def _row(place: Place, columns: int) -> Content:
    """Return one line: mark, name, and the word at its end."""
    before = MARK_COLUMNS + place.indent
    room = max(columns - before - columns_of(place.word) - 1, 4)
    name = filled(place.name, room)
    shown = Content.styled(name, "bold") if not place.indent else Content(name)
    return (
        Content(" " * place.indent)
        + marked_content(place.word)
        + Content(" ")
        + shown
        + Content(f" {place.word}")
    )
