"""A blocker in words: what, where, who clears it by when, and the chain behind it.

Invariant: every line names somebody to call and where its rule was written.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.gates.blockers import Holds
from readiness.gates.moving import least_start
from readiness.gates.standings import StandingState
from readiness.job.instants import NEVER
from readiness.schedule.outlook import late_end
from readiness.site.task import TaskKind
from readiness.telling.shown_by import shown_by
from readiness.telling.teller import STATED, Who
from readiness.telling.window_lines import closer_words

if TYPE_CHECKING:
    from readiness.gates.blockers import Blocker
    from readiness.gates.verdict import Verdicts
    from readiness.site.site import Requirement
    from readiness.telling.case import Case


@dataclass(frozen=True, slots=True)
class BlockerLine:
    """One thing that somebody has to clear."""

    holds: str
    """Which side it holds up from: stop, too late, too early, not prepared."""
    code: str
    says: str
    """The blocker as a sentence."""
    place: str
    place_name: str
    surfaces: tuple[str, ...]
    state: str
    who: Who
    """Who clears it."""
    clears: datetime | None
    """When it clears as things stand; None if nobody has said."""
    clears_says: str
    entails: tuple[str, ...]
    """What clearing it brings along, such as a test and another look."""
    call: Who
    """Whom to call about it first."""
    call_about: str
    chain: tuple[str, ...]
    """What it hangs on, nearest first."""
    follows: int | None
    """Position of the blocker that it only waits for; None if it has to be cleared by itself."""
    effect: str
    binding: bool
    """Can't be waived by anybody."""
    may_waive: str
    caution: str
    remedy: str
    """What is done about it, for what is looked at after the spray; empty elsewhere."""
    why: str
    origin: str
    shown_by: tuple[str, ...]
    """The entries of the diary, or lines of the job file, that say how it stands."""


def clearing_told(line: BlockerLine) -> str:
    """Return when a blocker clears, with what that brings along."""
    return line.clears_says + (f"; also {', '.join(line.entails)}" if line.entails else "")


def blocker_lines(
    case: Case, blockers: tuple[Blocker, ...], verdicts: Verdicts
) -> tuple[BlockerLine, ...]:
    """Return all blockers in words, each with the one it only waits for."""
    holder = holders(case, blockers)
    return tuple(
        replace(
            blocker_line(case, blocker, verdicts), follows=followed(case, number, blocker, holder)
        )
        for number, blocker in enumerate(blockers)
    )


def holders(case: Case, blockers: tuple[Blocker, ...]) -> dict[int | None, int]:
    """Return the position of the blocker that holds up what waits for a task, by task."""
    return {
        case.site.requirements[requirement].task: number
        for number, blocker in enumerate(blockers)
        for requirement in blocker.requirements
    }


def told_first(lines: tuple[BlockerLine, ...]) -> int:
    """Return the position of what is told first before board: a failure, else what waits for none.

    Most of what is open there only waits for the release, or for one another.
    """
    alone = [number for number, line in enumerate(lines) if line.follows is None]
    failed = [
        n for n in alone if lines[n].remedy and lines[n].state == "open" and not lines[n].chain
    ]
    return next(iter((*failed, *alone)), 0)


def followed(
    case: Case, number: int, blocker: Blocker, holder: dict[int | None, int]
) -> int | None:
    """Return the blocker deepest in the chain behind this one, if there is another.

    Args:
        case: The job at one moment.
        number: Position of the blocker.
        blocker: The blocker.
        holder: Positions by task, see `holders`.
    """
    if blocker.task is None or not blocker.requirements:
        return None
    others = [holder.get(task) for task in case.teller.chain_tasks(blocker.task)]
    found = [other for other in others if other is not None and other != number]
    return found[-1] if found else None


def blocker_line(case: Case, blocker: Blocker, verdicts: Verdicts) -> BlockerLine:
    """Return a blocker in words."""
    if blocker.stop is not None:
        return _stop(case, blocker)
    if blocker.kept_out_by:
        return _kept_out(case, blocker)
    if blocker.holds is Holds.LATE:
        return _late(case, blocker, verdicts)
    return _failing(case, blocker, verdicts)


def _stop(case: Case, blocker: Blocker) -> BlockerLine:
    stop = blocker.stop
    assert stop is not None  # noqa: S101  told by the caller
    who = Who(stop.role.value, stop.by, "", stop.role.value)
    says = f"stopped by {stop.by} ({stop.role.value}): {stop.reason}"
    return BlockerLine(
        holds=blocker.holds.value,
        code="stop",
        says=says,
        place=blocker.place,
        place_name=case.teller.place(blocker.place),
        surfaces=blocker.surfaces,
        state="stopped",
        who=who,
        clears=None,
        clears_says=f"when the {stop.role.value} lifts it",
        entails=(),
        call=who,
        call_about="lifting the stop",
        chain=(),
        follows=None,
        effect="stops the trip",
        binding=True,
        may_waive="",
        caution="",
        remedy="",
        why=stop.reason,
        origin=stop.origin.told(),
        shown_by=(),
    )


def _kept_out(case: Case, blocker: Blocker) -> BlockerLine:
    """Tell a keep-out that runs there; the clock only says when its release may be asked for."""
    teller = case.teller
    trip = case.site.trips[blocker.kept_out_by]
    who = teller.who("crew lead")
    told = teller.told(blocker.clears_at)
    caution = case.site.facts.trip["keep-out"].caution
    return BlockerLine(
        holds=blocker.holds.value,
        code="keep-out",
        says=f"nobody may be inside: the keep-out of the {trip.name} trip",
        place=blocker.place,
        place_name=teller.place(blocker.place),
        surfaces=blocker.surfaces,
        state="keep-out",
        who=who,
        clears=teller.moment(blocker.clears_at),
        clears_says=f"when a named person releases it, not before {told}",
        entails=(),
        call=who,
        call_about=f"the release of the {trip.name} trip",
        chain=(),
        follows=None,
        effect="stops the trip",
        binding=True,
        may_waive="",
        caution=caution,
        remedy="",
        why="nobody unprotected is inside from arrival to release",
        origin=case.site.tasks[trip.arrival].origin.told(),
        shown_by=shown_by(case, blocker, None),
    )


def _late(case: Case, blocker: Blocker, verdicts: Verdicts) -> BlockerLine:
    """Tell something committed too early, or standing in the way."""
    teller, site = case.teller, case.site
    closer = blocker.closers[0]
    title, _ = closer_words(case, closer)
    if closer.task is None:
        thing = site.things[closer.stay]
        who, caution, why, origin = (
            teller.who(thing.kind.pull_trade),
            thing.kind.caution,
            "; ".join(dict.fromkeys((thing.kind.title, *thing.missing.values()))),
            thing.origin,
        )
        stay = None
    else:
        stay = site.stays.get(closer.stay)
        who = teller.who_does(closer.task)
        caution = stay.demands.caution if stay else ""
        why = stay.why if stay else ""
        origin = site.tasks[closer.task].origin
    trip = site.trips[verdicts.trip]
    free = late_end(trip, case.outlook.frame, verdicts.on, None)
    begun = any(each.begun for each in blocker.closers)
    if begun:
        since = teller.moment(closer.commit)
        says = f"in the way: {title}"
        if since is not None:
            says += f", since {teller.told(closer.commit)}"
        clears_says, entails = _pulling(case, blocker)
        about = f"taking {title.partition(', ')[0]} out again"
    else:
        early = "before the release" if closer.commit < free else "too soon after the release"
        says = f"booked {early}: {title}, {teller.told(closer.commit)}"
        if closer.task is not None:
            free = least_start(case.outlook, verdicts.trip, closer.task, verdicts.on)
        clears_says, entails = f"when it is moved to {teller.told(free)} or later", ()
        about = f"moving {title} to {teller.told(free)} or later"
    return BlockerLine(
        holds=blocker.holds.value,
        code=blocker.code,
        says=says,
        place=blocker.place,
        place_name=teller.place(blocker.place),
        surfaces=blocker.surfaces,
        state="in the way" if begun else "booked too early",
        who=who,
        clears=None if begun else teller.moment(free),
        clears_says=clears_says,
        entails=entails,
        call=who,
        call_about=about,
        chain=(),
        follows=None,
        effect="stops the surface",
        binding=False,
        may_waive="contractor",
        caution=caution,
        remedy="",
        why=why,
        origin=origin.told(),
        shown_by=shown_by(case, blocker, None),
    )


def _pulling(case: Case, blocker: Blocker) -> tuple[str, tuple[str, ...]]:
    """Return when a thing is out of the way, and what taking it out brings along."""
    things = [
        thing for thing in case.site.things.values() if blocker.code in (thing.id, thing.set_by)
    ]
    if not things:
        return "no date yet, ask for one: when it is taken out again", ()
    thing = things[0]
    return f"no date yet, ask for one; {thing.takes} to pull it", tuple(thing.kind.entails)


def _failing(case: Case, blocker: Blocker, verdicts: Verdicts) -> BlockerLine:
    """Tell a requirement that does not pass."""
    teller, site = case.teller, case.site
    requirement = site.requirements[blocker.requirements[0]]
    standing = verdicts.standings[blocker.requirements[0]]
    where = teller.place(blocker.place)
    says = f"{_denied(case, requirement, standing.state)}: {where}"
    both = None
    if requirement.task is not None:
        both = case.outlook.known.contested.get(requirement.task)
    if both is not None:
        says += f" ({both.told})"
    evidence = standing.evidence
    if evidence is not None and evidence.contested:
        says += f" ({evidence.told})"
    elif evidence is not None:
        weak = evidence.value is True and standing.state is StandingState.UNKNOWN
        only = f", but only {evidence.how.value}" if weak else ""
        says += f" ({evidence.by or 'somebody'} {teller.told(evidence.at)}: {evidence.told}{only})"
    who = teller.who(requirement.clears)
    call, about = who, requirement.question or requirement.title
    chain: tuple[str, ...] = ()
    if blocker.task is not None:
        chain = teller.chain(blocker.task)
        root = teller.root(blocker.task)
        call, about = teller.who_does(root), teller.task(root)
        look = case.outlook.known.looks.get(blocker.task)
        if look is not None and standing.state is StandingState.OPEN:
            correction = site.approval_kinds[requirement.code].correction_trade
            call, about = teller.who(correction), look.correct or f"correct it: {about}"
            says += f" (to correct: {look.correct})" if look.correct else ""
    demands = requirement.demands
    return BlockerLine(
        holds=blocker.holds.value,
        code=blocker.code,
        says=says,
        place=blocker.place,
        place_name=where,
        surfaces=blocker.surfaces,
        state=standing.state.value,
        who=who,
        clears=teller.moment(blocker.clears_at),
        clears_says=_clears_says(case, blocker, requirement.takes),
        entails=(),
        call=call,
        call_about=about,
        chain=chain,
        follows=None,
        effect=demands.effect.value,
        binding=demands.binding,
        may_waive="" if demands.binding or demands.override is None else demands.override.value,
        caution=demands.caution,
        remedy=_remedy(requirement, verdicts),
        why=requirement.why,
        origin=requirement.origin.told(),
        shown_by=shown_by(case, blocker, standing),
    )


def _remedy(requirement: Requirement, verdicts: Verdicts) -> str:
    return remedy_of(requirement) if verdicts.gate is Gate.BOARD else ""


def remedy_of(requirement: Requirement) -> str:
    """Return what is done where something is not good after the spray; empty if nothing is told."""
    from readiness.telling.board_lines import remedies

    return remedies().get(requirement.code, "")


def _clears_says(case: Case, blocker: Blocker, takes: object) -> str:
    if blocker.clears_at != NEVER:
        return f"by {case.teller.told(blocker.clears_at)} as things stand"
    usual = f"; usually takes {takes}" if takes else ""
    if blocker.state in (StandingState.UNKNOWN, StandingState.STALE, StandingState.CONTESTED):
        return f"when it is answered{usual}"
    return f"no date{usual}"


_WORDS = {
    StandingState.UNKNOWN: "not known",
    StandingState.STALE: "too long ago, ask again",
    StandingState.CONTESTED: "two people say different things",
    StandingState.OPEN: "not so",
    StandingState.EXPECTED: "not yet",
    StandingState.LATER: "not yet",
}


def _denied(case: Case, requirement: Requirement, state: StandingState) -> str:
    """Return what is wrong with a requirement, led by the word that matters."""
    site = case.site
    if requirement.task is None and requirement.code in site.things:
        return f"in the way: {site.things[requirement.code].title}"
    if requirement.task is None or state not in (StandingState.OPEN, StandingState.EXPECTED):
        return f"{_WORDS.get(state, state.value)}: {requirement.title}"
    task = site.tasks[requirement.task]
    if task.kind is TaskKind.APPROVAL:
        failed = requirement.task in case.outlook.known.looks
        return f"{'failed' if failed else 'not passed yet'}: {task.title}"
    if task.kind in STATED:
        return f"not yet: {requirement.title}"
    if task.kind is TaskKind.PULL:
        return f"still in the way: {site.things[requirement.code].title}"
    begun = requirement.task in case.outlook.known.state.begun
    return f"{'under way' if begun else 'not done'}: {task.title}"
