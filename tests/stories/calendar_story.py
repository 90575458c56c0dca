"""One site's calendars from the first agreement to two senders, as files, case by case.

Agree, send, move, confirm, decline, cancel, agree again, a week with a clock change, a lost diary,
two senders. `python -m tests.stories.test_calendars` prints the table of readers and cases.

Invariant: what a case is to show is written here by hand, and never taken from a file.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from tests.cli.test_receive_calendar import receive, replied, reply
from tests.cli.test_send_mail import JOB, calendar_in, event_in, mails
from tests.cli.test_sending_again import SAM, send
from tests.desk.builders import note, run

DANA = "Dana Ruiz, contractor"
TEXT = (
    JOB.replace("agreed = 2026-05-06\n", "")
    .replace("2026-05", "2026-10")
    .replace("2026-10-11T07", "2026-11-09T07")
    .replace("2026-10-04T", "2026-10-26T")
)
CABLE = "Pull cable"
REST = (
    ("11-06 20:00", "Confirm by Fri 6 Nov 15:30: yours is done before the foam Mon 9 Nov"),
    ("11-09 12:00", "KEEP OUT until released"),
)
"""What stands in the electrician's calendar beside the work, in UTC: the trip does not move."""

Shown = tuple[tuple[str, str], ...]


class Case(NamedTuple):
    """What the electrician gets in one case, and what must stand in its calendar afterwards."""

    name: str
    feed: Path | None
    """The calendar it subscribes to; None if nothing was sent."""
    invitations: tuple[Path, ...]
    """The calendar parts of the mails that are new."""
    shows: Shown
    held: int
    """Entries in all, cancelled ones too: a second copy of anything would be one more."""


@dataclass
class Story:
    """Plays the cases on a job in a folder and keeps what goes out in each."""

    folder: Path
    cases: list[Case] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    """What the sender reads, case by case."""

    def __post_init__(self) -> None:
        """Write the job."""
        self.job = self.folder / "alder"
        self.job.mkdir(parents=True)
        (self.job / "job.toml").write_text(TEXT, encoding="utf-8")
        self.mailed: dict[str, bytes] = {}
        self.number = 0

    def play(self) -> Story:
        """Play all ten."""
        self._agree_send_move()
        self._answers()
        self._cancel_and_back()
        self._clock_change()
        self._lost_diary()
        self._two_senders()
        return self

    def _sends(self, name: str, at: str, shows: Shown, *words: str, by: str = DANA) -> None:
        ran = send(self.job, "--mail", "--since-last", *words, at=at, by=by)
        assert ran.code == 0, ran.err
        self.said.append(ran.out)
        self._keep(name, shows)

    def _keep(self, name: str, shows: Shown) -> None:
        self.number += 1
        kept = self.folder / "kept" / f"{self.number:02}"
        kept.mkdir(parents=True)
        feed = kept / "feed.ics"
        shutil.copy(self.job / "out" / "electrician.ics", feed)
        invitations = []
        for mail_name, mail in mails(self.job).items():
            content = calendar_in(mail)
            if self.mailed.get(mail_name) != content:
                self.mailed[mail_name] = content
                path = kept / f"{mail_name}.ics"
                path.write_bytes(content)
                invitations.append(path)
        self.cases.append(Case(name, feed, tuple(invitations), shows, 4))

    def _agree_send_move(self) -> None:
        note(self.job, "agreed", "cable", "2026-10-29", at="2026-10-26 08:00")
        assert not (self.job / "out").exists(), "agreeing sends nothing"
        self.cases.append(Case("agree", None, (), (), 0))
        first = (("10-29 11:00", CABLE), ("11-02 12:00", CABLE), *REST)
        self._sends("send", "2026-10-26 09:00", first)
        words = ("slip", "cable", "2 working days", "--cause", "drums late")
        note(self.job, *words, at="2026-10-27 08:00")
        self.moved = (("11-02 12:00", CABLE), ("11-03 12:00", CABLE), *REST)
        self._sends("move", "2026-10-27 09:00", self.moved)
        told = "Pull cable, Bath 1 moves from Thu 29 Oct to Mon 2 Nov: drums late"
        assert told in self.said[-1]

    def _answers(self) -> None:
        uid = str(event_in(mails(self.job)["electrician-cable.eml"])["UID"])
        stale = reply(uid, sequence=0, stamp="20261027T140000Z")
        assert "(stale)" in receive(self.job, stale, "--yes", at="2026-10-27 10:00").out
        yes = reply(uid, sequence=1, stamp="20261027T150000Z")
        receive(self.job, yes, "--yes", at="2026-10-27 11:00")
        before = self.cases[-1].feed
        assert before is not None
        self._sends("confirm", "2026-10-27 11:30", self.moved)
        no = reply(uid, sequence=1, stamp="20261027T160000Z", status="DECLINED")
        said = receive(self.job, no, "--yes", at="2026-10-27 12:00").out
        assert "declined; call them" in said
        assert replied(self.job) == [("ACCEPTED", 1), ("DECLINED", 1)]
        self._sends("decline", "2026-10-27 12:30", self.moved)
        for case in self.cases[-2:]:
            assert case.feed is not None
            assert case.feed.read_bytes() == before.read_bytes(), "no answer moves an entry"
            assert case.invitations == (), "nobody is mailed the same again"

    def _cancel_and_back(self) -> None:
        note(self.job, "struck", "cable", at="2026-10-27 13:00")
        self._sends("cancel", "2026-10-27 14:00", REST)
        assert "falls away" in self.said[-1]
        note(self.job, "agreed", "cable", "2026-11-02", at="2026-10-27 15:00")
        self._sends("agree again", "2026-10-27 16:00", self.moved)

    def _clock_change(self) -> None:
        """One day before the clocks go back and one after: seven stays seven."""
        note(self.job, "agreed", "cable", "2026-10-29", at="2026-10-27 17:00")
        shows = (("10-29 11:00", CABLE), ("11-02 12:00", CABLE), *REST)
        self._sends("clock change", "2026-10-27 17:30", shows)

    def _lost_diary(self) -> None:
        """The numbers go on where they were, read back from the files in the folder."""
        shutil.rmtree(self.job / "diary")
        note(self.job, "agreed", "cable", "2026-11-03", at="2026-10-28 08:00")
        shows = (("11-03 12:00", CABLE), ("11-04 12:00", CABLE), *REST)
        self._sends("lost diary", "2026-10-28 09:00", shows)

    def _two_senders(self) -> None:
        """The second one is refused until it takes over, and goes on from the same numbers."""
        job, out = self.job, str(self.job / "out")
        assert run("send", job, "--out", out, at="2026-10-28 10:00", by=SAM).code == 3
        note(job, "agreed", "cable", "2026-11-04", at="2026-10-28 11:00", by=SAM)
        shows = (("11-04 12:00", CABLE), ("11-05 12:00", CABLE), *REST)
        self._sends("two senders", "2026-10-28 12:00", shows, "--take-over", by=SAM)
