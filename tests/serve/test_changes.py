"""What changes on the disk shows at the next request, and what is broken says nothing to strangers.

Invariant: the server is never told anything; it looks by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import icalendar
import pytest

from tests.golden.small_job import SMALL_JOB
from tests.serve.server import Server, serving


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    with serving(tmp_path) as made:
        yield made


def change(server: Server, old: str, new: str) -> None:
    text = server.job_file.read_text(encoding="utf-8")
    assert old in text
    server.job_file.write_text(text.replace(old, new), encoding="utf-8")


def entries(body: bytes) -> dict[str, tuple[int, str]]:
    return {
        str(event["UID"]): (int(str(event["SEQUENCE"])), str(event.DTSTAMP))
        for event in icalendar.Calendar.from_ical(body).events
    }


def test_another_job_file_is_another_calendar_and_another_page(server: Server) -> None:
    token = server.share("plumber")
    server.start()
    page, feed = (server.get(f"/{token}{end}") for end in ("", ".ics"))
    change(server, '"Tessa Roy Plumbing"', '"Tessa Roy and Sons"')
    after = server.get(f"/{token}", {"If-None-Match": page.headers["etag"]})
    assert after.status == 200
    assert b"Tessa Roy and Sons" in after.body
    change(server, "8 Brindle Street, Ferrow", "8b Brindle Street, Ferrow")
    after = server.get(f"/{token}.ics", {"If-None-Match": feed.headers["etag"]})
    assert after.status == 200
    assert b"8b Brindle Street" in after.body


def test_what_looks_private_is_in_no_feed(server: Server) -> None:
    token = server.share("plumber")
    change(server, "8 Brindle Street, Ferrow", "8 Brindle Street, door code 4411, Ferrow")
    server.start()
    body = server.get(f"/{token}.ics").body.replace(b"\r\n ", b"")
    assert b"4411" not in body
    assert b"LOCATION:8 Brindle Street\\, Ferrow" in body


def test_a_line_in_the_diary_shows_too(server: Server) -> None:
    """The first one, which makes the folder, and one behind it in the same file."""
    token = server.share("crew lead")
    server.start()
    before = server.get(f"/{token}")
    server.run("note", str(server.job), "stop", "hose too short", "--writer", "Ada, crew lead")
    first = server.get(f"/{token}", {"If-None-Match": before.headers["etag"]})
    assert first.status == 200
    assert b"hose too short" in first.body
    server.run("note", str(server.job), "lift", "--writer", "Ada, crew lead")
    second = server.get(f"/{token}", {"If-None-Match": first.headers["etag"]})
    assert second.status == 200
    assert b"hose too short" not in second.body


def test_changes_that_follow_each_other_at_once_are_all_seen(tmp_path: Path) -> None:
    """A change of the same length within the tick of a disk's clock, again and again."""
    with serving(tmp_path, SMALL_JOB) as server:
        token = server.share("electrician")
        server.start()
        name = "Bao Electric"
        for number in range(30):
            new = f"Bao Elect{number:03}"
            change(server, f'"{name}"', f'"{new}"')
            name = new
            assert name.encode() in server.get(f"/{token}").body


def test_a_calendar_that_was_not_sent_yet_stays_the_same_bytes(server: Server) -> None:
    """The clock goes on from request to request, and its entries are in no diary."""
    token = server.share("contractor")
    server.start(
        change="""
import readiness.desk.desk as desk
minutes = iter(range(29683335, 29693335, 3))
desk.Desk.own_clock = lambda self: next(minutes)
"""
    )
    first, second, third = (server.get(f"/{token}.ics") for _ in range(3))
    assert first.body == second.body == third.body
    pages = {server.get(f"/{token}").headers["etag"] for _ in range(3)}
    assert len(pages) == 3, "a page says when it was true"


def test_what_moves_before_it_is_sent_has_the_number_of_the_next_sending(server: Server) -> None:
    """Two changes between two sendings raise a number once, as sending then does."""
    token = server.share("hvac")
    server.start()
    words = ("--out", str(server.folder / "out"), "--writer", "Ada, contractor")
    server.run("send", str(server.job), *words)
    file = server.folder / "out" / "hvac.ics"
    sent = entries(file.read_bytes())
    assert server.get(f"/{token}.ics").body == file.read_bytes()
    shown: dict[str, tuple[int, str]] = {}
    for day in ("2026-06-17", "2026-06-18"):
        server.run("note", str(server.job), "agreed", "furnace", day, "--writer", "Ada, contractor")
        shown = entries(server.get(f"/{token}.ics").body)
        moved = {uid for uid in sent if shown.get(uid, sent[uid])[0] != sent[uid][0]}
        assert moved
        assert all(shown[uid][0] == sent[uid][0] + 1 for uid in moved)
    server.run("send", str(server.job), *words)
    assert entries(file.read_bytes()).keys() == shown.keys()
    assert server.get(f"/{token}.ics").body == file.read_bytes()


def test_what_was_taken_back_opens_nothing_at_the_next_request(server: Server) -> None:
    token, other = server.share("owner"), server.share("owner")
    server.start()
    tag = server.get(f"/{token}").headers["etag"]
    server.take_back(token)
    for path in (f"/{token}", f"/{token}.ics"):
        assert server.get(path).status == 404
        assert server.get(path, {"If-None-Match": tag}).status == 404, "not even: not changed"
    assert server.get(f"/{other}").status == 200
    new = server.share("owner")
    assert server.get(f"/{new}").status == 200, "and a new one works without a new start"


def test_a_broken_job_says_nothing_to_strangers(server: Server) -> None:
    token = server.share("owner")
    server.start()
    good = server.get(f"/{token}")
    text = server.job_file.read_text(encoding="utf-8")
    server.job_file.write_text(text + "\n[trades\nsecret-word = 1\n", encoding="utf-8")
    for path in (f"/{token}", f"/{token}.ics"):
        got = server.get(path, {"If-None-Match": good.headers["etag"]})
        assert got.status == 503
        assert got.body == b"Service Unavailable\n"
        assert int(got.headers["retry-after"]) > 0
        assert got.headers["referrer-policy"] == "no-referrer"
    assert server.get("/nobody").status == 404
    told = server.wait_for(r"Brindle Street 8 is not shown until this is mended:\n.*\n")[0]
    assert "job.toml" in told
    assert server.all_told().count("is not shown until") == 1, "told once, not at every request"
    server.job_file.write_text(text, encoding="utf-8")
    assert server.get(f"/{token}").body == good.body


def test_a_job_that_is_gone_is_unavailable_until_it_is_back(server: Server) -> None:
    token = server.share("owner")
    server.start()
    away = server.job_file.rename(server.job_file.with_suffix(".away"))
    assert server.get(f"/{token}").status == 503
    away.rename(server.job_file)
    assert server.get(f"/{token}").status == 200


def test_a_trade_that_left_the_job_sees_nothing_more(server: Server) -> None:
    token = server.share("rater")
    server.start()
    assert server.get(f"/{token}").status == 200
    from readiness.desk.shares import make_shares

    (gone,) = make_shares(server.shares, server.key, ["chimney-sweep"], "2026-06-09")
    for end in ("", ".ics"):
        assert server.get(f"/{gone.token}{end}").status == 404


def test_a_share_of_a_job_that_is_not_served_opens_nothing(server: Server) -> None:
    from readiness.desk.shares import make_shares

    (other,) = make_shares(server.shares, "ffffffffff", ["owner"], "2026-06-09")
    server.start()
    assert server.get(f"/{other.token}").status == 404


def test_a_file_of_shares_that_others_may_read_opens_nothing(server: Server) -> None:
    token = server.share("owner")
    server.start()
    assert server.get(f"/{token}").status == 200
    server.shares.chmod(0o644)
    right, wrong = server.get(f"/{token}"), server.get("/nobody")
    assert right.status == wrong.status == 503
    assert "chmod 600" in server.wait_for(r"nothing is shown until this is mended:\n.*\n")[0]
    server.shares.chmod(0o600)
    assert server.get(f"/{token}").status == 200


def test_a_fault_of_ours_says_nothing_to_strangers(server: Server) -> None:
    token = server.share("owner")
    server.start(
        change="""
import readiness.serve.shelf as shelf
def broken(*words):
    raise ZeroDivisionError("secret-word")
shelf.phone_paper = broken
"""
    )
    got = server.get(f"/{token}")
    assert (got.status, got.body) == (500, b"Internal Server Error\n")
    assert got.headers["referrer-policy"] == "no-referrer"
    server.wait_for("ZeroDivisionError: secret-word")
    assert server.get(f"/{token}.ics").status == 200, "the others are answered"
