"""Which tasks wait for which: usual links join related places, written ones exactly two."""

from __future__ import annotations

import pytest

from readiness.site.task import LinkKind
from tests.builders import ROOMS, TRIP, Asked, asked, facts, laid_out, told, work

TWO_KINDS = facts(
    work={
        "pipes": work(trade="plumber"),
        "wires": work(starts_after=[{"end_of": "pipes", "why": "pipes go first"}]),
        "frame": work(trade="framer", scope="house"),
    }
)


def pairs(job: Asked, earlier: str, later: str) -> set[tuple[str, str]]:
    """Return the links from the parts of one stay to those of another."""
    return {
        (source, target)
        for source, target in job.links()
        if source.split("@")[0] == earlier and target.split("@")[0] == later
    }


def test_usual_links_join_related_places_only() -> None:
    job = asked(ROOMS + "[work]\npipes = {}\nwires = {}\n" + TRIP, tables=TWO_KINDS)
    assert pairs(job, "pipes", "wires") == {
        ("pipes@bath", "wires@bath"),
        ("pipes@kitchen", "wires@kitchen"),
    }


def test_a_house_contains_its_rooms() -> None:
    kinds = facts(
        work={
            "frame": work(trade="framer", scope="house"),
            "wires": work(starts_after=[{"end_of": "frame"}]),
        }
    )
    job = asked(ROOMS + "[work]\nframe = {}\nwires = {}\n" + TRIP, tables=kinds)
    assert pairs(job, "frame", "wires") == {("frame", "wires@bath"), ("frame", "wires@kitchen")}


def test_a_surface_through_several_rooms_is_related_to_each() -> None:
    rooms = ROOMS + 'rim = { is = "wall above grade", rooms = ["bath", "kitchen"] }\n'
    kinds = facts(
        work={
            "pipes": work(trade="plumber"),
            "caulk": work(scope="surface", starts_after=[{"end_of": "pipes"}]),
        }
    )
    job = asked(rooms + "[work]\npipes = {}\ncaulk = {}\n" + TRIP, tables=kinds)
    assert pairs(job, "pipes", "caulk") == {
        ("pipes@bath", "caulk@bath.outer"),
        ("pipes@kitchen", "caulk@kitchen.outer"),
        ("pipes@bath", "caulk@rim"),
        ("pipes@kitchen", "caulk@rim"),
    }


def test_a_stay_of_all_places_together_is_related_to_its_own_places_only() -> None:
    job = asked(
        ROOMS.replace("[surfaces]", "hall = {}\n[surfaces]")
        + '[work]\npipes = { in = ["hall", "kitchen", "bath"] }\n'
        + 'wires = { in = ["bath", "kitchen"], together = true }\n'
        + TRIP,
        tables=TWO_KINDS,
    )
    assert pairs(job, "pipes", "wires") == {("pipes@bath", "wires"), ("pipes@kitchen", "wires")}


def test_a_written_link_joins_exactly_the_two_it_names() -> None:
    """The end of the whole earlier stay to the start of the whole later one."""
    text = (
        '[work]\npipes = { trade = "plumber", in = ["bath", "kitchen"], takes = "2 d" }\n'
        'wires = { trade = "electrician", in = ["kitchen", "bath"], takes = "2 d", '
        'starts_after = [{ end_of = "pipes" }] }\n'
    )
    job = asked(ROOMS + text + TRIP)
    assert pairs(job, "pipes", "wires") == {("pipes@kitchen", "wires@kitchen")}
    assert told(job.start("wires@kitchen")) == "2026-05-06 07:00"


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ('starts_after = [{ end_of = "pipes" }]', LinkKind.END_TO_START),
        ('starts_after = [{ start_of = "pipes" }]', LinkKind.START_TO_START),
        ('finishes_after = [{ end_of = "pipes" }]', LinkKind.END_TO_END),
        ('finishes_after = [{ start_of = "pipes" }]', LinkKind.START_TO_END),
    ],
)
def test_each_wording_gives_its_kind_of_link(written: str, kind: LinkKind) -> None:
    text = (
        '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "2 d" }\n'
        f'wires = {{ trade = "electrician", in = ["bath"], takes = "2 d", {written} }}\n'
    )
    site = laid_out(ROOMS + text + TRIP)
    kinds = [
        link.kind
        for link in site.links
        if site.tasks[link.source].stay == "pipes" and site.tasks[link.target].stay == "wires"
    ]
    assert kinds == [kind]


def test_several_links_between_one_pair_all_count() -> None:
    text = (
        '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "1 d" }\n'
        'wires = { trade = "electrician", in = ["bath"], takes = "1 d", starts_after = ['
        '{ end_of = "pipes", gap = "1 d" }, { start_of = "pipes", gap = "48 h elapsed" }] }\n'
    )
    job = asked(ROOMS + text + TRIP)
    assert told(job.start("wires@bath")) == "2026-05-06 07:00"
    only_first = text.replace(', { start_of = "pipes", gap = "48 h elapsed" }', "")
    assert told(asked(ROOMS + only_first + TRIP).start("wires@bath")) == "2026-05-06 07:00"
    only_second = text.replace('{ end_of = "pipes", gap = "1 d" }, ', "")
    assert told(asked(ROOMS + only_second + TRIP).start("wires@bath")) == "2026-05-06 07:00"
    longer = text.replace("48 h", "55 h")
    assert told(asked(ROOMS + longer + TRIP).start("wires@bath")) == "2026-05-06 14:00"


def test_a_working_gap_counts_the_days_of_the_job() -> None:
    """Also between two trades that work other hours: a day of a gap is the job's day."""
    text = (
        '[trades]\nplumber = { hours = "Mon-Sat 06:00-18:00" }\n'
        'electrician = { hours = "Mon-Sat 06:00-18:00" }\n'
        '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "12 h", '
        "booked = 2026-05-15 }\n"
        'wires = { trade = "electrician", in = ["bath"], takes = "1 h", '
        'starts_after = [{ end_of = "pipes", gap = "1 d" }] }\n'
    )
    job = asked(ROOMS + text + TRIP)
    assert told(job.finish("pipes@bath")) == "2026-05-15 18:00"
    assert told(job.start("wires@bath")) == "2026-05-18 15:00"


def test_work_before_and_after_is_joined_to_spray_and_release() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'order = "before" }\n'
        'tub = { trade = "plumber", in = ["bath"], order = { "bath.outer" = "after" }, '
        'takes = "1 d" }\n'
        'trim = { trade = "spray", in = ["bath"], order = "closing up", takes = "1 h" }\n'
        'paint = { trade = "contractor", in = ["bath"], order = "free", takes = "1 h" }\n'
    )
    links = asked(ROOMS + text + TRIP).links()
    assert ("wires@bath", "first:spray@bath.outer") in links
    assert ("wires@bath", "first:spray@kitchen.outer") not in links
    assert ("first:release", "tub@bath") in links
    assert ("first:release", "trim@bath") in links
    assert not any("paint@bath" in pair for pair in links)
    assert ("trim@bath", "board start") in links
    assert ("tub@bath", "board start") not in links


def test_usual_links_to_work_that_is_not_there_are_dropped_with_a_reason() -> None:
    site = laid_out(ROOMS + "[work]\nwires = {}\npipes = false\n" + TRIP, TWO_KINDS)
    assert [(drop.work, drop.other) for drop in site.dropped] == [("wires", "pipes")]
    assert "switched off" in site.dropped[0].reason


def test_written_waits_may_name_looks_and_trips() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d", '
        'approval = "wiring-look" }\n'
        'tape = { trade = "framer", in = ["bath"], order = "before", takes = "1 h", '
        'starts_after = [{ end_of = "wiring-look" }] }\n'
        'paint = { trade = "contractor", in = ["bath"], takes = "1 h", '
        'starts_after = [{ end_of = "first" }], finishes_after = [{ start_of = "first" }] }\n'
        "[approvals]\nwiring-look = []\n"
    )
    links = asked(ROOMS + text + TRIP).links()
    assert ("wiring-look@bath.outer", "tape@bath") in links
    assert ("first:release", "paint@bath") in links
    assert ("first:arrival", "paint@bath") in links


def test_a_wait_for_a_look_means_the_one_behind_the_foam_where_there_are_two() -> None:
    text = (
        '[work]\nmeter = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", approval = "wiring-look" }\n'
        'wires = { trade = "electrician", in = ["bath"], order = "after", takes = "1 d", '
        'approval = "wiring-look" }\n'
        'tape = { trade = "framer", in = ["bath"], order = "before", takes = "1 h", '
        'starts_after = [{ end_of = "wiring-look" }] }\n'
        "[approvals]\nwiring-look = []\n"
    )
    links = asked(ROOMS + text + TRIP).links()
    assert ("wiring-look@bath.outer", "tape@bath") in links
    assert ("wiring-look:in front of the foam@bath.outer", "tape@bath") not in links


def test_where_the_foam_lies_between_two_works_the_usual_wait_is_dropped() -> None:
    """Pipes follow the foam in the bath and wires come before it; the crews keep their order."""
    text = (
        '[work]\npipes = { in = ["bath", "kitchen"], '
        'order = { "bath.outer" = "after", "kitchen.outer" = "free" } }\n'
        'wires = { in = ["kitchen", "bath"] }\n'
    )
    job = asked(ROOMS + text + TRIP, tables=TWO_KINDS)
    assert pairs(job, "pipes", "wires") == set()
    assert ("pipes@bath", "pipes@kitchen") in job.links()
    assert ("wires@kitchen", "wires@bath") in job.links()
    assert {drop.work for drop in job.site.dropped} == {"wires"}
