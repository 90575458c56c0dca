"""The screen of one job: verdict first, then what holds it up, then when each surface is open.

Invariant: only handlers here change what the panes show.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.containers import Horizontal
from textual.content import Content

from readiness.screens.actions import Act, bindings, on_every_screen
from readiness.screens.edges_pane import EdgesPane
from readiness.screens.head import Head
from readiness.screens.head_lines import COUNT
from readiness.screens.holding_entries import holders_of
from readiness.screens.holding_pane import HoldingPane
from readiness.screens.places_pane import PlacesPane, places_of
from readiness.screens.question_screen import QuestionScreen
from readiness.screens.screen_table import JOB

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from readiness.screens.asker import Answered, Asked
    from readiness.screens.session import Session

LOOKS = ("holding", "people", "edges")


class JobScreen(QuestionScreen):
    """One job."""

    ID = JOB
    HELP = PlacesPane.HELP
    ACTS = on_every_screen(
        Act(
            "holding",
            "h",
            "holding it",
            "Show what holds it up, what clears last first.",
            "look('holding')",
            at_foot=True,
        ),
        Act(
            "people",
            "p",
            "people",
            "Show what holds it up by the person who clears it.",
            "look('people')",
            at_foot=True,
        ),
        Act(
            "edges",
            "e",
            "edges",
            "Show when each surface opens and closes, and by what.",
            "look('edges')",
            at_foot=True,
        ),
        Act("why", "w", "why", "Tell the source of every line, or leave it out.", "why"),
        Act(
            "all-places", "escape", "all places", "Show what holds any surface again.", "everything"
        ),
    )
    BINDINGS = bindings(ACTS)
    HEAD_LINES = COUNT
    FOLLOWS_DAY = True

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self.look = "holding"
        self._tells_why = False

    @property
    def answered(self) -> Answered:
        """Return the answer that is shown."""
        return self.session.answered

    @property
    def asked(self) -> Asked:
        """Return what is asked."""
        return self.session.asked

    @property
    def surfaces(self) -> tuple[str, ...] | None:
        """Return the chosen surfaces; None means all."""
        return self.session.surfaces

    def compose_panes(self) -> ComposeResult:
        """Yield places, what holds them up, and their edges."""
        with Horizontal(id="panes"):
            yield PlacesPane()
            yield HoldingPane()
        yield EdgesPane()

    def on_mount(self) -> None:
        """Begin with what holds it up."""
        self.add_class("-look-holding")
        self.tell(self.session.hint)
        self.query_one(PlacesPane).focus()

    def show_answer(self) -> None:
        """Show the answer in every pane; it is all that this screen asks."""
        self.query_one(Head).show(self.answered)
        self.query_one(PlacesPane).show(places_of(self.answered.answer))
        self.show_panes()

    def show_panes(self) -> None:
        """Show the answer in the panes that depend on what was chosen."""
        answer = self.answered.answer
        holding = self.query_one(HoldingPane)
        is_by_people = self.look == "people"
        holding.show(answer, self.surfaces, by_people=is_by_people, why=self._tells_why)
        of = self.session.chosen_name or "all places"
        order = "by person" if is_by_people else "last to clear first"
        count = len(holders_of(answer, self.surfaces))
        things = "1 thing" if count == 1 else f"{count} things"
        title = f"{things}, {order}: {of}" if count else f"nothing holds {of} up"
        holding.border_title = Content(title)
        self.query_one(PlacesPane).border_title = "rooms and surfaces"
        edges = self.query_one(EdgesPane)
        edges.border_title = Content(f"edges of {of}")
        edges.show(answer, self.surfaces)

    # What keys and clicks do

    def action_look(self, look: str) -> None:
        """Show one of the looks, and go to its pane."""
        for name in LOOKS:
            self.set_class(name == look, f"-look-{name}")
        self.look = look
        self.show_panes()
        self.query_one(EdgesPane if look == "edges" else HoldingPane).focus()

    def action_why(self) -> None:
        """Tell sources, or leave them out."""
        self._tells_why = not self._tells_why
        self.show_panes()

    def action_everything(self) -> None:
        """Show what holds any surface."""
        self.session.choose(None, "")
        self.show_panes()

    @on(PlacesPane.Chosen)
    def _choose(self, event: PlacesPane.Chosen) -> None:
        self.session.choose(event.place.surfaces, event.place.name)
        self.show_panes()
