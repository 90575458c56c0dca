"""Which foam goes where: the answer for small jobs and for the samples.

Invariant: every test asks a job of its own or a sample, and looks at the answer, not at its text.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from click.testing import CliRunner

from readiness.cli.main import Exit, readiness
from readiness.pages.foam_text import foam_text
from readiness.questions.foam import FoamAnswer, foam
from tests.builders import Asked, real
from tests.conftest import ROOT

SAMPLES = sorted(file.parent.name for file in (ROOT / "sample_jobs").glob("*/job.toml"))

HEAD = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
kind = "{kind}"
site = {{ time_zone = "UTC", holidays = false, climate = "{climate}", code = "{code}" }}
"""

ROOMS = {
    "hall": 'hall = { is = "hall", floor_area = "100 sq ft" }',
    "attic": 'attic = { is = "attic", floor_area = "100 sq ft" }',
    "crawl": 'crawl = { is = "crawl space", floor_area = "100 sq ft" }',
}

TRIP = """
[trips]
main = { booked = 2026-05-11T07:00:00, lasts = "1 d" }
"""

SHEET = """
[products.a]
name = "Product A"
class = "closed cell"
sheet = "sheet 1"
r = { "1 in" = "R-6.5" }
permeance = { "2 in" = "0.8 perm" }
lift = "2 in"
wait = "15 min"
"""


def asked(surface: str, *, more: str = "", trip: str = TRIP, **site: str) -> Asked:
    told = {"kind": "addition", "climate": "5A", "code": "IRC 2021", **site}
    room = ROOMS[surface.partition(".")[0]]
    body = f"\n[rooms]\n{room}\n\n[surfaces]\n{surface}\n"
    return real(HEAD.format(**told) + body + trip + more)


def answered(surface: str, *, more: str = "", **site: str) -> FoamAnswer:
    return foam(asked(surface, more=more, **site).case)


WALL = 'hall.wall = { is = "wall above grade", area = "100 sq ft net", cavity = "5.5 in", '


def test_a_class_or_depth_that_is_not_written_is_a_no() -> None:
    for foamed in ('foam = "closed cell" }', 'depth = "3 in" }'):
        answer = answered(WALL + foamed)
        assert not answer.is_yes
        assert "not written" in answer.sentence
        assert answer.day.fits is None
        assert any("not written" in step.says for step in answer.day.steps)


def test_open_cell_in_a_crawl_space_is_refused_until_somebody_allows_it() -> None:
    wall = 'crawl.wall = { is = "crawl wall", depth = "3 in", foam = "open cell" }'
    answer = answered(wall, kind="crawl space")
    assert answer.surfaces[0].suits.word == "does not suit"
    assert "does not suit" in answer.sentence
    allowed = """
[allowances]
here = { surfaces = "crawl.wall", allows = "this class here", by = "R. Imhof", at = 2026-05-01 }
"""
    answer = answered(wall, kind="crawl space", more=allowed)
    assert answer.surfaces[0].suits.word == "allowed"
    assert "R. Imhof" in answer.surfaces[0].suits.says


def test_a_rim_in_a_crawl_space_has_to_live_with_the_crawl_space() -> None:
    answer = answered('crawl.rim = { is = "rim joist", depth = "3 in", foam = "open cell" }')
    assert answer.surfaces[0].exposure == "crawl space"
    assert answer.surfaces[0].suits.word == "does not suit"


def test_another_edition_is_not_in_our_tables() -> None:
    answer = answered(WALL + 'depth = "3 in", foam = "closed cell" }', code="IRC 2024")
    assert answer.edition == ""
    assert "not in our tables" in answer.edition_says
    assert {line.state for line in answer.surfaces[0].rules} == {"not in our tables"}


def test_without_a_sheet_waits_are_not_computed_and_the_figure_is_a_caution() -> None:
    answer = answered(WALL + 'depth = "4 in", foam = "closed cell" }')
    waits = next(step for step in answer.day.steps if step.minutes is None)
    assert "not computed, product sheet needed" in waits.says
    assert "1.5 in to 2 in [secondary]" in waits.says
    assert answer.day.fits is None
    assert all(need.passes is None for need in answer.needs)


def test_a_sheet_gives_passes_and_says_that_it_did() -> None:
    answer = answered(WALL + 'depth = "4 in", foam = "closed cell" }', more=SHEET)
    assert [need.passes for need in answer.needs] == [2]
    assert answer.day.fits is True
    statuses = {mark.status for line in answer.surfaces[0].rules for mark in line.rests_on}
    assert "product sheet" in statuses


def test_a_trip_may_spray_less_than_is_agreed() -> None:
    wall = WALL + 'depth = "4 in", foam = "closed cell" }'
    trip = """
[trips]
main = { booked = 2026-05-11T07:00:00, depths = { "hall.wall" = "1.5 in" } }
"""
    need = foam(asked(wall, trip=trip).case).needs[0]
    assert (need.depth_inches, need.left_inches) == (1.5, 2.5)


def test_no_work_is_brought_where_the_board_covers_the_foam() -> None:
    site = asked(WALL + 'depth = "4 in", foam = "closed cell" }').site
    assert "barrier-coating" not in site.stays
    assert "bare-foam-allowed" not in {one.code for one in site.requirements}


def test_foam_that_no_board_covers_brings_its_coating() -> None:
    """An addition has no coating by itself, and no board hangs in an attic."""
    deck = 'attic.deck = { is = "roof deck", depth = "4 in", foam = "closed cell" }'
    job = asked(deck)
    assert job.site.stays["barrier-coating"].places == ("attic.deck",)
    assert foam(job.case).follows[0].works == ("barrier-coating",)


def test_a_coating_that_the_job_removed_is_asked_for_at_the_board_gate() -> None:
    deck = 'attic.deck = { is = "roof deck", depth = "4 in", foam = "closed cell" }'
    job = asked(deck, more="\n[work]\nbarrier-coating = false\n")
    assert "barrier-coating" not in job.site.stays
    (asked_for,) = [one for one in job.site.requirements if one.code == "bare-foam-allowed"]
    assert (asked_for.place, asked_for.demands.due.value) == ("attic.deck", "board")


def test_bare_foam_by_a_named_word_brings_no_work_and_the_gate_asks_for_the_paper() -> None:
    deck = 'attic.deck = { is = "roof deck", depth = "4 in", foam = "closed cell" }'
    word = """
[allowances]
bare = { surfaces = "attic.deck", allows = "bare foam", by = "R. Imhof", at = 2026-05-01 }
"""
    job = asked(deck, more=word)
    assert "barrier-coating" not in job.site.stays
    assert "bare-foam-allowed" in {one.code for one in job.site.requirements}


@pytest.mark.parametrize(
    ("climate", "is_owed"), [("5A", True), ("4C", True), ("4A", False), ("2A", False)]
)
def test_open_cell_brings_its_retarder_in_cold_zones_only(climate: str, *, is_owed: bool) -> None:
    job = asked(WALL + 'depth = "5.5 in", foam = "open cell" }', climate=climate)
    assert ("vapor-retarder" in job.site.stays) is is_owed


THIN = """
[products.a]
name = "Product A"
class = "closed cell"
sheet = "sheet 1"
r = { "1 in" = "R-6.5" }
permeance = { "1 in" = "1.6 perm", "3 in" = "0.6 perm" }
"""


@pytest.mark.parametrize(
    ("surface", "more", "climate"),
    [
        (WALL + 'depth = "5.5 in", foam = "open cell" }', "", "5A"),
        (WALL + 'depth = "5.5 in", foam = "open cell", outside_r = "R-7.5" }', "", "5A"),
        (WALL + 'depth = "5.5 in", foam = "open cell", outside_r = "R-5" }', "", "5A"),
        (WALL + 'depth = "1 in", product = "a" }', THIN, "7"),
        (WALL + 'depth = "3 in", product = "a" }', THIN, "7"),
        ('attic.deck = { is = "roof deck", depth = "9 in", foam = "open cell" }', "", "5A"),
        ('attic.deck = { is = "roof deck", depth = "9 in", foam = "open cell" }', "", "4C"),
        ('attic.deck = { is = "roof deck", depth = "1 in", product = "a" }', THIN, "6A"),
        ('attic.deck = { is = "roof deck", depth = "6 in", product = "a" }', THIN, "6A"),
        ('crawl.wall = { is = "crawl wall", depth = "3 in", foam = "closed cell" }', "", "4A"),
    ],
)
def test_what_foam_owes_is_laid_out_as_work_and_nothing_else_is(
    surface: str, more: str, climate: str
) -> None:
    """The answer about foam and the works of the job come to the same."""
    job = asked(surface, more=more, climate=climate)
    answer = foam(job.case)
    owed = {line.what: line.works for line in answer.follows if line.what not in ("look", "alarms")}
    laid_out = {"vapor-retarder", "ground-sheet"} & set(job.site.stays)
    wanted = {"retarder", "coating", "ground sheet"} & set(owed)
    assert bool(laid_out) is bool(wanted)
    assert all(owed.values()), owed


def test_the_ground_sheet_that_foam_brings_holds_the_spray_up_until_it_lies() -> None:
    from readiness.questions.check import check

    crawl = 'crawl.wall = { is = "crawl wall", depth = "3 in", foam = "closed cell" }'
    today = TRIP.replace("05-11", "05-04")
    job = asked(crawl, trip=today)
    stay = job.site.stays["ground-sheet"]
    assert (stay.places, stay.order["crawl.wall"].value) == (("crawl",), "before")
    assert "ground-sheet" in str(check(job.case).blockers)
    without = asked(crawl, trip=today, more="\n[work]\nground-sheet = false\n")
    assert "ground-sheet" not in without.site.stays
    assert "ground-sheet" not in str(check(without.case).blockers)


def test_the_look_at_the_foam_and_the_alarms_follow_too() -> None:
    answer = answered(WALL + 'depth = "4 in", foam = "closed cell" }')
    told = {line.what: (line.works, line.gate) for line in answer.follows}
    assert told["look"] == (("insulation-approval",), "board")
    assert told["alarms"] == (("alarms-working",), "board")


def test_a_rule_that_is_only_told_stands_beside_and_keeps_its_mark() -> None:
    answer = answered(WALL + 'depth = "5.5 in", foam = "open cell" }')
    told = {line.says.partition(":")[0]: line for line in answer.beside}
    assert "Open-cell in federal guidance" in told
    assert "Vented space under wood shingles" not in told
    assert {line.state for line in answer.beside} == {"told"}
    closed = answered(WALL + 'depth = "3 in", foam = "closed cell" }')
    assert "Open-cell in federal guidance" not in str(closed.beside)


def test_foam_that_is_not_written_brings_nothing() -> None:
    job = asked('attic.deck = { is = "roof deck" }')
    assert "barrier-coating" not in job.site.stays


@pytest.mark.parametrize("sample", SAMPLES)
@pytest.mark.parametrize("option", ["", "--why", "--json"])
def test_every_sample_is_answered(sample: str, option: str) -> None:
    call = ["foam", str(ROOT / "sample_jobs" / sample), *([option] if option else [])]
    ran = CliRunner().invoke(readiness, call, standalone_mode=False, catch_exceptions=False)
    assert ran.return_value == Exit.YES
    assert "isocyanates" in ran.output
    if option == "--why":
        assert "from:" in ran.output


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_line_of_every_sample_names_what_it_rests_on(sample: str) -> None:
    from readiness.desk.desk import open_desk

    answer = foam(open_desk(ROOT / "sample_jobs" / sample).case())
    lines = [line for surface in answer.surfaces for line in surface.rules]
    assert all(line.rests_on for line in lines if line.state != "not in our tables")
    assert all(surface.suits.rests_on for surface in answer.surfaces)
    unverified = {mark.what for mark in answer.unverified}
    used = {
        mark.what
        for line in [*lines, *answer.asked]
        for mark in line.rests_on
        if mark.status == "from memory"
    }
    assert used <= unverified
    assert all(
        line.is_unverified is any(mark.status == "from memory" for mark in line.rests_on)
        for line in [*lines, *answer.asked, *answer.beside]
    )
    assert answer.day.fits


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ('depth = "3 in" }', "(wall above grade): 3 in, class not written"),
        ('foam = "closed cell" }', "closed cell, no product named, depth not written"),
        ("}", "(wall above grade): no foam is written"),
    ],
)
def test_what_is_not_written_of_a_surface_is_said_in_words(written: str, told: str) -> None:
    text = foam_text(answered((WALL + written).replace(", }", " }")))
    assert told in " ".join(text.split())


def test_nothing_says_go_or_safe_or_approved() -> None:
    for sample in SAMPLES:
        call = ["foam", str(ROOT / "sample_jobs" / sample), "--why"]
        text = CliRunner().invoke(readiness, call, standalone_mode=False).output.casefold()
        assert not [word for word in (" safe", "go ahead", "complies", "permitted") if word in text]


def test_what_the_diary_says_is_sprayed_is_not_loaded_again() -> None:
    """Half of a wall is done: the share is told, and drum sets and hours are for the rest."""
    from dataclasses import replace

    from readiness.diary.seen import TripNews
    from readiness.job.origin import Origin
    from readiness.telling.foam_day import FoamDay
    from readiness.telling.foam_lines import FoamTeller

    case = asked(WALL + 'depth = "4 in", foam = "closed cell" }', more=SHEET).case
    whole = FoamDay(FoamTeller(case), "main", case.outlook.seen.as_of)
    news = TripNews(Origin("diary"), shares={"hall.wall": 0.5})
    seen = replace(case.outlook.seen, trips={"main": news})
    half_case = replace(case, outlook=replace(case.outlook, seen=seen))
    half = FoamDay(FoamTeller(half_case), "main", case.outlook.seen.as_of)
    assert [line.share_done for line in half.needs()] == [0.5]
    assert half.drums()[0].board_feet == pytest.approx(whole.drums()[0].board_feet / 2, abs=0.1)


def test_a_step_takes_the_hours_of_the_crew_and_leaves_the_night_out() -> None:
    """The steps follow each other from the arrival on, and each takes its own minutes."""
    big = WALL.replace("100 sq ft", "4000 sq ft") + 'depth = "4 in", foam = "closed cell" }'
    answer = answered(big, more=SHEET)
    told = [step for step in answer.day.steps if step.spans]
    assert told[0].spans[0].from_ == answer.instants.on
    spans = [span for step in told for span in step.spans]
    assert all(a.until <= b.from_ for a, b in pairwise(spans))
    assert all(span.from_.date() == span.until.date() for span in spans)
    assert len({span.from_.date() for span in spans}) > 1, "longer than a day"
    for step in told:
        minutes = sum((span.until - span.from_).total_seconds() / 60 for span in step.spans)
        assert (minutes, step.spans[-1].until) == (step.minutes, step.until)
    assert answer.day.planned_until is not None
    assert answer.day.planned_until.isoformat() == "2026-05-11T17:00:00+00:00"
