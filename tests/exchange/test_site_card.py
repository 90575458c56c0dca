"""The text of a site card: a valid job file that holds what is listed, and nothing else."""

from __future__ import annotations

import tomllib

from readiness.exchange.site_card import site_card
from readiness.facts.loader import load_facts
from readiness.job.loading import load_job_text
from tests.builders import HEAD, ROOMS, TRIP

JOB = (
    "board = 2026-05-18\n"
    + HEAD.replace("holidays", 'address = "3 \\"Old\\" Lane", contact = "Doyle", holidays')
    + ROOMS
    + TRIP
    + """
[trades]
electrician = { name = "Bao Electric", phone = "555-0141", email = "bao@bao.example.com" }
spray = { name = "Pell Foam", phone = "555-0142" }

[work.cable]
title = "Pull cable"
trade = "electrician"
in = ["bath"]
order = "before"
takes = "2 h"
note = "door code 4711"

[costs]
trip = 98765
"""
)


def card() -> str:
    job, _ = load_job_text(JOB, "job.toml", load_facts())
    return site_card(job, job.trips, ['one = { yes = ["heat-on"], at = 2026-05-01 }'], [])


def test_a_card_is_a_job_file_of_its_own() -> None:
    job, _ = load_job_text(card(), "card.toml", load_facts())
    assert job.card
    assert set(job.surfaces) == {"bath.outer", "kitchen.outer"}
    assert set(job.trips) == {"first"}
    assert job.site.address == '3 "Old" Lane'
    assert job.key == "5b0e77a1"


def test_a_card_says_how_many_rigs_come() -> None:
    """Without it the card would reckon the trip as long as with one."""
    job, _ = load_job_text(
        JOB.replace("first = {", "first = { rigs = 2,"), "job.toml", load_facts()
    )
    sent, _ = load_job_text(site_card(job, job.trips, [], []), "card.toml", load_facts())
    assert sent.trips["first"].rigs == 2


def test_a_card_holds_these_tables_and_no_other() -> None:
    held = set(tomllib.loads(card()))
    assert held == {
        "name",
        "key",
        "card",
        "site",
        "units",
        "rooms",
        "surfaces",
        "trades",
        "trips",
        "answers",
    }


def test_notes_work_dates_of_ours_and_numbers_of_others_stay_at_home() -> None:
    text = card()
    left = ("4711", "98765", "cable", "2026-05-18", "555-0141", "example.com")
    assert [word for word in left if word in text] == []
    assert "555-0142" in text


def test_a_product_goes_along_as_its_class() -> None:
    """The spray company knows its own sheets; a card of it needs no other."""
    products = '\n[products.a]\nclass = "open cell"\nsheet = "sheet 1"\n'
    text = JOB.replace('area = "100 sq ft" }', 'area = "100 sq ft", product = "a" }') + products
    job, _ = load_job_text(text, "job.toml", load_facts())
    sent, _ = load_job_text(site_card(job, job.trips, [], []), "card.toml", load_facts())
    assert {row.foam for row in sent.surfaces.values()} == {"open cell"}
    assert not sent.products
