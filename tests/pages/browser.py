"""A headless browser for the pages, where one is installed.

Invariant: a page is opened from the disk, and nothing is fetched from anywhere.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import zlib
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
CHROMIUM = next((found for name in NAMES if (found := shutil.which(name))), "")
AXE = os.environ.get("READINESS_AXE", "")
"""Path of `axe.min.js`; the checker is a program of its own and comes with no package of ours."""

FLAGS = ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars")
_PAGE = re.compile(rb"/Type\s*/Page\b")
_STREAM = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)


def run(*words: str) -> str:
    """Run the browser once and return what it printed."""
    done = subprocess.run(
        [CHROMIUM, *FLAGS, *words], capture_output=True, text=True, check=False, timeout=120
    )
    return done.stdout


def sheets(page: Path, paper: str) -> int:
    """Print a page on paper (`A4` or `Letter`) and return how many sheets it takes."""
    copy = page.with_suffix(f".{paper}.html")
    text = page.read_text(encoding="utf-8")
    copy.write_text(text.replace("@page { ", f"@page {{ size: {paper}; "), encoding="utf-8")
    target = copy.with_suffix(".pdf")
    run("--no-pdf-header-footer", f"--print-to-pdf={target}", copy.as_uri())
    return sheets_of(target.read_bytes())


def sheets_of(pdf: bytes) -> int:
    """Return how many sheets a PDF has, its packed parts unpacked."""
    plain = len(_PAGE.findall(pdf))
    for stream in _STREAM.findall(pdf):
        try:
            plain += len(_PAGE.findall(zlib.decompress(stream)))
        except zlib.error:
            continue
    return plain


def shot(page: Path, target: Path, width: int, height: int) -> None:
    """Write a picture of a page as a screen of some size shows it."""
    run(f"--window-size={width},{height}", f"--screenshot={target}", page.as_uri())


def violations(page: Path) -> list[str]:
    """Return what the accessibility checker finds wrong with a page, one line each."""
    text = page.read_text(encoding="utf-8")
    without_policy = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    script = Path(AXE).read_text(encoding="utf-8")
    look = """
axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "best-practice"]}).then(found => {
  const out = document.createElement("pre");
  out.id = "found";
  out.textContent = "FOUND" + found.violations.map(
    one => one.id + ": " + one.nodes[0].html.slice(0, 120)).join("|") + "END";
  document.body.appendChild(out);
});
"""
    copy = page.with_suffix(".axe.html")
    scripts = f"<script>{script}</script><script>{look}</script></body>"
    copy.write_text(without_policy.replace("</body>", scripts), encoding="utf-8")
    dumped = run("--virtual-time-budget=20000", "--dump-dom", copy.as_uri())
    found = re.search(r'<pre id="found">FOUND(.*?)END</pre>', dumped, re.DOTALL)
    assert found, "the checker did not answer"
    return [one for one in found[1].split("|") if one]
