"""A calendar server and its client keep our entries once, and take a moved one in place.

Source: the published Radicale server and caldav client, on a free port of this machine. The server
lets more pass than RFC 4791 allows, so what we write is judged by `tests/exchange/rfc_lines.py`.
"""

from __future__ import annotations

from contextlib import ExitStack
from datetime import datetime
from pathlib import Path

import pytest

from tests.cli.test_sending_again import edit, send
from tests.golden.small_job import SMALL_JOB
from tests.stories.calendar_readers import HOME, Server, served, with_server


def told(server: Server) -> list[tuple[str, str, int]]:
    return sorted(
        (uid, f"{datetime.fromtimestamp(each.starts, HOME):%m-%d %H:%M}", each.sequence)
        for uid, each in server.holds().items()
    )


@with_server
@pytest.mark.filterwarnings("ignore")
def test_a_server_keeps_each_entry_once_and_moves_it_in_place(tmp_path: Path) -> None:
    job = tmp_path / "alder"
    job.mkdir()
    (job / "job.toml").write_text(SMALL_JOB, encoding="utf-8")
    feed = job / "out" / "electrician.ics"
    with ExitStack() as stack:
        server = served(tmp_path / "server", stack)
        send(job)
        server.takes([feed])
        first = told(server)
        assert [row[1:] for row in sorted(first, key=lambda row: row[1])] == [
            ("05-06 07:00", 0),
            ("05-07 07:00", 0),
            ("05-08 15:00", 0),
            ("05-11 07:00", 0),
        ]
        edit(job, "agreed = 2026-05-06", "agreed = 2026-05-07")
        send(job, at="2026-05-04 09:00")
        server.takes([feed])
        moved = told(server)
    assert [row[0] for row in moved] == [row[0] for row in first]
    assert ("05-07 07:00", 1) in [row[1:] for row in moved]
