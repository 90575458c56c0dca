"""What waits for what, from here to the start of board: the order of the trades.

Invariant: a step stands after every step it waits for, and a wait that follows from others is not
told again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from readiness.facts.vocabulary import Gate
from readiness.job.instants import NEVER, is_dated
from readiness.schedule.graph import Step, steps_of
from readiness.site.task import TaskKind
from readiness.telling.case import Case, Instants
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.site.task import Task

CHECK_STAY = "check"
"""Kind of stay of the check of one surface, before the colon of its id."""
CHECKS = "checks"
"""The same of all surfaces of a trip."""
STEPS_OF_A_TRIP = frozenset(
    {TaskKind.ARRIVAL, TaskKind.SPRAY, TaskKind.CLEAN_UP, TaskKind.KEEP_OUT, TaskKind.RELEASE}
)


@dataclass(frozen=True, slots=True)
class Wait:
    """One step that another waits for, or that waits for it."""

    step: int
    """Position in `steps`."""
    title: str
    reason: str
    """Why the later one waits; empty where it is the usual order of one crew."""


@dataclass(frozen=True, slots=True)
class StepLine:
    """Everything that is still open of one work, look or trip."""

    ids: tuple[str, ...]
    """Ids of the work, approval or trip; several where each waits for parts of the other."""
    title: str
    kind: str
    """What kind of step it is: work, approval, trip, check, pull or board."""
    who: Who
    places: tuple[str, ...]
    stage: int
    """How many steps stand one after another before it, at most."""
    begun: bool
    starts: datetime | None
    """When its first open part starts as things stand; None if nobody has dated what it needs."""
    ends: datetime | None
    """When its last part ends as things stand."""
    waits_for: tuple[Wait, ...]
    holds_up: tuple[Wait, ...]
    behind_steps: int
    """How many steps wait for it through any chain."""
    behind_trades: tuple[str, ...]
    """The trades and offices of those steps, in words."""
    drives_board: bool
    """A part of it stands on the chain that sets the earliest start of board."""
    origins: tuple[str, ...]
    """The lines of the job file or the rows of facts that it comes from."""


@dataclass(frozen=True, slots=True)
class SequenceAnswer:
    """The answer to "what waits for what?"."""

    job: str
    instants: Instants
    steps: tuple[StepLine, ...]
    """Each after those it waits for."""
    left_out: tuple[str, ...]
    """Usual waits that this job has no room for, each with its reason."""


def sequence(case: Case) -> SequenceAnswer:
    """Return the open steps of a job in their order, each with what it waits for and holds up."""
    site = case.site
    moment = case.teller.moment(case.outlook.seen.as_of)
    assert moment is not None  # noqa: S101  as_of is a real instant
    tasks = _open_tasks(case)
    steps = steps_of(
        [_step_of(task, case) for task in site.tasks], site.links, _left_out(case, tasks)
    )
    driving = {
        _step_of(site.tasks[task], case)
        for task in (site.board_start, *case.teller.chain_tasks(site.board_start))
    }
    lines = _Lines(case, tasks, steps, driving)
    return SequenceAnswer(
        job=site.job.name,
        instants=Instants(moment, moment, site.zone, Gate.PROMISE.value),
        steps=tuple(lines.line(number) for number in range(len(steps))),
        left_out=tuple(
            f"{dropped.work} does not wait for {dropped.other}: {dropped.reason}"
            for dropped in site.dropped
        ),
    )


def _step_of(task: Task, case: Case) -> str:
    """Return the step of a task: its stay; the checks of a trip's surfaces are one step."""
    kind, _, surface = task.stay.rpartition(":")
    return f"{CHECKS}:{case.site.trip_of[surface]}" if kind == CHECK_STAY else task.stay


def _open_tasks(case: Case) -> dict[str, list[Task]]:
    """Return the open tasks of each stay that people would call a step."""
    found: dict[str, list[Task]] = {}
    for task in case.site.tasks:
        if task.index not in case.outlook.known.state.finished:
            found.setdefault(_step_of(task, case), []).append(task)
    return {
        stay: tasks
        for stay, tasks in found.items()
        if any(task.kind not in (TaskKind.MILESTONE, TaskKind.CORRECTION) for task in tasks)
        or case.site.board_start in {task.index for task in tasks}
    }


def _left_out(case: Case, tasks: dict[str, list[Task]]) -> frozenset[int]:
    counted = {task.index for some in tasks.values() for task in some}
    return frozenset(range(len(case.site.tasks))) - counted


class _Lines:
    """Tells the steps of one case."""

    def __init__(
        self, case: Case, tasks: dict[str, list[Task]], steps: list[Step], driving: set[str]
    ) -> None:
        self.case = case
        self.tasks = tasks
        self.steps = steps
        self.driving = driving
        self.titles = [self._title(step) for step in steps]
        self.doers = [self._doer(step) for step in steps]
        self.reasons = self._reasons()

    def line(self, number: int) -> StepLine:
        """Return one step in words."""
        step, teller = self.steps[number], self.case.teller
        tasks = self._tasks(step)
        forecast, state = self.case.outlook.forecast, self.case.outlook.known.state
        behind = sorted(step.behind)
        return StepLine(
            ids=step.members,
            title=self.titles[number],
            kind=self._kind(tasks),
            who=self.doers[number],
            places=tuple(dict.fromkeys(teller.place(task.place) for task in tasks)),
            stage=step.stage,
            begun=any(task.index in state.begun for task in tasks),
            starts=teller.moment(_least(forecast.start[task.index] for task in _that_last(tasks))),
            ends=teller.moment(max(forecast.finish[task.index] for task in tasks)),
            waits_for=tuple(self._wait(other, number, other) for other in step.waits_for),
            holds_up=tuple(self._wait(number, other, other) for other in step.holds_up),
            behind_steps=len(behind),
            behind_trades=tuple(dict.fromkeys(self.doers[other].name for other in behind)),
            drives_board=not self.driving.isdisjoint(step.members),
            origins=tuple(dict.fromkeys(task.origin.told() for task in tasks)),
        )

    def _wait(self, earlier: int, later: int, told: int) -> Wait:
        return Wait(told, self.titles[told], self.reasons.get((earlier, later), ""))

    def _tasks(self, step: Step) -> list[Task]:
        return [task for stay in step.members for task in self.tasks[stay]]

    def _title(self, step: Step) -> str:
        return " and ".join(dict.fromkeys(self._stay_title(stay) for stay in step.members))

    def _stay_title(self, stay: str) -> str:
        site = self.case.site
        kind, _, name = stay.rpartition(":")
        if kind == "trip":
            return f"Spray: the {site.trips[name].name} trip"
        if kind == "pull":
            return f"Pull the {site.things[name].title}"
        if kind == CHECKS:
            return f"Check the foam of the {site.trips[name].name} trip"
        looks = [task for task in self.tasks[stay] if task.kind is not TaskKind.CORRECTION]
        return (looks or self.tasks[stay])[-1].title

    def _doer(self, step: Step) -> Who:
        tasks = self._tasks(step)
        first = next((task for task in tasks if task.kind is TaskKind.APPROVAL), None)
        if first is None:
            first = next((task for task in tasks if task.trade is not None), tasks[0])
        return self.case.teller.who_does(first.index)

    def _kind(self, tasks: list[Task]) -> str:
        kinds = {task.kind for task in tasks}
        if self.case.site.board_start in {task.index for task in tasks}:
            return "board"
        if TaskKind.CHECK in kinds:
            return "check"
        if kinds & STEPS_OF_A_TRIP:
            return "trip"
        if TaskKind.APPROVAL in kinds:
            return "approval"
        return "pull" if TaskKind.PULL in kinds else "work"

    def _reasons(self) -> dict[tuple[int, int], str]:
        """Return the first reason that any link between two steps gives."""
        place = {stay: number for number, step in enumerate(self.steps) for stay in step.members}
        found: dict[tuple[int, int], str] = {}
        for link in self.case.site.links:
            tasks = (self.case.site.tasks[end] for end in (link.source, link.target))
            ends = [place.get(_step_of(task, self.case)) for task in tasks]
            if ends[0] is not None and ends[1] is not None and link.reason:
                found.setdefault((ends[0], ends[1]), link.reason)
        return found


def _that_last(tasks: list[Task]) -> list[Task]:
    """Return the tasks that take time; all of them where none does."""
    return [task for task in tasks if task.minutes] or tasks


def _least(instants: Iterable[int]) -> int:
    return min((instant for instant in instants if is_dated(instant)), default=NEVER)
