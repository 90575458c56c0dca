"""What somebody with an address gets: the bytes that `send` writes, and a page for a phone.

Invariant: a real client asks a real process; nothing of the server is imported or stood in for.
"""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from pathlib import Path

import icalendar
import pytest
import vobject

from tests.exchange.rfc_lines import complaints
from tests.serve.server import Server, serving

ROLES = ("electrician", "contractor", "owner", "crew lead", "board crew", "dispatcher")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("serve")) as made:
        made.run("send", str(made.job), "--out", str(made.folder / "out"), "--writer", "Ada")
        made.start()
        yield made


@pytest.fixture(scope="module")
def tokens(server: Server) -> dict[str, str]:
    return {role: server.share(role) for role in (*ROLES, "inspector")}


FILES = {"crew lead": "spray", "dispatcher": "spray", "board crew": "drywall"}


@pytest.mark.parametrize("role", ROLES)
def test_a_feed_is_what_send_writes(server: Server, tokens: dict[str, str], role: str) -> None:
    got = server.get(f"/{tokens[role]}.ics")
    written = server.folder / "out" / f"{FILES.get(role, role)}.ics"
    assert got.status == 200
    assert got.body == written.read_bytes()
    assert got.headers["content-type"] == "text/calendar; charset=utf-8"
    assert int(got.headers["content-length"]) == len(got.body)
    assert "content-disposition" not in got.headers, "a download is taken in once and grows stale"


def test_two_other_readers_find_the_same_entries(server: Server, tokens: dict[str, str]) -> None:
    """Read with icalendar and with vobject, which share no code."""
    body = server.get(f"/{tokens['contractor']}.ics").body
    assert complaints(body) == []
    theirs = {
        str(event["UID"]): (event.start, event.end)
        for event in icalendar.Calendar.from_ical(body).events
    }
    others = {
        event.uid.value: (event.dtstart.value, event.dtend.value)
        for event in vobject.readOne(body.decode()).vevent_list
    }
    assert len(theirs) > 20
    assert theirs == others


def test_a_page_is_html_for_one_role(server: Server, tokens: dict[str, str]) -> None:
    got = server.get(f"/{tokens['electrician']}")
    assert got.status == 200
    assert got.headers["content-type"] == "text/html; charset=utf-8"
    page = got.body.decode()
    order = [page.index(word) for word in ("Bao Electric", ">Today<", ">Next<", ">Held up by<")]
    assert order == sorted(order)
    assert "keep out from 07:30 until a named person has released the place" in page
    assert "nail plates at the dryer circuit" in page
    assert "Tessa Roy" not in page, "a trade hears nothing of the others"
    assert f'href="webcal://127.0.0.1:{server.port}/{tokens["electrician"]}.ics"' in page
    assert f"{server.url}/{tokens['electrician']}.ics" in page
    assert '<svg class="code"' in page


def test_the_contractor_sees_the_site(server: Server, tokens: dict[str, str]) -> None:
    page = re.sub("<[^>]*>", "", server.get(f"/{tokens['contractor']}").body.decode())
    for words in ("too early", "Call first", "Spray windows", "Ferrow building office, 555-0151"):
        assert words in page


def test_a_role_without_a_calendar_has_a_page_only(server: Server, tokens: dict[str, str]) -> None:
    page = server.get(f"/{tokens['inspector']}")
    assert page.status == 200
    assert b"webcal" not in page.body
    assert b'class="code"' in page.body
    assert server.get(f"/{tokens['inspector']}.ics").status == 404


def test_a_trade_that_has_no_entry_gets_an_empty_calendar(server: Server) -> None:
    """A subscription that is refused is dropped by many programs, and never comes back."""
    token = server.share("roofer")
    body = server.get(f"/{token}.ics").body
    assert not (server.folder / "out" / "roofer.ics").exists()
    calendar = icalendar.Calendar.from_ical(body)
    assert calendar.events == []
    assert len(calendar.walk("VTIMEZONE")) == 1, "RFC 5545, section 3.6: at least one component"
    assert len(complaints(body)) == 2, "that there is no event, and that no time uses the zone"


@pytest.mark.parametrize("suffix", ["", ".ics"])
def test_what_a_reader_has_is_not_sent_again(
    server: Server, tokens: dict[str, str], suffix: str
) -> None:
    """RFC 9110, sections 13.1.2 and 15.4.5."""
    path = f"/{tokens['owner']}{suffix}"
    first = server.get(path)
    tag = first.headers["etag"]
    for known in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = server.get(path, {"If-None-Match": known})
        assert (again.status, again.body) == (304, b"")
        assert again.headers["etag"] == tag
        kept = ("cache-control", "vary", "etag")
        assert {k: again.headers[k] for k in kept} == {k: first.headers[k] for k in kept}
        assert "content-type" not in again.headers
    for known in ('"other"', tag.strip('"'), ""):
        assert server.get(path, {"If-None-Match": known}).status == 200


@pytest.mark.parametrize("suffix", ["", ".ics"])
@pytest.mark.parametrize("packing", ["", "gzip"])
def test_head_tells_what_get_would(
    server: Server, tokens: dict[str, str], suffix: str, packing: str
) -> None:
    path, headers = f"/{tokens['electrician']}{suffix}", {"Accept-Encoding": packing}
    got, told = server.get(path, headers), server.get(path, headers, method="HEAD")
    assert told.body == b""
    assert told.status == got.status == 200
    without_date = [
        {name: value for name, value in one.headers.items() if name != "date"}
        for one in (got, told)
    ]
    assert without_date[0] == without_date[1]


@pytest.mark.parametrize("suffix", ["", ".ics"])
def test_packed_bytes_unpack_to_the_plain_ones(
    server: Server, tokens: dict[str, str], suffix: str
) -> None:
    path = f"/{tokens['contractor']}{suffix}"
    plain = server.get(path, {"Accept-Encoding": "identity"})
    packed = server.get(path, {"Accept-Encoding": "br;q=1, gzip;q=0.5"})
    assert "content-encoding" not in plain.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert gzip.decompress(packed.body) == plain.body
    assert len(packed.body) < len(plain.body) / 2
    assert packed.headers["etag"] != plain.headers["etag"]
    assert packed.headers["vary"] == plain.headers["vary"] == "accept-encoding"
    refused = server.get(path, {"Accept-Encoding": "gzip;q=0, identity"})
    assert refused.body == plain.body
    known = {"Accept-Encoding": "gzip", "If-None-Match": packed.headers["etag"]}
    assert server.get(path, known).status == 304


def test_an_unchanged_job_is_the_same_calendar(server: Server, tokens: dict[str, str]) -> None:
    got = {server.get(f"/{tokens['contractor']}.ics").headers["etag"] for _ in range(3)}
    assert len(got) == 1


def test_every_answer_keeps_its_address_to_itself(server: Server, tokens: dict[str, str]) -> None:
    for path in (f"/{tokens['owner']}", f"/{tokens['owner']}.ics", "/nobody", "/"):
        headers = server.get(path).headers
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "private, no-cache"
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "DENY"
        assert "noindex" in headers["x-robots-tag"]
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "script-src" not in policy
        assert "server" not in headers, "nobody need know what answers"
        assert "set-cookie" not in headers


def test_nothing_is_written_while_it_serves(server: Server, tokens: dict[str, str]) -> None:
    def files() -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in server.job.rglob("*") if path.is_file()}

    before = files()
    for token in tokens.values():
        server.get(f"/{token}")
        server.get(f"/{token}.ics")
    assert files() == before


def test_no_token_is_told_to_whoever_reads_the_log(server: Server, tokens: dict[str, str]) -> None:
    server.get(f"/{tokens['owner']}")
    told = server.all_told()
    assert "shared with" in told
    assert not [token for token in tokens.values() if token in told]
