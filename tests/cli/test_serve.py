"""`readiness serve`: what it needs, where it listens, what it says at its start and its end."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from ipaddress import IPv4Address
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.serve.server import Server, serving

EVERYWHERE = "0.0.0.0"  # noqa: S104  what is refused, or told, is tried here

MISSING = """
import importlib.util
import sys
real = importlib.util.find_spec
def find_spec(name, *more):
    return None if name in {missing} else real(name, *more)
importlib.util.find_spec = find_spec
from readiness.__main__ import main
main()
"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    with serving(tmp_path) as made:
        yield made


def refused(server: Server, *words: str, program: str = "") -> tuple[int, str]:
    """Run `serve` where it must not stay; return its code and what it said."""
    start = ["-c", program] if program else ["-m", "readiness"]
    done = subprocess.run(
        [sys.executable, *start, "serve", *words],
        cwd=ROOT,
        env=server.environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.stdout == ""
    return done.returncode, done.stderr


@pytest.mark.parametrize("missing", [{"uvicorn"}, {"segno"}, {"uvicorn", "h11", "segno"}])
def test_without_the_extra_it_says_what_to_install(server: Server, missing: set[str]) -> None:
    program = MISSING.format(missing=sorted(missing))
    code, said = refused(server, str(server.job), program=program)
    assert code == 3
    assert "pip install '.[serve]'" in said
    assert all(name in said for name in missing)
    assert "Traceback" not in said


@pytest.mark.parametrize("command", ["check", "share"])
def test_no_other_command_needs_the_extra(server: Server, command: str) -> None:
    program = MISSING.format(missing=["uvicorn", "h11", "segno"]) + "\n"
    program = program.replace(
        "main()", "sys.modules.update(uvicorn=None, h11=None, segno=None)\nmain()"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, command, str(server.job)],
        cwd=ROOT,
        env=server.environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode in {0, 4}, done.stderr
    assert "Brindle Street 8" in done.stdout


def test_only_this_machine_unless_told(server: Server) -> None:
    token = server.share("owner")
    server.start()
    told = server.all_told()
    assert "only this machine reaches it" in told
    assert "NOT" not in told
    assert server.url.startswith("http://127.0.0.1:")
    assert listens_at(server.port) in {"127.0.0.1", None}
    assert server.get(f"/{token}").status == 200


def listens_at(port: int) -> str | None:
    """Return the address at which this machine listens on a port; None where it does not say."""
    table = Path("/proc/net/tcp")
    if not table.exists():
        return None
    listening = re.compile(rf": ([0-9A-F]{{8}}):{port:04X} 0{{8}}:0000 0A ")
    found = listening.search(table.read_text(encoding="ascii"))
    assert found
    return str(IPv4Address(bytes.fromhex(found[1])[::-1]))


def test_elsewhere_is_told_clearly(server: Server) -> None:
    token = server.share("owner")
    server.start("--host", EVERYWHERE, "--url", "https://pages.example.com/site")
    assert "NOT only this machine: whoever reaches port" in server.all_told()
    assert listens_at(server.port) in {EVERYWHERE, None}
    assert server.get(f"/{token}").status == 200


@pytest.mark.parametrize("host", [EVERYWHERE, "::"])
def test_everywhere_needs_an_address_for_the_pages(server: Server, host: str) -> None:
    code, said = refused(server, str(server.job), "--host", host)
    assert code == 2
    assert "--url" in said


def test_the_pages_tell_the_address_in_front(server: Server) -> None:
    token = server.share("owner")
    server.start("--url", "https://pages.example.com/site")
    assert server.url == "https://pages.example.com/site"
    page = server.get(f"/{token}").body.decode()
    assert f'href="webcal://pages.example.com/site/{token}.ics"' in page
    assert f"https://pages.example.com/site/{token}.ics" in page
    assert "127.0.0.1" not in page


@pytest.mark.skipif(not socket.has_ipv6, reason="no IPv6 here")
def test_the_other_loopback(server: Server) -> None:
    server.start("--host", "::1")
    assert re.fullmatch(r"http://\[::1\]:\d+", server.url)
    assert "only this machine reaches it" in server.all_told()


def test_a_port_that_is_taken(server: Server) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = str(other.getsockname()[1])
        code, said = refused(server, str(server.job), "--port", port)
    assert code == 3
    assert f"127.0.0.1:{port}" in said
    assert "--port" in said
    assert "Traceback" not in said


@pytest.mark.parametrize("host", ["no-such-host.invalid", "300.1.1.1", "198.51.100.7"])
def test_a_host_that_is_none(server: Server, host: str) -> None:
    code, said = refused(server, str(server.job), "--host", host, "--port", "0")
    assert code == 3
    assert "nothing can be served there" in said


def test_a_job_that_cannot_be_read_opens_no_door(server: Server) -> None:
    server.job_file.write_text("name = ", encoding="utf-8")
    code, said = refused(server, str(server.job))
    assert code == 3
    assert "job.toml" in said


def test_two_copies_of_one_job(server: Server, tmp_path: Path) -> None:
    other = tmp_path / "copy"
    other.mkdir()
    (other / "job.toml").write_bytes(server.job_file.read_bytes())
    code, said = refused(server, str(server.job), str(other))
    assert code == 2
    assert "one of them is a copy" in said


def test_several_jobs_each_to_its_own(server: Server) -> None:
    other = ROOT / "sample_jobs" / "basement-flat"
    first = server.share("owner")
    house = server.job
    server.start(str(other))
    told = server.all_told()
    assert "Brindle Street 8: shared with owner" in told
    assert "nobody yet; readiness share" in told
    assert b"Brindle Street 8" in server.get(f"/{first}").body
    from readiness.desk.shares import make_shares
    from tests.serve.server import KEY

    key = KEY.search((other / "job.toml").read_text(encoding="utf-8"))
    assert key is not None
    (second,) = make_shares(server.shares, key[1], ["owner"], "2026-06-09")
    page = server.get(f"/{second.token}").body
    assert b"Brindle Street 8" not in page
    assert b"For the owner" in page
    assert house.is_dir()


def test_the_clock_may_stand_elsewhere(server: Server) -> None:
    token = server.share("owner")
    server.start("--as-of", "2026-06-02 06:30")
    assert b"As of Tue 2 Jun 2026 06:30" in server.get(f"/{token}").body


def test_links_may_be_left_out(server: Server) -> None:
    token = server.share("contractor")
    server.start("--no-links")
    feed = server.get(f"/{token}.ics").body
    assert b"BEGIN:VEVENT" in feed
    assert b"RELATED-TO" not in feed


def test_ctrl_c_ends_it(server: Server) -> None:
    server.share("owner")
    server.start()
    assert server.process is not None
    server.process.send_signal(signal.SIGINT)
    assert server.process.wait(20) == 0
    assert "Traceback" not in server.all_told()
