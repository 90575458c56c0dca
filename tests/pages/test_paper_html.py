"""Pages as they leave the house: names harmless, private facts absent, the sentence first."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from readiness.cli.main import readiness
from readiness.desk.private import LEFT_OUT
from readiness.pages.paper_html import _fit, paper_html
from tests.conftest import ROOT
from tests.golden.small_job import SMALL_JOB
from tests.pages.papers import ROLES, page_of, paper_for

EVERYBODY = (*ROLES, "electrician", "plumber")
HOUSE = (ROOT / "sample_jobs" / "two-storey-house" / "job.toml").read_text(encoding="utf-8")
SAMPLES = {
    path.parent.name: path.read_text(encoding="utf-8")
    for path in sorted((ROOT / "sample_jobs").glob("*/job.toml"))
}
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title></style></svg><b>",
    "{{ 7777 * 7 }} {% raw %}",
    "[/b]",
    "[B] unit",
    "&amp; & &#60;",
    "חדר אמבטיה 3",
    "🛁 bath 🚿",
    "x" * 300,
)
UNSEEN = ("a\x1b[31mb", "a\tb", "a\u202eb", "a\u2028b")
WRITTEN_BY_US = (
    "html head meta title style body header h1 p main span dl dt dd br section h2 ul li strong "
    "table caption colgroup col thead tbody tr th td svg path text rect circle bdi footer"
)
TAGS = frozenset(re.findall(r"\w+", WRITTEN_BY_US))


class Reader(HTMLParser):
    """Collects tags, attributes and the text in the order in which a reader hears it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: list[tuple[str, str]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.open.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if "style" not in self.open and "title" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def job_named(name: str) -> str:
    """Return the small job with one name wherever a name can be."""
    written = json.dumps(name, ensure_ascii=False)
    text = SMALL_JOB
    for old in ("Alder Street 14", "14 Alder Street", "Doyle Homes", "Bao Electric", "Pull cable"):
        text = text.replace(f'"{old}"', written)
    text = text.replace('bath-1 = { is = "bath" }', f'bath-1 = {{ is = "bath", name = {written} }}')
    return text.replace("bath-1.outer = { is", f"bath-1.outer = {{ name = {written}, is")


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("role", EVERYBODY)
def test_a_hostile_name_is_only_shown(role: str, name: str) -> None:
    """Nothing that a name holds becomes a tag or an attribute, and it can still be read."""
    page = page_of(job_named(name), role)
    reader = Reader(page)
    assert reader.tags <= TAGS
    assert not [pair for pair in reader.attributes if pair[0].startswith("on")]
    assert " ".join(name.split()) in reader.text.replace(" ", " ")
    assert "54439" not in reader.text


@pytest.mark.parametrize("sign", UNSEEN)
def test_signs_that_nobody_sees_do_not_get_through(sign: str) -> None:
    """A job file can't hold them; whatever else may bring them is shown with a stand-in."""
    paper = replace(paper_for(SMALL_JOB, "owner"), job=sign, sentence=sign)
    page = paper_html(paper)
    assert sign not in page
    assert all(one.isprintable() or one == "\n" for one in page)


def test_writing_from_right_to_left_is_set_apart() -> None:
    page = page_of(job_named("חדר אמבטיה"), "electrician")
    assert "<bdi>חדר אמבטיה</bdi>" in page


@pytest.mark.parametrize("role", EVERYBODY)
@pytest.mark.parametrize("sample", SAMPLES)
def test_a_page_needs_nothing_else(sample: str, role: str) -> None:
    """No script, no second file, no address of another place."""
    if role == "plumber" and "plumber" not in SAMPLES[sample]:
        pytest.skip("this job has no plumber")
    page = page_of(SAMPLES[sample], role)
    reader = Reader(page)
    assert "script" not in reader.tags
    assert not {"src", "href", "action"} & {name for name, _ in reader.attributes}
    assert "http" not in page.replace("http-equiv", "")
    assert "url(" not in page


@pytest.mark.parametrize("role", EVERYBODY)
def test_the_sentence_comes_first_and_says_when_it_was_true(role: str) -> None:
    paper = paper_for(HOUSE, role)
    page = paper_html(paper)
    text = Reader(page).text
    at = [
        text.index(part)
        for part in ("Brindle Street 8", "For ", paper.sentence, "As of Tue 9 Jun", "Ask again")
    ]
    assert at == sorted(at)
    assert page.index("<h2>") > page.index("Ask again")
    assert text.index("Caution") < text.index(f"Page {paper.code}")


@pytest.mark.parametrize("sample", SAMPLES)
@pytest.mark.parametrize("role", ["owner", "inspector"])
def test_nobody_outside_reads_the_word_of_the_yes(sample: str, role: str) -> None:
    text = Reader(page_of(SAMPLES[sample], role)).text
    assert not re.search(r"\bready\b", text, re.IGNORECASE)
    assert not re.search(r"\b(too early|too late|crossed|on course)\b", text)


@pytest.mark.parametrize("sample", SAMPLES)
@pytest.mark.parametrize("role", ROLES)
def test_no_page_says_go_or_safe(sample: str, role: str) -> None:
    text = Reader(page_of(SAMPLES[sample], role)).text
    assert not re.search(r"\bsafe(ly)?\b", text, re.IGNORECASE)
    assert not re.search(r"\bgood to go\b|\bgo ahead\b", text, re.IGNORECASE)


PRIVATE = {
    'address = "14 Alder Street"': 'address = "14 Alder Street, door code 4411"',
    'name = "Reed Plumbing"': 'name = "Reed: has asthma"',
    'title = "Set tub"': 'title = "Set tub for $900"',
}


@pytest.mark.parametrize("role", EVERYBODY)
def test_what_looks_private_is_left_out(role: str) -> None:
    """Health, a way through a door and money, wherever people wrote them."""
    job = SMALL_JOB
    for old, new in PRIVATE.items():
        assert old in job
        job = job.replace(old, new)
    job += """
[stops.lead]
by = "Ines Ferro"
role = "crew lead"
reason = "the owner is pregnant"
at = 2026-05-04T06:00:00
"""
    page = page_of(job, role)
    assert not re.search(r"4411|asthma|\$900|pregnant", page)
    assert LEFT_OUT in page


def test_an_answer_or_a_remark_is_on_no_page() -> None:
    job = SMALL_JOB.replace(
        "[work.cable]",
        '[answers]\ncall = { yes = ["gate-and-keys"], by = "Zed Quill", at = 2026-05-04 }\n\n'
        '[work.cable]\nnote = "mind the dog Rollo"',
    )
    for role in EVERYBODY:
        page = page_of(job, role)
        assert "Zed Quill" not in page
        assert "Rollo" not in page


def test_each_is_spared_what_is_not_theirs() -> None:
    """The contractor hears nothing of gun limits, the lead nothing of days, a trade of others."""
    contractor = Reader(page_of(HOUSE, "contractor")).text
    assert "at least 40 F" not in contractor
    lead = Reader(page_of(HOUSE, "crew lead")).text
    assert "at least 40 F" in lead
    assert "Hang the board" not in lead
    electrician = Reader(page_of(HOUSE, "electrician")).text
    assert "Tessa Roy" not in electrician
    assert "nail plates at the dryer circuit" in electrician.casefold()
    assert "1 thing of yours is still missing" in electrician
    inspector = Reader(page_of(HOUSE, "inspector")).text
    assert "Wick Air" not in inspector
    owner = Reader(page_of(HOUSE, "owner")).text
    assert "rough" not in owner


def test_two_pages_of_one_state_have_the_same_signs() -> None:
    early = paper_for(HOUSE, "contractor")
    later = paper_for(HOUSE.replace("2026-06-09T06:15:00", "2026-06-09T06:16:00"), "contractor")
    assert early.as_of != later.as_of
    assert early.code == later.code
    assert early.code != replace(early, sentence="Something else.").code
    assert re.fullmatch(r"[3-9A-Y]{3}-[3-9A-Y]{3}", early.code)


def test_work_that_holds_the_trip_up_is_counted_once() -> None:
    hvac = paper_for(HOUSE, "hvac")
    assert hvac.sentence == "1 thing of yours is still missing before the foam of Tue 9 Jun 07:30."


SAID = ("arrived main", "sprayed main all", "depth garden-room.south-wall 3.1 3.3 3.2e")


def test_what_was_measured_stands_beside_what_was_promised(tmp_path: Path) -> None:
    """A depth that is written into the diary is on the owner's and the inspector's page."""
    (tmp_path / "job.toml").write_text(SAMPLES["garden-room-addition"], encoding="utf-8")
    for line in SAID:
        words = ["note", str(tmp_path), *line.split(), "--writer", "Ada Pell, crew lead"]
        noted = CliRunner().invoke(readiness, words, standalone_mode=False)
        assert noted.exception is None, noted.output
    for role in ("owner", "inspector"):
        target = tmp_path / f"{role}.html"
        words = ["page", str(tmp_path), "--for", role, "--out", str(target)]
        made = CliRunner().invoke(readiness, words, standalone_mode=False)
        assert made.exception is None, made.output
        text = Reader(target.read_text(encoding="utf-8")).text
        assert "field 2 readings, mean 3.2 in, least 3.1 in" in text
        assert "average 3 in with a tolerance of 0.5 in either side" in text


def test_the_board_crew_reads_room_by_room_from_when() -> None:
    paper = paper_for(HOUSE, "board crew")
    assert paper.sentence == "Board may not start yet in any room."
    text = Reader(paper_html(paper)).text
    assert "not before Thu 18 Jun 09:30" in text
    crossed = Reader(page_of(SAMPLES["basement-flat"], "board crew")).text
    assert "held up: Living room north wall" in crossed


@pytest.mark.parametrize(
    ("cell", "kept"),
    [
        ("150 sq ft", ' class="short"'),
        ("closed cell", ' class="short"'),
        ("closed", ""),
        ("wall above grade", ""),
        ("x" * 21, ' class="long"'),
        ("a b " + "x" * 300, ' class="long"'),
        ("", ""),
    ],
)
def test_a_few_words_stay_on_one_line_and_only_very_long_ones_are_broken(
    cell: str, kept: str
) -> None:
    assert str(_fit(cell)) == kept


def test_a_telephone_number_is_not_broken_and_a_date_range_is_none() -> None:
    page = paper_html(replace(paper_for(HOUSE, "owner"), sentence="Call 555-0101, or 1-2 of them."))
    assert '<span class="short">555-0101</span>' in page
    assert "1-2 of them" in page
    assert '<span class="short">1-2' not in page


def test_limits_are_told_in_the_units_of_the_job() -> None:
    metric = Reader(page_of(SAMPLES["row-house-renovation"], "crew lead")).text
    assert "at least 4.4 C (40 F)" in metric
    assert "at least 40 F" in Reader(page_of(HOUSE, "crew lead")).text
