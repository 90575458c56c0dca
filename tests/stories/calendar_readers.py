"""Calendar programs of others, each asked what it holds after it got a file.

Libraries only read; so a telephone is put round them that keeps the rules about numbers. `khal` and
a calendar server keep by themselves what they get.

Sources: the released `icalendar`, `vobject`, `python-dateutil`, `khal`, `radicale` with `caldav`,
and from npm `ical.js` and `node-ical`.

Invariant: a reader sees nothing but the bytes of files.
"""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple, Protocol
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject
from click.testing import CliRunner
from dateutil.tz import tzical

from tests.exchange import rfc_lines

NODE_MODULES = os.environ.get("READINESS_NODE_MODULES", "")
"""Folder in which npm has put ical.js and node-ical."""

SCRIPT = Path(__file__).parent / "readers.js"
HOME = ZoneInfo("America/New_York")


class Held(NamedTuple):
    """What a reader makes of one entry."""

    starts: int
    ends: int
    sequence: int
    status: str
    title: str


Read = Callable[[Path], dict[str, Held]]


class Reader(Protocol):
    """A calendar that gets files and can be asked what it holds."""

    def takes(self, files: Sequence[Path]) -> None:
        """Get files, one after another."""

    def holds(self) -> dict[str, Held]:
        """Return the entries by identity."""


def seconds(moment: datetime) -> int:
    return int(moment.astimezone(UTC).timestamp())


# --- libraries ------------------------------------------------------------------------------


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


def by_dateutil(file: Path) -> dict[str, Held]:
    """Read the lines with our strict reader, and the times by dateutil with the file's own zone."""
    content = file.read_bytes()
    (zone,) = re.findall(r"BEGIN:VTIMEZONE.*?END:VTIMEZONE\r\n", content.decode(), re.DOTALL)
    zones = tzical(io.StringIO(zone.replace("\r\n", "\n")))

    def moment(event: rfc_lines.Component, name: str) -> int:
        each = event.first(name)
        wall = datetime.strptime(each.value.rstrip("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007
        key = each.parameters.get("TZID")
        return seconds(wall.replace(tzinfo=zones.get(key) if key else UTC))

    events = [each for each in rfc_lines.read(content).components if each.name == "VEVENT"]
    return {
        event.first("UID").value: Held(
            moment(event, "DTSTART"),
            moment(event, "DTEND"),
            int(event.first("SEQUENCE").value),
            event.first("STATUS").value,
            rfc_lines.unescaped(event.first("SUMMARY").value),
        )
        for event in events
    }


def by_node(reader: str) -> Read:
    def read(file: Path) -> dict[str, Held]:
        (events,) = json.loads(_ran_by_node(file))[reader]
        found = {event.pop("uid"): Held(**event) for event in events}
        assert len(found) == len(events), "each entry once"
        return found

    return read


@cache
def _ran_by_node(file: Path) -> str:
    """Return what both readers print; starting them takes longer than reading."""
    node = shutil.which("node")
    assert node is not None
    words = [node, str(SCRIPT), NODE_MODULES, str(file)]
    ran = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60)
    return ran.stdout


@dataclass
class Phone:
    """A calendar program round a library: RFC 5546, section 2.1.5, by number."""

    read: Read
    held: dict[str, Held] = field(default_factory=dict)

    def takes(self, files: Sequence[Path]) -> None:
        """Keep what is new, or has no lower number than what is there."""
        for uid, new in (pair for file in files for pair in self.read(file).items()):
            old = self.held.get(uid)
            if old is None or new.sequence >= old.sequence:
                self.held[uid] = new

    def holds(self) -> dict[str, Held]:
        """Return what it keeps."""
        return self.held


# --- khal -----------------------------------------------------------------------------------

KHAL = """\
[calendars]
[[site]]
path = {folder}/site
[default]
default_calendar = site
[locale]
local_timezone = America/New_York
default_timezone = America/New_York
timeformat = %H:%M
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M
longdatetimeformat = %Y-%m-%d %H:%M
[sqlite]
path = {folder}/khal.db
"""
SHOWN = "{uid}\t{start-long}\t{end-long}\t{status}\t{title}"


@dataclass
class Khal:
    """The command line calendar, with a home of its own."""

    folder: Path

    def __post_init__(self) -> None:
        """Write its settings."""
        (self.folder / "site").mkdir(parents=True)
        text = KHAL.format(folder=self.folder)
        (self.folder / "conf").write_text(text, encoding="utf-8")

    def takes(self, files: Sequence[Path]) -> None:
        """Import files; an entry that is there already is overwritten."""
        if files:
            self._ran("import", "--batch", "-a", "site", *map(str, files))

    def holds(self) -> dict[str, Held]:
        """Return what it lists; it does not list numbers, so those are read from what it keeps."""
        words = ("list", "--once", "--day-format", "", "-f", SHOWN, "2026-01-01", "365d")
        found = {}
        lines = [line for line in self._ran(*words).splitlines() if "\t" in line]
        for line in lines:
            uid, starts, ends, status, title = line.split("\t")
            kept = (self.folder / "site" / f"{uid}.ics").read_text(encoding="utf-8")
            number = re.search(r"^SEQUENCE:(\d+)", kept, re.MULTILINE)
            walls = (datetime.strptime(each, "%Y-%m-%d %H:%M") for each in (starts, ends))  # noqa: DTZ007
            first, last = (seconds(wall.replace(tzinfo=HOME)) for wall in walls)
            found[uid] = Held(first, last, int(number[1]) if number else 0, status.strip(), title)
        assert len(found) == len(lines), "each entry once"
        return found

    def _ran(self, *words: str) -> str:
        khal: Any = import_module("khal.cli")
        home = {"HOME": str(self.folder), "XDG_CACHE_HOME": str(self.folder)}
        call = ["-c", str(self.folder / "conf"), *words]
        ran = CliRunner(env=home).invoke(khal.main_khal, call, catch_exceptions=False)
        assert ran.exit_code == 0, ran.output
        return ran.stdout


# --- a calendar server ----------------------------------------------------------------------


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Run a calendar server on a free port of this machine and yield its address."""
    folder.mkdir(parents=True, exist_ok=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    empty = folder / "empty"
    empty.write_text("", encoding="utf-8")
    words = ["--config", str(empty), "--server-hosts", f"127.0.0.1:{port}", "--auth-type", "none"]
    words += ["--storage-filesystem-folder", str(folder / "store"), "--logging-level", "warning"]
    with (folder / "log").open("wb") as log:
        process = subprocess.Popen([sys.executable, "-m", "radicale", *words], stderr=log)
    try:
        for _ in range(200):
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            assert process.poll() is None, "the server ended"
            time.sleep(0.05)
        yield f"http://127.0.0.1:{port}/"
    finally:
        process.terminate()
        process.wait(10)


@dataclass
class Server:
    """A calendar on a server, filled and asked by its client."""

    client: Any
    calendar: Any

    def takes(self, files: Sequence[Path]) -> None:
        """Put each entry as an object of its own, its bytes unchanged but for the method.

        A server must refuse a method (RFC 4791, section 4.1).
        """
        for file in files:
            self._put(re.sub(r"METHOD:[A-Z]+\r\n", "", file.read_bytes().decode()))

    def _put(self, text: str) -> None:
        caldav: Any = import_module("caldav")
        head, *events = text.split("BEGIN:VEVENT")
        for event in events:
            body = event.removesuffix("END:VCALENDAR\r\n")
            unfolded = body.replace("\r\n ", "")
            uid = next(line[4:] for line in unfolded.split("\r\n") if line.startswith("UID:"))
            one = f"{head}BEGIN:VEVENT{body}END:VCALENDAR\r\n"
            url = self.calendar.url.join(f"{uid}.ics")
            caldav.Event(client=self.client, url=url, parent=self.calendar).save(
                raw_data=one.encode()
            )

    def holds(self) -> dict[str, Held]:
        """Return what the server reports."""
        found = [event.icalendar_component for event in self.calendar.events()]
        held = {
            str(each["UID"]): Held(
                seconds(each.decoded("DTSTART")),
                seconds(each.decoded("DTEND")),
                int(each["SEQUENCE"]),
                str(each["STATUS"]),
                str(each["SUMMARY"]),
            )
            for each in found
        }
        assert len(held) == len(found), "each entry once"
        return held


def served(folder: Path, stack: ExitStack) -> Server:
    """Return a calendar on a server that runs as long as the stack."""
    caldav: Any = import_module("caldav")
    address = stack.enter_context(serving(folder))
    client = caldav.DAVClient(url=address, username="planner", password="x")  # noqa: S106
    calendar = client.principal().make_calendar(name="Alder", cal_id="alder")
    return Server(client, calendar)


# --- all of them ----------------------------------------------------------------------------

Made = Callable[[Path, ExitStack], Reader]

with_node = pytest.mark.skipif(
    not NODE_MODULES or shutil.which("node") is None,
    reason="READINESS_NODE_MODULES names no folder with ical.js and node-ical",
)
with_khal = pytest.mark.skipif(find_spec("khal") is None, reason="the test extra has no khal")
with_server = pytest.mark.skipif(
    find_spec("radicale") is None or find_spec("caldav") is None,
    reason="the test extra has no Radicale and caldav",
)


def phone(read: Read) -> Made:
    return lambda _folder, _stack: Phone(read)


READERS: dict[str, tuple[Made, list[pytest.MarkDecorator]]] = {
    "icalendar": (phone(by_icalendar), []),
    "vobject": (phone(by_vobject), []),
    "dateutil": (phone(by_dateutil), []),
    "ical.js": (phone(by_node("ical.js")), [with_node]),
    "node-ical": (phone(by_node("node-ical")), [with_node]),
    "khal": (lambda folder, _stack: Khal(folder / "khal"), [with_khal]),
    "Radicale": (lambda folder, stack: served(folder / "server", stack), [with_server]),
}
"""Each reader, and what it needs; `Radicale` is asked through `caldav`."""
