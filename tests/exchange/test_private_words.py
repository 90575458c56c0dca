"""What must not leave a job is known by its words; what a site talks about all day is not."""

from __future__ import annotations

import pytest

from readiness.exchange.private_words import looks_private


@pytest.mark.parametrize(
    "text",
    [
        "door code 4711",
        "Code is #2231",
        "alarm pin 9087",
        "key under the mat",
        "lock box on the meter",
        "son has asthma",
        "she is allergic to cats",
        "tenant came home from hospital",
        "$5,400 extra",
        "they want 900 dollars for it",
        "second trip costs them too much",
        "the invoice is open",
    ],
)
def test_health_doors_and_money_are_recognized(text: str) -> None:
    assert looks_private(text)


@pytest.mark.parametrize(
    "text",
    [
        "floor deck wet",
        "code office wants the tag, IRC 2021",
        "moisture 17 % at the north wall",
        "window sill milled, chilled water line still open",
        "drum set 4 from lot 88123",
        "depth 3.4 3.6 3.1e",
        "key stone over the door cracked",
        "will be there at 7:00 with 300 ft of hose",
    ],
)
def test_the_talk_of_a_site_goes_along(text: str) -> None:
    assert not looks_private(text)
