"""The prices of whoever owns the job: read as they are written, and never guessed."""

from __future__ import annotations

import pytest

from tests.job.builders import checked, job_text, loaded


def told(costs: str) -> list[str]:
    """Return the problems of a table of costs, without the file."""
    return [str(problem).partition(": ")[2] for problem in checked(job_text(costs=costs))]


def test_prices_are_read_as_they_are_written() -> None:
    job, _ = loaded(job_text(costs='currency = "USD"\ntrip = 850\ntrade_days = { plumber = 0 }'))
    assert (job.costs.currency, job.costs.trip, job.costs.trade_days) == (
        "USD",
        850,
        {"plumber": 0},
    )


def test_what_is_not_written_has_no_price() -> None:
    job, _ = loaded(job_text())
    assert job.costs.trip is None
    assert job.costs.day is None


@pytest.mark.parametrize(
    ("costs", "sentence"),
    [
        ("trip = -1", "costs.trip: -1 is not a number from 0"),
        ('trip = "850"', 'costs.trip: "850" is not a number'),
        ("trip = nan", "costs.trip: nan is not a number"),
        ("trips = 850", "costs.trips: trips is not known here; did you mean trip?"),
        (
            "trade_days = { plumbr = 3 }",
            "costs.trade_days.plumbr: plumbr is no known trade; did you mean plumber?",
        ),
    ],
)
def test_a_price_that_is_none_is_refused_by_its_key(costs: str, sentence: str) -> None:
    (problem,) = told(costs)
    assert sentence in problem
