"""Invitations and cancellations of one small job, byte by byte.

After a wanted change look at the difference, then write them anew with
`python -m tests.golden.test_mails`. What a mail must be is that of RFC 6047, section 2.4.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
import tempfile
from email import message_from_bytes, policy
from pathlib import Path

import pytest

from tests.cli.test_send_mail import JOB, calendar_in
from tests.cli.test_sending_again import edit, send
from tests.conftest import ROOT
from tests.desk.builders import note
from tests.exchange.rfc_lines import complaints

FOLDER = Path(__file__).parent / "alder_street_mails"
CALENDARS = Path(__file__).parent / "alder_street_ics"


def mails() -> dict[str, bytes]:
    """Return what is mailed: first, when work moves, is struck, and when somebody else comes."""
    with tempfile.TemporaryDirectory() as made:
        job = Path(made) / "alder"
        job.mkdir()
        (job / "job.toml").write_text(JOB, encoding="utf-8")
        found: dict[str, bytes] = {}
        send(job, "--mail")
        found |= _taken(job, "first")
        note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:00")
        send(job, "--mail", at="2026-05-04 09:00")
        found |= _taken(job, "moved")
        note(job, "struck", "cable", at="2026-05-04 10:00")
        send(job, "--mail", at="2026-05-04 11:00")
        found |= _taken(job, "struck")
        edit(job, "bao@bao.example.com", "lee@lee.example.com")
        send(job, "--mail", at="2026-05-04 12:00")
        return found | _taken(job, "replaced")


def _taken(job: Path, when: str) -> dict[str, bytes]:
    folder = job / "out" / "mail"
    found = {f"{when}-{path.name}": path.read_bytes() for path in sorted(folder.iterdir())}
    shutil.rmtree(folder)
    return found


def digests() -> str:
    """Return a line per mail, short enough to be printed."""
    lines = (f"{name} {hashlib.sha256(content).hexdigest()}" for name, content in mails().items())
    return "\n".join(lines)


@pytest.fixture(scope="module")
def sent() -> dict[str, bytes]:
    return mails()


def test_every_mail_is_kept(sent: dict[str, bytes]) -> None:
    assert sorted(sent) == sorted(path.name for path in FOLDER.iterdir())


@pytest.mark.parametrize("path", sorted(FOLDER.iterdir()), ids=lambda path: path.name)
def test_a_mail_is_as_kept(path: Path, sent: dict[str, bytes]) -> None:
    assert sent[path.name] == path.read_bytes()


@pytest.mark.parametrize("path", sorted(FOLDER.iterdir()), ids=lambda path: path.name)
def test_a_kept_mail_holds_one_request_or_cancellation(path: Path) -> None:
    """Method, organizer, one attendee; a cancellation has its status and a raised number.

    Whoever is asked no more gets one without a status (RFC 5546, section 3.2.5).
    """
    mail = message_from_bytes(path.read_bytes(), policy=policy.default)
    text = calendar_in(mail).decode().replace("\r\n ", "")
    leaves = "asked-no-more" in path.name
    method = "CANCEL" if leaves or path.name.startswith("struck-") else "REQUEST"
    assert re.findall(r"^METHOD:(\w+)\r$", text, re.MULTILINE) == [method]
    assert len(re.findall(r"^ATTENDEE", text, re.MULTILINE)) == 1
    assert len(re.findall(r"^ORGANIZER", text, re.MULTILINE)) == 1
    assert "BEGIN:VALARM" not in text
    (number,) = re.findall(r"^SEQUENCE:(\d+)\r$", text, re.MULTILINE)
    numbers = {"first": 0, "moved": 1, "struck": 2, "replaced": 1}
    assert int(number) == numbers[path.name.partition("-")[0]]
    assert ("STATUS:CANCELLED\r\n" in text) == (method == "CANCEL" and not leaves)
    assert ("\r\nSTATUS:" in text) != leaves
    assert ("RSVP=TRUE" in text) == (method == "REQUEST")
    feed = re.sub(r"^(?:METHOD:|ATTENDEE|ORGANIZER)[^\r]*\r\n", "", text, flags=re.MULTILINE)
    if leaves:
        feed = feed.replace("\r\nTRANSP:", "\r\nSTATUS:CANCELLED\r\nTRANSP:")
    found = complaints(re.sub(r"[^\r]{74}(?=[^\r])", r"\g<0>\r\n ", feed).encode())
    missing = ["VCALENDAR has 0 REFRESH-INTERVAL", "VCALENDAR has 0 X-PUBLISHED-TTL"]
    assert found == missing, "else as strict as a calendar"
    assert all(len(line) <= 998 for line in path.read_bytes().split(b"\r\n"))


@pytest.mark.parametrize("seed", ["0", "1", "4711"])
def test_no_seed_of_hashes_changes_a_mail_or_a_calendar(seed: str, sent: dict[str, bytes]) -> None:
    code = (
        "from tests.golden.test_ics import calendars; from tests.golden import test_mails;"
        "import hashlib;"
        "print(test_mails.digests());"
        "print(hashlib.sha256(repr(sorted(calendars().items())).encode()).hexdigest())"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    *lines, calendars = ran.stdout.splitlines()
    told = dict(line.split(" ") for line in lines)
    assert told == {name: hashlib.sha256(content).hexdigest() for name, content in sent.items()}
    kept = sorted((path.name, path.read_bytes()) for path in CALENDARS.iterdir())
    assert calendars == hashlib.sha256(repr(kept).encode()).hexdigest()


if __name__ == "__main__":
    shutil.rmtree(FOLDER, ignore_errors=True)
    FOLDER.mkdir()
    for name, content in mails().items():
        (FOLDER / name).write_bytes(content)
