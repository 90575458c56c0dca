"""Trials against published and recomputed figures, a library of distributions, a closed optimum.

What is drawn is compared within four standard errors, and the seed is fixed.
"""

from __future__ import annotations

import tomllib
from functools import cache
from math import exp, log, sqrt
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats

from readiness.job.instants import NEVER
from readiness.planning.trials import Outcome, Subject, Wait, tried
from readiness.planning.trials_days import Prices, Waiting, day_outcome, quantile
from readiness.planning.trials_drawn import Shape, Spread, Stretch, Uncertain, standard
from readiness.schedule.network import compiled
from readiness.schedule.state import State
from tests.outside.test_worked_examples import EXAMPLES
from tests.schedule.builders import MONDAY, link, task

FIGURES: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("chance_figures.toml").read_text(encoding="utf-8")
)
ESTIMATES = {
    name: three for name, three in FIGURES["estimates"].items() if name not in {"source", "status"}
}
WEEK = 10_000
"""Minutes that stand for a week, so that whole minutes round nothing that shows."""
TRIALS = 100_000


def plant(shape: Shape, names: list[str]) -> Subject:
    """Return some works of the plant as the subject of trials, on the clock."""
    works = EXAMPLES["plant-of-14-works"]["works"]
    number = {name: index for index, name in enumerate(names)}
    tasks = [
        task(index, round(ESTIMATES[name][1] * WEEK), None, name) for name, index in number.items()
    ]
    links = [
        link(number[earlier], number[name])
        for name in names
        for earlier in works[name]["after"]
        if earlier in number
    ]
    waited_for = {each.source for each in links}
    spreads = tuple(
        Spread(name, (Stretch(index, *(round(end * WEEK) for end in ESTIMATES[name])),))
        for name, index in number.items()
    )
    return Subject(
        network=compiled(tasks, links, None),
        calendars=(),
        state=State(as_of=MONDAY, held_by_as_of=frozenset(number.values())),
        within=frozenset(number.values()),
        waits=tuple(
            Wait(index, 2 * index + 1, 0, elapsed=False, fixed=None)
            for index in number.values()
            if index not in waited_for
        ),
        uncertain=Uncertain(spreads=spreads, shape=shape),
        group={index: index for index in number.values()},
        groups=len(names),
        offices={},
    )


@cache
def outcome(shape: Shape) -> Outcome:
    """Return the trials of the whole plant."""
    return tried(plant(shape, list(ESTIMATES)), TRIALS, 2026)[0]


def weeks(found: Outcome) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return the length of the plant in each trial."""
    return (found.opens - MONDAY) / WEEK


def near_share(found: float, expected: float) -> bool:
    """Say whether a share lies within four standard errors, its rounding left aside."""
    return abs(found - expected) <= 4 * sqrt(expected * (1 - expected) / TRIALS) + 0.0005


@pytest.mark.parametrize("shape", list(Shape))
def test_length_and_spread_are_those_of_eight_million_trials(shape: Shape) -> None:
    expected, found = FIGURES["simulated"][shape.value], weeks(outcome(shape))
    error = expected["deviation"] / sqrt(TRIALS)
    assert found.mean() == pytest.approx(expected["mean"], abs=4 * error + 0.001)
    assert found.std() == pytest.approx(expected["deviation"], abs=4 * error)
    for week, share in expected["by_week"].items():
        assert near_share(float((found <= int(week)).mean()), share)


@pytest.mark.parametrize("shape", list(Shape))
def test_quantiles_are_those_of_eight_million_trials(shape: Shape) -> None:
    """Told in weeks to two decimals: the share below the figure is what can be compared."""
    found = weeks(outcome(shape))
    for share, at in FIGURES["simulated"][shape.value]["quantiles"].items():
        expected = float(share)
        error = 4 * sqrt(expected * (1 - expected) / TRIALS)
        assert (
            (found <= at - 0.01).mean() - error <= expected <= (found <= at + 0.01).mean() + error
        )
        told = quantile(outcome(shape).opens, expected)
        assert (told.at - MONDAY) / WEEK == pytest.approx(np.quantile(found, expected), abs=0.001)
        assert told.low <= told.at <= told.high


def test_shares_on_the_chain_are_those_of_eight_million_trials() -> None:
    found = outcome(Shape.BETA_PERT).chain / TRIALS
    for name, share in FIGURES["simulated"]["beta-PERT"]["on_chain"].items():
        assert near_share(found[list(ESTIMATES).index(name)], share), name


def test_the_textbook_figure_comes_out_of_its_own_formula() -> None:
    """Mean (o + 4m + p) / 6 and variance ((p - o) / 6)**2 along one path, then the normal law."""
    book = FIGURES["textbook"]
    path = [ESTIMATES[name] for name in book["path"]]
    mean = sum((least + 4 * likely + most) / 6 for least, likely, most in path)
    variance = sum(((most - least) / 6) ** 2 for least, _, most in path)
    assert (mean, variance) == (pytest.approx(book["mean"]), pytest.approx(book["variance"]))
    by_47 = stats.norm.cdf(47, mean, sqrt(variance))
    assert by_47 == pytest.approx(book["by_week_47"], abs=0.00005)


def test_the_path_alone_has_the_moments_of_its_distribution_and_the_whole_is_less_likely() -> None:
    """Beta-PERT has the book's mean and the variance (mu - o)(p - mu) / 7; merging costs chance."""
    book = FIGURES["textbook"]
    alone = weeks(tried(plant(Shape.BETA_PERT, book["path"]), TRIALS, 2026)[0])
    three = [ESTIMATES[name] for name in book["path"]]
    means = [(least + 4 * likely + most) / 6 for least, likely, most in three]
    variance = sum(
        (mean - least) * (most - mean) / 7
        for (least, _, most), mean in zip(three, means, strict=True)
    )
    assert variance == pytest.approx(9.286, abs=0.001)
    assert alone.mean() == pytest.approx(book["mean"], abs=4 * sqrt(variance / TRIALS) + 0.001)
    assert alone.var() == pytest.approx(variance, abs=4 * variance * sqrt(2 / TRIALS))
    whole = float((weeks(outcome(Shape.BETA_PERT)) <= 47).mean())
    assert whole < book["by_week_47"] - 4 * sqrt(0.8413 * 0.1587 / TRIALS)


@pytest.mark.parametrize("mode", [0.0, 0.1, 0.3, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("shape", list(Shape))
def test_draws_follow_the_distribution_of_the_library(shape: Shape, mode: float) -> None:
    """Moments within four standard errors, and no share further off than chance allows (0.1 %)."""
    law = (
        stats.triang(mode) if shape is Shape.TRIANGULAR else stats.beta(1 + 4 * mode, 5 - 4 * mode)
    )
    found = standard(shape, mode, np.random.default_rng(7), TRIALS).astype(np.float64)
    mean, variance = law.stats("mv")
    assert found.mean() == pytest.approx(float(mean), abs=4 * sqrt(float(variance) / TRIALS))
    assert found.var() == pytest.approx(float(variance), rel=4 * sqrt(2 / TRIALS))
    assert stats.kstest(found, law.cdf).statistic < 1.95 / sqrt(TRIALS)


def waiting_for(opens: np.ndarray[Any, np.dtype[np.int64]]) -> tuple[Outcome, Waiting]:
    """Return trials that open at some instants and that nothing closes, and their waiting."""
    nothing = np.full(len(opens), NEVER)
    luck = np.ones(len(opens), dtype=np.float32)
    found = Outcome(opens, nothing, luck, {}, np.zeros(0, dtype=np.int64))
    return found, Waiting(opens, lambda instant: instant, WEEK, MONDAY)


def test_the_day_to_book_is_the_quantile_of_the_newsvendor() -> None:
    """Lateness that thins out evenly, one day in five, makes a fixed price the newsvendor's.

    With an opening that is exponential with rate r the chance of a wasted trip is r times the days
    it is short by, so a trip of price t is a price of t r for each day short, against d for each
    day too long: the best day is the quantile t r / (t r + d).
    Source: the newsvendor's critical ratio, Arrow, Harris & Marschak, Optimal inventory policy,
    Econometrica 19 (1951), from memory.
    """
    rate, trip, day = 0.2, 3_000.0, 400.0
    draws = np.random.default_rng(11).exponential(1 / rate, TRIALS)
    opens = MONDAY + np.ceil(draws * WEEK).astype(np.int64)
    ratio = trip * rate / (trip * rate + day)
    best = -log(1 - ratio) / rate
    assert quantile(opens, ratio).at == pytest.approx(MONDAY + best * WEEK, abs=0.1 * WEEK)
    found, waiting = waiting_for(opens)
    prices = Prices(trip, day, 0.0)
    costs = {}
    for days in (best - 2, best - 1, best, best + 1, best + 2):
        arrival = MONDAY + round(days * WEEK)
        cost = day_outcome(found, arrival, 0.0, waiting).cost(prices)
        short = exp(-rate * days)
        closed = trip * short + day * (days - (1 - short) / rate)
        assert cost.value == pytest.approx(closed, abs=4 * cost.error)
        costs[days] = cost.value
    assert min(costs, key=costs.__getitem__) == best
