"""A calendar server and its client keep our entries once, and take a moved one in place.

Source: the published Radicale server and caldav client, on a free port of this machine. The server
lets more pass than RFC 4791 allows, so what we write is judged by `tests/exchange/rfc_lines.py`.
"""

from __future__ import annotations

import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.test_sending_again import edit, send
from tests.golden.small_job import SMALL_JOB

caldav = pytest.importorskip("caldav", reason="the test extra has no caldav")
pytest.importorskip("radicale", reason="the test extra has no Radicale")


@pytest.fixture
def server(tmp_path: Path) -> Iterator[str]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    empty = tmp_path / "empty"
    empty.write_text("", encoding="utf-8")
    words = ["--config", str(empty), "--server-hosts", f"127.0.0.1:{port}", "--auth-type", "none"]
    words += ["--storage-filesystem-folder", str(tmp_path / "store"), "--logging-level", "warning"]
    process = subprocess.Popen([sys.executable, "-m", "radicale", *words])
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


def put(calendar: Any, client: Any, file: Path) -> None:  # noqa: ANN401  no types there
    """Put each entry of a file as an object of its own, its bytes otherwise unchanged."""
    text = file.read_bytes().decode()
    head, *events = text.split("BEGIN:VEVENT")
    for event in events:
        body = event.removesuffix("END:VCALENDAR\r\n")
        unfolded = body.replace("\r\n ", "")
        uid = next(line[4:] for line in unfolded.split("\r\n") if line.startswith("UID:"))
        one = f"{head}BEGIN:VEVENT{body}END:VCALENDAR\r\n"
        url = calendar.url.join(f"{uid}.ics")
        caldav.Event(client=client, url=url, parent=calendar).save(raw_data=one.encode())


def held(calendar: Any) -> list[tuple[str, str, int]]:  # noqa: ANN401
    found = [event.icalendar_component for event in calendar.events()]
    return sorted(
        (str(each["UID"]), f"{each.decoded('DTSTART'):%m-%d %H:%M}", int(each["SEQUENCE"]))
        for each in found
    )


@pytest.mark.filterwarnings("ignore")
def test_a_server_keeps_each_entry_once_and_moves_it_in_place(server: str, tmp_path: Path) -> None:
    job = tmp_path / "alder"
    job.mkdir()
    (job / "job.toml").write_text(SMALL_JOB, encoding="utf-8")
    client = caldav.DAVClient(url=server, username="planner", password="x")  # noqa: S106
    calendar = client.principal().make_calendar(name="Alder", cal_id="alder")
    send(job)
    feed = job / "out" / "electrician.ics"
    put(calendar, client, feed)
    first = held(calendar)
    assert [row[1:] for row in sorted(first, key=lambda row: row[1])] == [
        ("05-06 07:00", 0),
        ("05-07 07:00", 0),
        ("05-08 15:00", 0),
        ("05-11 07:00", 0),
    ]
    edit(job, "agreed = 2026-05-06", "agreed = 2026-05-07")
    send(job, at="2026-05-04 09:00")
    put(calendar, client, feed)
    moved = held(calendar)
    assert [row[0] for row in moved] == [row[0] for row in first]
    assert ("05-07 07:00", 1) in [row[1:] for row in moved]
