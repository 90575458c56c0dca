"""The verdict on each surface, and rolled up to rooms and trips.

Invariant: a surface gets a yes only if none of its three flags is set; the word of a trip follows
from the union of the flags of its surfaces, and no flag or standing is lost on the way.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from readiness.facts.vocabulary import Category, Gate
from readiness.gates.life import Life, life_of
from readiness.gates.standings import Ledger, Standing, StandingState
from readiness.gates.windows import Closer, SprayWindow, windows_of
from readiness.job.instants import EARLIER
from readiness.job.places import surfaces_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readiness.diary.seen import Stop
    from readiness.schedule.outlook import Outlook


class Verdict(StrEnum):
    """The words for what is asked before the gun starts."""

    STOPPED = "stopped"
    CROSSED = "crossed"
    TOO_LATE = "too late"
    TOO_EARLY = "too early"
    NOT_PREPARED = "not prepared"
    ON_COURSE = "on course"
    READY = "ready"


DONE = frozenset({Life.PASSED, Life.CLOSED_IN, Life.LEFT_EXPOSED})
"""Words for a surface that has passed everything between the foam and the board."""

YES = frozenset({Verdict.ON_COURSE, Verdict.READY, *DONE})


@dataclass(frozen=True, slots=True)
class Flags:
    """Why a surface is not ready: too early, too late, not prepared."""

    early: bool = False
    late: bool = False
    unprepared: bool = False

    def __or__(self, other: Flags) -> Flags:
        """Return the union, as rooms, trips and jobs take it."""
        return Flags(
            self.early or other.early,
            self.late or other.late,
            self.unprepared or other.unprepared,
        )

    @property
    def any(self) -> bool:
        """Say whether one of them is set."""
        return self.early or self.late or self.unprepared

    def word(self, gate: Gate) -> Verdict:
        """Return the first word that holds."""
        if self.early and self.late:
            return Verdict.CROSSED
        if self.late:
            return Verdict.TOO_LATE
        if self.early:
            return Verdict.TOO_EARLY
        if self.unprepared:
            return Verdict.NOT_PREPARED
        return Verdict.READY if gate in {Gate.ROLL, Gate.GUN} else Verdict.ON_COURSE


class SurfaceVerdict(NamedTuple):
    """How one surface stands at a gate for an asked arrival."""

    surface: str
    trip: str
    flags: Flags
    word: Verdict | Life
    window: SprayWindow | None
    """None for a surface that is reserved."""
    failing: tuple[int, ...]
    """Requirements that stop it."""
    late_by: tuple[Closer, ...]
    """What is committed or standing too early for this arrival."""
    stop: Stop | None
    kept_out_by: str
    """Another trip whose keep-out runs here at the asked arrival; empty if there is none."""
    counts: bool
    """It belongs to the asked trip and is not reserved, sprayed or closed in; before board sprayed
    surfaces are the ones that count."""

    @property
    def held(self) -> bool:
        """Say whether something holds it up."""
        return self.flags.any or self.stop is not None


class Verdicts(NamedTuple):
    """All verdicts of one question."""

    gate: Gate
    on: int
    trip: str
    word: Verdict | Life
    flags: Flags
    surfaces: Mapping[str, SurfaceVerdict]
    standings: tuple[Standing, ...]

    @property
    def is_yes(self) -> bool:
        """Say whether the answer of the asked trip is yes."""
        return self.word in YES


_FIRST = frozenset({Category.BEFORE, Category.CLOSING})
"""What has to come first; without it a day is too early, not only not prepared."""


class Judge:
    """Gives the verdicts of one outlook; what no question changes is worked out once."""

    def __init__(self, outlook: Outlook) -> None:
        """Look up evidence and spray windows."""
        self.outlook = outlook
        self.ledger = Ledger(outlook)
        self.windows = windows_of(outlook, self.ledger.waived_pairs())
        self.lives = {surface: life_of(outlook, surface) for surface in outlook.site.trip_of}
        self._see_checks()
        self.stops = {
            surface: stop
            for stop in outlook.seen.stops
            for surface in surfaces_of(stop.places, outlook.site.job)
        }

    def _see_checks(self) -> None:
        """Let a surface pass only with everything that the board gate asks; what failed is mended.

        Whatever gate is asked, a surface has one word.
        """
        looked_at = {Life.PASSED, Life.LEFT_EXPOSED, Life.WAITING}
        sprayed = [surface for surface, life in self.lives.items() if life in looked_at]
        if not sprayed:
            return
        standings = self.ledger.standings(Gate.BOARD, self.outlook.seen.as_of)
        for surface in sprayed:
            failing, _, _ = self._failing(surface, Gate.BOARD, standings)
            if any(self._has_failed(standings[index]) for index in failing):
                self.lives[surface] = Life.TO_MEND
            elif failing:
                self.lives[surface] = Life.WAITING

    def _has_failed(self, standing: Standing) -> bool:
        """Say whether a look at the foam itself did not find it good."""
        is_check = self.outlook.site.requirements[standing.requirement].check
        return is_check and standing.state in {StandingState.OPEN, StandingState.CONTESTED}

    def verdicts(self, gate: Gate, on: int, trip: str) -> Verdicts:
        """Return the verdicts of every surface, the trip's rolled up."""
        standings = self.ledger.standings(gate, on)
        surfaces = {
            surface: self._surface(surface, gate, on, trip, standings)
            for surface in self.outlook.site.job.surfaces
        }
        asked = [verdict for verdict in surfaces.values() if verdict.counts]
        flags = union(verdict.flags for verdict in asked)
        word: Verdict | Life = flags.word(gate)
        if gate is Gate.BOARD and asked:
            word = self._before_board(asked, flags)
        spoken_of = asked or [each for each in surfaces.values() if each.trip == trip]
        if any(verdict.stop is not None for verdict in spoken_of):
            word = Verdict.STOPPED
        elif not asked:
            word = self._after(trip)
        return Verdicts(gate, on, trip, word, flags, surfaces, standings)

    def _before_board(self, asked: Sequence[SurfaceVerdict], flags: Flags) -> Verdict | Life:
        """Return the word of a trip before board: that of the least advanced surface held up.

        With nothing held up it is passed once all of it was seen, and on course until then.
        """
        order = list(Life)
        held = [verdict for verdict in asked if verdict.flags.any]
        lives_of = {v.surface: self.lives.get(v.surface, Life.RESERVED) for v in asked}
        if any(lives_of[verdict.surface] is None for verdict in held):
            return flags.word(Gate.BOARD)
        lives = [life for v in held or asked if (life := lives_of[v.surface]) is not None]
        least = min(lives, key=order.index, default=Life.PASSED)
        if held:
            return Life.WAITING if least in {*DONE, Life.RESERVED} else least
        return least if len(lives) == len(asked) and least in DONE else Verdict.ON_COURSE

    def _after(self, trip: str) -> Life:
        """Return the word of a trip whose every surface is sprayed: that of the least advanced."""
        order = list(Life)
        lives = [self.lives[s] for s in self.outlook.site.trips[trip].surfaces]
        return min((life for life in lives if life), key=order.index, default=Life.PASSED)

    def _surface(
        self, surface: str, gate: Gate, on: int, trip: str, standings: Sequence[Standing]
    ) -> SurfaceVerdict:
        site = self.outlook.site
        if surface in site.reserved:
            return self._left_out(surface, gate, trip, standings)
        its_trip = site.trip_of[surface]
        window = self.windows[surface]
        failing, early, unprepared = self._failing(surface, gate, standings)
        late_by = self._late_by(its_trip, window, on) if gate is not Gate.BOARD else ()
        kept_out_by = self._kept_out_by(surface, its_trip, on)
        flags = Flags(early, bool(late_by), unprepared or bool(kept_out_by))
        life, stop = self.lives[surface], self.stops.get(surface)
        word: Verdict | Life = flags.word(gate)
        if stop is not None:
            word = Verdict.STOPPED
        elif life is not None:
            word = Life.WAITING if gate is Gate.BOARD and flags.any and life in DONE else life
        return SurfaceVerdict(
            surface=surface,
            trip=its_trip,
            flags=flags,
            word=word,
            window=window,
            failing=failing,
            late_by=late_by,
            stop=stop,
            kept_out_by=kept_out_by,
            counts=its_trip == trip
            and (
                life is not Life.CLOSED_IN
                if gate is Gate.BOARD
                else life in (None, Life.PART_SPRAYED)
            ),
        )

    def _left_out(
        self, surface: str, gate: Gate, trip: str, standings: Sequence[Standing]
    ) -> SurfaceVerdict:
        """Return the verdict on what gets no foam: what follows there holds up the board alone."""
        failing, early, unprepared = (
            self._failing(surface, gate, standings) if gate is Gate.BOARD else ((), False, False)
        )
        return SurfaceVerdict(
            surface=surface,
            trip="",
            flags=Flags(early=early, unprepared=unprepared),
            word=Life.RESERVED,
            window=None,
            failing=failing,
            late_by=(),
            stop=None,
            kept_out_by="",
            counts=bool(failing) and self.outlook.site.left_to.get(surface) == trip,
        )

    def _failing(
        self, surface: str, gate: Gate, standings: Sequence[Standing]
    ) -> tuple[tuple[int, ...], bool, bool]:
        """Return what stops a surface, whether something before it does, or something around it."""
        site = self.outlook.site
        never = self.outlook.known.state.never
        failing, early, unprepared = [], False, False
        at_gate = site.board_at if gate is Gate.BOARD else site.requirements_at
        for index in at_gate[surface]:
            standing = standings[index]
            if standing.passes or not standing.counts:
                continue
            if surface in standing.waived_on or surface in standing.met_on:
                continue
            requirement = site.requirements[index]
            if requirement.task in never and gate is not Gate.BOARD:
                continue
            failing.append(index)
            hours_off = gate is Gate.ROLL and standing.state is StandingState.EXPECTED
            if requirement.category in _FIRST and not hours_off:
                early = True
            else:
                unprepared = True
        return tuple(failing), early, unprepared

    def _kept_out_by(self, surface: str, trip: str, on: int) -> str:
        """Return another booked trip that keeps everybody out of the surface at the arrival."""
        trips = self.outlook.site.trips
        for other, (start, end) in self.outlook.closures.items():
            if other != trip and start <= on < end and surface in trips[other].zone:
                return other
        return ""

    def _late_by(self, trip: str, window: SprayWindow, on: int) -> tuple[Closer, ...]:
        """Return the committed items that the arrival is too late for, and things that stand."""
        arrival, release = on, EARLIER
        if trip in self.outlook.known.arrived:
            arrival = self.outlook.known.arrivals[trip]
            release = self.outlook.forecast.finish[self.outlook.site.trips[trip].release]
        never = self.outlook.known.state.never
        things = self.outlook.site.things
        return tuple(
            closer
            for closer in window.closers
            if closer.latest < arrival
            or closer.commit < release
            or closer.begun
            or (closer.task is None and things[closer.stay].pull in never)
        )


def union(flags: Iterable[Flags]) -> Flags:
    """Return the union of flags."""
    result = Flags()
    for each in flags:
        result |= each
    return result
