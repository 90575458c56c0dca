"""One site's calendars from the first agreement to two senders; every reader ends up right, once.

Agree, send, move, confirm, decline, cancel, agree again, a week with a clock change, a lost diary,
two senders. A reader keeps what it got by identity, takes a higher number, and throws an older one
away, as RFC 5546, section 2.1.5 asks.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import icalendar
import pytest
import vobject

from tests.cli.test_receive_calendar import receive, replied, reply
from tests.cli.test_send_mail import JOB, event_in, mails
from tests.cli.test_sending_again import SAM, send
from tests.desk.builders import note, run

if TYPE_CHECKING:
    from collections.abc import Callable

NODE_MODULES = os.environ.get("READINESS_NODE_MODULES", "")
"""Folder in which npm has put ical.js and node-ical."""

SCRIPT = Path(__file__).parent / "readers.js"


class Held(NamedTuple):
    """What a reader makes of one entry."""

    starts: int
    ends: int
    sequence: int
    status: str
    title: str


def seconds(moment: datetime) -> int:
    return int(moment.astimezone(UTC).timestamp())


def by_icalendar(file: Path) -> dict[str, Held]:
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    calendar = icalendar.Calendar.from_ical(file.read_bytes())
    return {
        str(event["UID"]): Held(
            seconds(event.decoded("DTSTART")),
            seconds(event.decoded("DTEND")),
            int(event.decoded("SEQUENCE")),
            str(event["STATUS"]),
            str(event["SUMMARY"]),
        )
        for event in calendar.events
    }


def by_vobject(file: Path) -> dict[str, Held]:
    calendar = vobject.readOne(file.read_bytes().decode())
    return {
        event.uid.value: Held(
            seconds(event.dtstart.value),
            seconds(event.dtend.value),
            int(event.sequence.value),
            event.status.value,
            event.summary.value,
        )
        for event in calendar.vevent_list
    }


def by_node(reader: str) -> Callable[[Path], dict[str, Held]]:
    def read(file: Path) -> dict[str, Held]:
        node = shutil.which("node")
        assert node is not None
        ran = subprocess.run(
            [node, str(SCRIPT), NODE_MODULES, str(file)],
            capture_output=True,
            text=True,
            check=True,
            timeout=60,
        )
        (events,) = json.loads(ran.stdout)[reader]
        found = {event.pop("uid"): Held(**event) for event in events}
        assert len(found) == len(events), "each entry once"
        return found

    return read


with_node = pytest.mark.skipif(
    not NODE_MODULES or shutil.which("node") is None,
    reason="READINESS_NODE_MODULES names no folder with ical.js and node-ical",
)
READERS = [
    pytest.param(by_icalendar, id="icalendar"),
    pytest.param(by_vobject, id="vobject"),
    pytest.param(by_node("ical.js"), id="ical.js", marks=with_node),
    pytest.param(by_node("node-ical"), id="node-ical", marks=with_node),
]


@dataclass
class Phone:
    """A calendar program that keeps the rules about numbers."""

    read: Callable[[Path], dict[str, Held]]
    holds: dict[str, Held] = field(default_factory=dict)

    def takes(self, file: Path) -> None:
        for uid, new in self.read(file).items():
            old = self.holds.get(uid)
            if old is None or new.sequence >= old.sequence:
                self.holds[uid] = new

    def shows(self) -> list[tuple[str, str]]:
        """Return what stands in it and was not cancelled, by date."""
        alive = sorted(held for held in self.holds.values() if held.status != "CANCELLED")
        return [
            (
                f"{datetime.fromtimestamp(held.starts, UTC):%m-%d %H:%M}",
                held.title.partition(",")[0],
            )
            for held in alive
        ]


@pytest.mark.parametrize("read", READERS)
def test_every_reader_ends_up_with_the_right_entries_once(
    read: Callable[[Path], dict[str, Held]], tmp_path: Path
) -> None:
    job = tmp_path / "alder"
    job.mkdir()
    text = JOB.replace("agreed = 2026-05-06\n", "").replace("2026-05", "2026-10")
    text = text.replace("2026-10-11T07", "2026-11-09T07").replace("2026-10-04T", "2026-10-26T")
    (job / "job.toml").write_text(text, encoding="utf-8")
    phone = Phone(read)
    feed = job / "out" / "electrician.ics"

    def sends(at: str, *words: str, by: str = "Dana Ruiz, contractor") -> str:
        ran = send(job, "--mail", "--since-last", *words, at=at, by=by)
        assert ran.code == 0, ran.err
        phone.takes(feed)
        return ran.out

    note(job, "agreed", "cable", "2026-10-29", at="2026-10-26 08:00")
    sends("2026-10-26 09:00")
    rest = [
        ("11-06 20:00", "Confirm by Fri 6 Nov 15:30: yours is done before the foam Mon 9 Nov"),
        ("11-09 12:00", "KEEP OUT until released"),
    ]
    assert phone.shows() == [
        ("10-29 11:00", "Pull cable"),
        ("11-02 12:00", "Pull cable"),
        *rest,
    ], "seven on the clock on both sides of the change of 1 November"

    note(job, "slip", "cable", "2 working days", "--cause", "drums late", at="2026-10-27 08:00")
    told = sends("2026-10-27 09:00")
    assert "Pull cable, Bath 1 moves from Thu 29 Oct to Mon 2 Nov: drums late" in told
    moved = [("11-02 12:00", "Pull cable"), ("11-03 12:00", "Pull cable"), *rest]
    assert phone.shows() == moved

    uid = str(event_in(mails(job)["electrician-cable.eml"])["UID"])
    stale = reply(uid, sequence=0, stamp="20261027T140000Z")
    assert "(stale)" in receive(job, stale, "--yes", at="2026-10-27 10:00").out
    yes = reply(uid, sequence=1, stamp="20261027T150000Z")
    receive(job, yes, "--yes", at="2026-10-27 11:00")
    no = reply(uid, sequence=1, stamp="20261027T160000Z", status="DECLINED")
    assert "declined; call them" in receive(job, no, "--yes", at="2026-10-27 12:00").out
    assert replied(job) == [("ACCEPTED", 1), ("DECLINED", 1)]
    before = feed.read_bytes()
    sends("2026-10-27 12:30")
    assert feed.read_bytes() == before, "no answer moves an entry"

    note(job, "struck", "cable", at="2026-10-27 13:00")
    assert "falls away" in sends("2026-10-27 14:00")
    assert phone.shows() == rest
    note(job, "agreed", "cable", "2026-11-02", at="2026-10-27 15:00")
    sends("2026-10-27 16:00")
    assert phone.shows() == moved

    shutil.rmtree(job / "diary")
    note(job, "agreed", "cable", "2026-11-03", at="2026-10-28 08:00")
    sends("2026-10-28 09:00")
    later = [("11-03 12:00", "Pull cable"), ("11-04 12:00", "Pull cable"), *rest]
    assert phone.shows() == later, "the numbers went on where they were"

    assert run("send", job, "--out", str(job / "out"), at="2026-10-28 10:00", by=SAM).code == 3
    note(job, "agreed", "cable", "2026-11-04", at="2026-10-28 11:00", by=SAM)
    sends("2026-10-28 12:00", "--take-over", by=SAM)
    phone.takes(feed)
    assert phone.shows() == [
        ("11-04 12:00", "Pull cable"),
        ("11-05 12:00", "Pull cable"),
        *rest,
    ]
    assert len(phone.holds) == 4, "no second copy of anything"
    own = by_icalendar(feed)
    assert {uid: own[uid] for uid in phone.holds} == phone.holds
