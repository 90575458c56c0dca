"""The phone page in a real browser at the width of a phone, fetched from a real server.

Skipped without Chromium; the checker is skipped without `READINESS_AXE`, the path of axe.min.js.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import numpy as np
import pytest
import zxingcpp

from tests.pages.browser import AXE, CHROMIUM, run, violations
from tests.pages.test_paper_html import HOSTILE, TAGS, Reader, job_named
from tests.serve.server import Server, serving

needs_browser = pytest.mark.skipif(not CHROMIUM, reason="no Chromium on this machine")
needs_checker = pytest.mark.skipif(
    not (CHROMIUM and AXE), reason="READINESS_AXE names no axe.min.js, or there is no Chromium"
)

PHONE = 390
"""Points across; common for phones of the last years."""
NARROW = 320
"""Points across to which a page must fit without scrolling sideways.

Source: WCAG 2.1, success criterion 1.4.10.
"""
ROLES = ("electrician", "contractor", "owner", "crew lead", "board crew", "dispatcher", "inspector")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("browser")) as made:
        made.start()
        yield made


def page_in_browser(address: str, width: int = PHONE, *more: str) -> str:
    return run(f"--window-size={width},844", *more, "--dump-dom", address)


def picture_of(png: bytes) -> np.ndarray:
    """Return a picture of three or four bytes a point as grey values.

    Source: W3C Portable Network Graphics, sections 9.2 (filters) and 11.2.
    """
    width, height = int.from_bytes(png[16:20]), int.from_bytes(png[20:24])
    depth, kind = png[24], png[25]
    assert (depth, kind in {2, 6}) == (8, True)
    step = 3 if kind == 2 else 4
    at, packed = 8, b""
    while at < len(png):
        length = int.from_bytes(png[at : at + 4])
        if png[at + 4 : at + 8] == b"IDAT":
            packed += png[at + 8 : at + 8 + length]
        at += length + 12
    data = np.frombuffer(zlib.decompress(packed), dtype=np.uint8)
    lines = data.reshape(height, 1 + width * step)
    out = np.zeros((height + 1, width, step), dtype=np.uint8)
    for y in range(height):
        filtered = lines[y, 1:].reshape(width, step)
        out[y + 1] = _unfiltered(int(lines[y, 0]), filtered, out[y])
    grey: np.ndarray = out[1:, :, :3].mean(axis=2).astype(np.uint8)
    return grey


def _unfiltered(kind: int, line: np.ndarray, above: np.ndarray) -> np.ndarray:
    if kind == 0:
        return line
    if kind == 1:
        run_up: np.ndarray = np.cumsum(line, axis=0, dtype=np.uint8)
        return run_up
    if kind == 2:
        added: np.ndarray = line + above
        return added
    known = np.zeros(line.shape[1], dtype=np.int32)
    corner = known
    found = np.zeros_like(line)
    for x in range(len(line)):
        up = above[x].astype(np.int32)
        if kind == 3:
            guess = (known + up) // 2
        else:
            rough = known + up - corner
            far = [np.abs(rough - one) for one in (known, up, corner)]
            guess = np.where(
                (far[0] <= far[1]) & (far[0] <= far[2]),
                known,
                np.where(far[1] <= far[2], up, corner),
            )
        found[x] = (line[x].astype(np.int32) + guess) & 255
        known, corner = found[x].astype(np.int32), up
    return found


@needs_browser
def test_a_phone_shows_the_page_and_a_camera_reads_its_code(server: Server, tmp_path: Path) -> None:
    """Taken as a picture of the screen, the code leads back to the very page."""
    token = server.share("electrician")
    address = f"{server.url}/{token}"
    words = Reader(page_in_browser(address)).text
    for said in ("Brindle Street 8", "Today", "Next", "Held up by", "Subscribe to your calendar"):
        assert said in words
    shot = tmp_path / "phone.png"
    run(f"--window-size={PHONE},2200", f"--screenshot={shot}", address)
    picture = picture_of(shot.read_bytes())
    assert picture.shape == (2200, PHONE)
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == address


@needs_browser
@pytest.mark.parametrize("width", [PHONE, NARROW])
def test_nothing_is_wider_than_the_screen(server: Server, tmp_path: Path, width: int) -> None:
    pages = {role: server.get(f"/{server.share(role)}").body.decode() for role in ROLES}
    measured = widest(pages, tmp_path, width)
    assert {role: wide for role, wide in measured.items() if wide > width} == {}


def widest(pages: dict[str, str], folder: Path, width: int) -> dict[str, int]:
    """Return how many points across each page needs on a screen of some width.

    The pages stand in frames of that width, for a browser's own window has a least one; their
    policy is taken out, because it lets nobody measure.
    """
    plain = []
    for html in pages.values():
        plain.append(re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", html))
        assert plain[-1] != html
    inside = json.dumps(plain).replace("</", "<\\/")
    frames = f"""<!doctype html>
<script>
{inside}.forEach((inside, number) => {{
  const page = document.createElement("iframe");
  page.style.border = "0";
  page.width = {width};
  page.height = 800;
  page.onload = () => {{
    const wide = page.contentDocument.documentElement.scrollWidth;
    document.body.append(`PAGE${{number}}WIDE${{wide}}END`);
  }};
  page.srcdoc = inside;
  document.body.append(page);
}});
</script>"""
    file = folder / "frames.html"
    file.write_text(frames.replace("<script>", "<body><script>", 1), encoding="utf-8")
    dumped = run("--virtual-time-budget=5000", "--dump-dom", file.as_uri())
    found = {int(n): int(w) for n, w in re.findall(r"PAGE(\d+)WIDE(\d+)END", dumped)}
    assert sorted(found) == list(range(len(pages))), "not every page was measured"
    return {name: found[number] for number, name in enumerate(pages)}


@needs_browser
def test_a_page_that_is_too_wide_is_noticed(server: Server, tmp_path: Path) -> None:
    html = server.get(f"/{server.share('owner')}").body.decode()
    wide = html.replace("<h1>", '<h1 style="width: 800px">')
    measured = widest({"narrow": html, "wide": wide}, tmp_path, PHONE)
    assert measured["narrow"] <= PHONE < measured["wide"]


@pytest.fixture(scope="module")
def small_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """Serve a small job whose file is changed while it is served."""
    with serving(tmp_path_factory.mktemp("small"), job_named("Elm Row")) as made:
        made.start()
        yield made


@needs_browser
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_only_shown(small_server: Server, name: str) -> None:
    """The browser itself finds no tag, no script and no address that a name brought along."""
    server = small_server
    server.job_file.write_text(job_named(name), encoding="utf-8")
    token = server.share("electrician")
    got = server.get(f"/{token}")
    assert got.status == 200
    reader = Reader(page_in_browser(f"{server.url}/{token}"))
    assert reader.tags <= TAGS | {"a"}
    assert not [pair for pair in reader.attributes if pair[0].startswith("on")]
    links = [value for attribute, value in reader.attributes if attribute == "href"]
    assert [unescape(link) for link in links] == [f"webcal://127.0.0.1:{server.port}/{token}.ics"]
    assert " ".join(name.split()) in reader.text
    assert "54439" not in reader.text
    feed = server.get(f"/{token}.ics")
    assert feed.status == 200
    assert not [head for head in feed.headers if "script" in feed.headers[head]]


@needs_browser
def test_a_script_in_the_page_would_not_run(server: Server, tmp_path: Path) -> None:
    """If ever one got in: the policy of the answer stops it. The same page from disk runs it."""
    token = server.share("owner")
    from readiness.serve.app import SECURITY

    policy = dict(SECURITY)[b"content-security-policy"].decode()
    script = "<script>document.title = 'it ran'</script>"
    page = f"<!doctype html><title>quiet</title>{script}"
    (tmp_path / "free.html").write_text(page, encoding="utf-8")
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    (tmp_path / "held.html").write_text(page.replace("<title>", f"{meta}<title>"), "utf-8")
    assert "it ran" in page_in_browser((tmp_path / "free.html").as_uri()).partition("</title>")[0]
    held = page_in_browser((tmp_path / "held.html").as_uri())
    assert "it ran" not in held.partition("</title>")[0]
    assert server.get(f"/{token}").headers["content-security-policy"] == policy


@needs_checker
@pytest.mark.parametrize("role", ROLES)
def test_the_checker_has_no_complaint(server: Server, tmp_path: Path, role: str) -> None:
    page = tmp_path / "page.html"
    page.write_bytes(server.get(f"/{server.share(role)}").body)
    assert violations(page) == []
