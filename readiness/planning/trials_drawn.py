"""What is uncertain, and how it is drawn: lengths, delays, looks that fail.

Everything is drawn once per block of trials, in the order of the list, so that questions compared
with one another meet the same trials.

Invariant: the same seed, block and list give the same draws; what has no spread is not drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.planning.trials_tables import Minutes

Shares = npt.NDArray[np.float32]
"""For each trial a number between 0 and 1."""


class Shape(StrEnum):
    """How three points become a distribution."""

    TRIANGULAR = "triangular"
    BETA_PERT = "beta-PERT"


class Stretch(NamedTuple):
    """The least, the likely and the most minutes of one task."""

    task: int
    least: int
    likely: int
    most: int


@dataclass(frozen=True, slots=True)
class Spread:
    """Tasks whose lengths are drawn together: the parts of one stay are slow or quick as one."""

    id: str
    stretches: tuple[Stretch, ...]

    @property
    def mode(self) -> float:
        """Return where the likely length lies between the least and the most, from 0 to 1."""
        least = sum(stretch.least for stretch in self.stretches)
        most = sum(stretch.most for stretch in self.stretches)
        likely = sum(stretch.likely for stretch in self.stretches)
        return (likely - least) / (most - least) if most > least else 0.0


@dataclass(frozen=True, slots=True)
class Delay:
    """A start that comes later by some steps of working time: nobody came, a thing was missing."""

    id: str
    minutes: Mapping[int, int]
    """Minutes of one step by the task that is held up."""
    tails: tuple[float, ...]
    """Chance of at least one step, of at least two, and so on."""


@dataclass(frozen=True, slots=True)
class Repeat:
    """Looks that may fail, all of one slot together, and be corrected and seen again."""

    id: str
    looks: tuple[int, ...]
    tails: tuple[float, ...]
    """Chance that it fails at least once, at least twice, and so on."""


@dataclass(frozen=True, slots=True)
class Uncertain:
    """Everything that is drawn."""

    spreads: tuple[Spread, ...] = ()
    delays: tuple[Delay, ...] = ()
    repeats: tuple[Repeat, ...] = ()
    shape: Shape = Shape.TRIANGULAR


@dataclass(frozen=True, slots=True)
class Drawn:
    """One block of trials."""

    minutes: dict[int, Minutes]
    """Length by task, where it is drawn."""
    delays: dict[str, Shares] = field(repr=False)
    """By id of the delay."""
    repeats: dict[str, Shares] = field(repr=False)
    """By id of the looks."""
    weather: Shares = field(repr=False)
    """For the day of the arrival, whichever it is: days compared meet the same luck."""


def drawn(uncertain: Uncertain, seed: int, block: int, trials: int) -> Drawn:
    """Return the draws of one block."""
    source = np.random.Generator(np.random.SFC64(np.random.SeedSequence([seed, block])))
    minutes: dict[int, Minutes] = {}
    for spread in uncertain.spreads:
        share = standard(uncertain.shape, spread.mode, source, trials)
        for stretch in spread.stretches:
            if stretch.most > stretch.least:
                minutes[stretch.task] = lengths(share, stretch)
    delays = {delay.id: source.random(trials, dtype=np.float32) for delay in uncertain.delays}
    repeats = {repeat.id: source.random(trials, dtype=np.float32) for repeat in uncertain.repeats}
    return Drawn(minutes, delays, repeats, source.random(trials, dtype=np.float32))


def standard(shape: Shape, mode: float, source: np.random.Generator, trials: int) -> Shares:
    """Return draws from 0 to 1 with the given mode.

    Source: the triangular one by inverting its distribution function; beta-PERT is the beta
    distribution with parameters 1 + 4 mode and 5 - 4 mode.
    """
    if shape is Shape.BETA_PERT:
        return source.beta(1 + 4 * mode, 5 - 4 * mode, trials).astype(np.float32)
    share = source.random(trials, dtype=np.float32)
    rising = np.sqrt(share * np.float32(mode))
    falling = 1 - np.sqrt((1 - share) * np.float32(1 - mode))
    chosen: Shares = np.where(share < mode, rising, falling)
    return chosen


def lengths(share: Shares, stretch: Stretch) -> Minutes:
    """Return whole minutes, rounded up, never less than one."""
    exact = share * np.float32(stretch.most - stretch.least)
    whole: Minutes = np.ceil(exact).astype(np.int32) + np.int32(stretch.least)
    return np.maximum(whole, 1) if stretch.least < 1 else whole


def steps(share: Shares, tails: tuple[float, ...]) -> Minutes:
    """Return how many steps each trial has: as many as there are chances above its number."""
    count = np.zeros(len(share), dtype=np.int32)
    for tail in tails:
        count += share < tail
    return count
