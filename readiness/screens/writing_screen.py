"""A screen from which something is written into the diary: shown first, then written.

A screen of this kind calls `propose` with what somebody wants to write; the difference stands in
the pane of proposals, and only what stands there is written, by the same way as `note`.
Invariant: nothing is written that was not shown as it is written, and what somebody typed stays
until it is written.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual import on

from readiness.exchange.note_listener import NoteRefused
from readiness.job.problems import JobFileError
from readiness.job.written import MisreadError
from readiness.screens.asker import ShownAnewError
from readiness.screens.messages import Proposed, Written
from readiness.screens.proposal_pane import ProposalPane
from readiness.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.widget import Widget

    from readiness.desk.proposing import Proposal, Wanted
    from readiness.screens.session import Session


class WritingScreen(QuestionScreen):
    """A screen that writes into the diary."""

    def __init__(self, session: Session) -> None:
        """Take what all screens share."""
        super().__init__(session)
        self._proposing = 0
        self._came_from: Widget | None = None

    def compose_panes(self) -> ComposeResult:
        """Yield the panes of the screen, and below them what is about to be written."""
        yield from self.compose_own_panes()
        yield ProposalPane()

    @property
    def is_proposing(self) -> bool:
        """Say whether something waits for a yes or no."""
        return self.query_one(ProposalPane).display

    def compose_own_panes(self) -> ComposeResult:
        """Yield what stands between notice and the pane of proposals."""
        yield from ()

    def written(self) -> None:
        """Do what is to be done once something was written."""

    def propose(self, wanted: Wanted) -> None:
        """Show what would be written and what it changes."""
        self._proposing += 1
        self.run_worker(
            partial(self._propose, self._proposing, wanted),
            thread=True,
            exclusive=True,
            exit_on_error=False,
            group="propose",
        )

    def _propose(self, run: int, wanted: Wanted) -> None:
        session = self.session
        try:
            proposal = session.asker.propose(wanted, session.writer)
        except (NoteRefused, MisreadError) as error:
            self.post_message(Proposed(run, None, str(error)))
        else:
            self.post_message(Proposed(run, proposal))

    @on(Proposed)
    def _take_proposal(self, event: Proposed) -> None:
        if event.run != self._proposing:
            return
        if event.proposal is None:
            self.tell(f"nothing is written: {event.refused}")
            return
        self.tell("")
        self._show(event.proposal)

    def _show(self, proposal: Proposal) -> None:
        pane = self.query_one(ProposalPane)
        if not pane.display:
            self._came_from = self.focused
        pane.show(proposal)

    def action_agree(self) -> None:
        """Write what stands in the pane of proposals."""
        self.query_one(ProposalPane).action_agree()

    def action_leave(self) -> None:
        """Leave it."""
        self.query_one(ProposalPane).action_leave()

    @on(ProposalPane.Left)
    def _leave(self) -> None:
        self._hide()
        self.tell("nothing was written")

    def _hide(self) -> None:
        self.query_one(ProposalPane).hide()
        if self._came_from is not None:
            self._came_from.focus()

    @on(ProposalPane.Agreed)
    def _write(self, event: ProposalPane.Agreed) -> None:
        self.run_worker(
            partial(self._write_it, event.proposal),
            thread=True,
            exit_on_error=False,
            group="write",
        )

    def _write_it(self, proposal: Proposal) -> None:
        try:
            entries = self.session.asker.write(proposal)
        except ShownAnewError as error:
            self.post_message(Written(refused=str(error), anew=error.proposal))
        except (NoteRefused, MisreadError) as error:
            self.post_message(Written(refused=f"nothing was written: {error}"))
        except JobFileError as error:
            self.post_message(Written(refused=f"nothing was written: {error.problems[0]}"))
        else:
            self.post_message(Written(entries))

    @on(Written)
    def _take_written(self, event: Written) -> None:
        if event.anew is not None:
            self._show(event.anew)
            self.tell(event.refused)
            return
        self._hide()
        if event.refused:
            self.tell(event.refused)
            return
        more = f" and {len(event.entries) - 1} more" if len(event.entries) > 1 else ""
        self.tell(f"written: {event.entries[0]}{more}")
        self.written()
        self.job_app.take_written()
