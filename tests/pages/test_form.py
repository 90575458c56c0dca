"""The form of a page: every line that it can make is taken in by `receive`, names are harmless."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from readiness.cli.main import readiness
from readiness.pages.form import Form, paper_grid
from tests.golden.small_job import SMALL_JOB
from tests.pages.browser import CHROMIUM, run
from tests.pages.papers import form_for, page_with_form
from tests.pages.test_paper_html import HOSTILE, HOUSE, TAGS, Reader, job_named

WRITING = ("contractor", "crew lead", "electrician", "plumber", "board crew")
MADE_BY_THE_FORM = frozenset(
    {
        "form",
        "label",
        "input",
        "fieldset",
        "legend",
        "select",
        "option",
        "button",
        "textarea",
        "details",
        "summary",
    }
)


def received(folder: Path, job: str, message: str) -> Result:
    """Show how a message is understood, writing nothing."""
    (folder / "job.toml").write_text(job, encoding="utf-8")
    (folder / "message.txt").write_text(message, encoding="utf-8")
    words = ["receive", str(folder), str(folder / "message.txt"), "--show"]
    return CliRunner().invoke(
        readiness, [*words, "--writer", "Noor Haddad, contractor"], standalone_mode=False
    )


def lines_of(form: Form) -> list[str]:
    """Return one line of every kind that the form or the grid on paper makes, filled in."""
    lines = [choice.line for choice in form.done]
    lines += [f"depth {surface.line} 3.4 3.6 3.1e" for surface in form.surfaces]
    lines += [choice.line for choice in form.steps[:1]]
    if form.readings:
        places = [place.line for place in form.places]
        figures = {"moisture": "15 %", "surface": "61 F", "air": "58 F", "humidity": "55 %"}
        lines += [f"reading {r.line} {figures[r.line]} {places[0]}" for r in form.readings]
    return lines


@pytest.mark.parametrize("job", [SMALL_JOB, HOUSE], ids=["small", "house"])
@pytest.mark.parametrize("role", WRITING)
def test_receive_understands_every_line(tmp_path: Path, role: str, job: str) -> None:
    if "plumber" not in job:
        pytest.skip("nobody of that trade")
    form = form_for(job, role)
    lines = lines_of(form)
    assert lines or role == "board crew"
    message = "".join(f"2026-05-04 06:20 Lea Brandt, {form.role}: {line}\n" for line in lines)
    done = received(tmp_path, job, message + "2026-05-04 06:21 Lea Brandt, crew lead: remark x\n")
    assert done.exception is None, done.output
    shown = done.output.splitlines()
    assert "kept as a remark" not in done.output
    assert sum("(understood)" in line for line in shown) == len(lines) + 1


def test_the_grid_on_paper_has_the_words_that_are_typed() -> None:
    form = form_for(SMALL_JOB, "crew lead")
    depths, lines = paper_grid(form)
    assert depths.rows == (("depth bath-1.outer", *("",) * 8),)
    assert [row[0] for row in lines.rows] == [
        "arrived first",
        "last-foam first",
        "cleaned first",
        "ventilated first",
        "release first",
    ]


def test_a_trade_ticks_its_own_work_only() -> None:
    form = form_for(SMALL_JOB, "electrician")
    assert [choice.line for choice in form.done] == ["done cable bath-1"]
    assert not form.steps
    assert not form.surfaces


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_harmless_in_the_form(name: str) -> None:
    reader = Reader(page_with_form(job_named(name), "contractor"))
    assert reader.tags <= TAGS | MADE_BY_THE_FORM | {"script"}
    assert not [pair for pair in reader.attributes if pair[0].startswith("on")]


def test_every_field_has_a_label() -> None:
    page = page_with_form(HOUSE, "crew lead")
    fields = re.findall(r"<(?:input|select|textarea)", page)
    labels = re.findall(r"<label>(?:(?!</label>).)*<(?:input|select|textarea)", page, re.DOTALL)
    assert len(fields) == len(labels) > 8


PRESSES = """
const form = document.getElementById("form");
const press = (what) => form.querySelector(what).click();
press('button[data-make="step"]');
form.elements.name.value = 'Lea "B": Brandt';
form.elements.when.value = "2026-05-04T06:20";
press('button[data-make="step"]');
form.elements.kind.value = "moisture";
form.elements.read.value = "15,5";
press('button[data-make="reading"]');
form.elements.depths.value = "3,4 3.6  3.1e";
press('button[data-make="depth"]');
form.elements.why.value = 'hose "short"\\n wet <b>deck</b>';
form.elements.seen.checked = false;
press('button[data-make="stop"]');
const out = document.createElement("pre");
out.id = "found";
out.textContent = "FOUND" + document.getElementById("message").value + "END";
document.body.appendChild(out);
"""


@pytest.mark.skipif(not CHROMIUM, reason="no Chromium on this machine")
def test_what_a_phone_makes_is_taken_in(tmp_path: Path) -> None:
    """The buttons are pressed in a real browser; without a name nothing is added."""
    page = tmp_path / "form.html"
    text = page_with_form(SMALL_JOB, "crew lead")
    page.write_text(text.replace("</body>", f"<script>{PRESSES}</script></body>"), encoding="utf-8")
    found = re.search(
        r'<pre id="found">FOUND(.*?)END</pre>', run("--dump-dom", page.as_uri()), re.DOTALL
    )
    assert found
    message = html.unescape(found[1])
    assert message.splitlines() == [
        "2026-05-04 06:20 Lea B Brandt, crew lead: arrived first --how seen",
        "2026-05-04 06:20 Lea B Brandt, crew lead: reading moisture 15.5 % bath-1 --how seen",
        "2026-05-04 06:20 Lea B Brandt, crew lead: depth bath-1.outer 3.4 3.6 3.1e --how seen",
        '2026-05-04 06:20 Lea B Brandt, crew lead: stop "hose \\"short\\" wet <b>deck</b>"',
    ]
    done = received(tmp_path, SMALL_JOB, message)
    assert done.exception is None, done.output
    assert done.output.count("(understood)") == 4
