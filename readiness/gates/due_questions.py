"""The questions of the table whose time has come and that nothing has answered.

Invariant: a question speaks only of what evidence alone can tell; what the network knows better,
and what is seen standing in the way, is asked in its own words elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.facts.loader import load_questions
from readiness.facts.vocabulary import Gate, Role, Rung
from readiness.gates.due import (
    DECIDING,
    CallKind,
    DueCall,
    Heard,
    broken_promise,
    heard,
)
from readiness.gates.standings import GATE_RANK, StandingState
from readiness.job.durations import Duration
from readiness.job.instants import NEVER, shifted
from readiness.schedule.known import RANK
from readiness.site.answers import codes_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.facts.rows import QuestionKind
    from readiness.gates.evidence import Evidence
    from readiness.gates.standings import Standing
    from readiness.gates.verdict import Judge
    from readiness.schedule.outlook import Outlook
    from readiness.site.site import Requirement

SETTLED = frozenset({StandingState.MET, StandingState.WAIVED, StandingState.NOT_APPLICABLE})
ON_ARRIVAL = frozenset({Role.CREW_LEAD.value, "spray"})
"""Who looks for itself on arrival, so that nobody calls it about that beforehand."""


@dataclass(frozen=True, slots=True)
class _Open:
    """What is still open of one requirement: what was said last on each surface, if anything."""

    requirement: Requirement
    said: Mapping[str, Evidence | None]
    wants: Rung | None

    def last(self) -> Evidence | None:
        """Return what was said last."""
        spoken = [evidence for evidence in self.said.values() if evidence is not None]
        return max(spoken, key=lambda evidence: evidence.at, default=None)


def questions_due(outlook: Outlook, judge: Judge, trip: str, arrival: int) -> Iterable[DueCall]:
    """Yield the questions to ask now for one trip, and those whose answer is promised."""
    standings = judge.ledger.standings(Gate.ROLL, arrival)
    asked_of = _asked_of(outlook, trip)
    for name, kind in load_questions().items():
        times = tuple(shifted(arrival, -Duration.parse(t).minutes(1440)) for t in kind.ask)
        if outlook.seen.as_of < times[0]:
            continue
        found: dict[Heard, list[_Open]] = {Heard.ASK: [], Heard.WAIT: []}
        for requirement in _asked(asked_of, name, kind):
            standing = standings[requirement.index]
            for how, still in _open(outlook, judge, requirement, standing, times, arrival).items():
                if how in found:
                    found[how].append(still)
        for how, opens in found.items():
            if opens:
                yield _question(outlook, name, kind, opens, how, arrival, trip)


def _asked_of(outlook: Outlook, trip: str) -> list[Requirement]:
    """Return the requirements of a trip that only evidence can tell, but for things in the way."""
    surfaces = set(outlook.site.trips[trip].surfaces)
    return [
        requirement
        for requirement in outlook.site.requirements
        if requirement.task is None
        and requirement.code not in outlook.site.things
        and not surfaces.isdisjoint(requirement.surfaces)
    ]


def _asked(
    requirements: Iterable[Requirement], name: str, kind: QuestionKind
) -> Iterable[Requirement]:
    """Yield what a question speaks for; what its addressee looks at on arrival waits for that."""
    codes = codes_of(name, kind)
    for requirement in requirements:
        later = GATE_RANK[requirement.demands.due] > GATE_RANK[Gate.ROLL]
        if requirement.code in codes and not (later and kind.whom in ON_ARRIVAL):
            yield requirement


def _open(  # noqa: PLR0913, PLR0917  one requirement at one moment
    outlook: Outlook,
    judge: Judge,
    requirement: Requirement,
    standing: Standing,
    times: tuple[int, ...],
    arrival: int,
) -> dict[Heard, _Open]:
    """Return what of one requirement is asked, and what is waited for, each with its surfaces."""
    settled = standing.met_on | standing.waived_on
    if standing.state in SETTLED:
        return {}
    again = (*times, *_further_times(outlook, requirement, arrival))
    said = judge.ledger.evidence_on[requirement.index]
    wants = requirement.demands.least.roll
    parts: dict[Heard, dict[str, Evidence | None]] = {}
    weak = False
    for surface in requirement.surfaces:
        if surface in settled:
            continue
        evidence = said.get(surface)
        if _is_too_weak(evidence, wants):
            how, weak = Heard.ASK, True
        else:
            how = heard(evidence, again, outlook.seen.as_of)
        parts.setdefault(how, {})[surface] = evidence
    return {how: _Open(requirement, on, wants if weak else None) for how, on in parts.items()}


def _is_too_weak(said: Evidence | None, wants: Rung) -> bool:
    """Say whether somebody has said yes where it has to be shown, seen or recorded."""
    return said is not None and said.value is True and RANK[said.how] < RANK[wants]


def _further_times(outlook: Outlook, requirement: Requirement, arrival: int) -> Iterable[int]:
    """Yield when a requirement is asked again beside the times of its question.

    What is judged on the spot on arrival needs no further call before.
    """
    if GATE_RANK[requirement.demands.due] > GATE_RANK[Gate.ROLL]:
        return
    yield wanted_until(outlook, requirement, arrival)
    if requirement.demands.fresh_for is not None:
        yield _span_before(outlook, requirement.demands.fresh_for, arrival)


def _question(  # noqa: PLR0913, PLR0917  a call is nothing but its fields
    outlook: Outlook,
    name: str,
    kind: QuestionKind,
    opens: list[_Open],
    how: Heard,
    arrival: int,
    trip: str,
) -> DueCall:
    as_of = outlook.seen.as_of
    last = [said for still in opens if (said := still.last()) is not None]
    broken = [over for said in last if (over := broken_promise(said, as_of)) is not None]
    wanted = [wanted_until(outlook, still.requirement, arrival) for still in opens]
    until = min((*wanted, *broken))
    promised = [said.promised_by for said in last if said.promised_by is not None]
    return DueCall(
        kind=CallKind.QUESTION,
        code=name,
        whom=kind.whom,
        about=kind.title,
        places=tuple(dict.fromkeys(still.requirement.place for still in opens)),
        surfaces=tuple(dict.fromkeys(surface for still in opens for surface in still.said)),
        until=until,
        overdue=how is Heard.ASK and until < as_of,
        decides=min((s.requirement.demands.effect for s in opens), key=DECIDING.__getitem__),
        trip=trip,
        said=max(last, key=lambda said: said.at, default=None),
        wants=max(
            (still.wants for still in opens if still.wants is not None),
            key=RANK.__getitem__,
            default=None,
        ),
        waits_until=min(promised) if how is Heard.WAIT else None,
    )


def wanted_until(outlook: Outlook, requirement: Requirement, arrival: int) -> int:
    """Return when the answer is wanted at the latest."""
    span = requirement.demands.wanted_before
    return arrival if span is None else _span_before(outlook, span, arrival)


def _span_before(outlook: Outlook, span: Duration, arrival: int) -> int:
    calendar = outlook.site.calendars[outlook.site.job_calendar]
    minutes = span.minutes(calendar.day_minutes)
    if span.clock:
        return shifted(arrival, -minutes)
    timer = outlook.frame.calendars[outlook.site.job_calendar]
    return timer.latest(NEVER, arrival, minutes)[0] if minutes else arrival
