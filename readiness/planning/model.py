"""The plan as a model of the constraint solver, the same for sites and for published examples.

Activities on the clock have their start as a number and their waits as sums. For activities with
listed candidates each step of the list is one statement, "not before the n-th candidate", so that
a wait becomes a chain of implications: what the forward pass does, the solver's propagation does.

Invariant: one worker, one seed and a limit of work instead of time, so the same problem gives the
same answer; a level is called proven only if the solver says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from readiness.planning.activities import End, Problem, Wait, least_of_all
from readiness.planning.watching import unwatched

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from ortools.sat.python.cp_model import BoolVarT, CpModel, CpSolver, IntervalVar, IntVar

    from readiness.planning.activities import Before, Resource, Use
    from readiness.planning.watching import Watch

Expression = Any
"""What the solver can minimise: its own sums and variables, or a plain number."""

SEED = 1
WORK_LIMIT = 30.0
"""How much work a level may take, in the solver's own units; about so many seconds."""


@dataclass(frozen=True, slots=True)
class Reached:
    """What a level has come to."""

    value: int | None
    """None if nothing keeps all that must be kept, or nothing was found."""
    bound: int
    """No plan is below it."""
    is_proven: bool
    is_impossible: bool = False
    """It is proven that nothing keeps all that must be kept."""


class Model:
    """The model of one problem, solved level by level."""

    def __init__(
        self,
        problem: Problem,
        work_limit: float = WORK_LIMIT,
        groups: Mapping[str, str] | None = None,
        watch: Watch = unwatched,
    ) -> None:
        """Build it.

        Args:
            problem: What is to be dated.
            work_limit: How much work a level may take, in the solver's own units.
            groups: By id of a `Before`, the group together with which it may be let go.
            watch: Hears what is solved next.
        """
        from ortools.sat.python import cp_model

        self.problem = problem
        self.work_limit = work_limit
        self.watch = watch
        self._cp = cp_model
        self.model: CpModel = cp_model.CpModel()
        self.chosen: list[int] = []
        """The candidate of every activity in the last answer."""
        self.modes: list[int] = []
        self.clock = [activity.is_on_the_clock for activity in problem.activities]
        self._index: dict[int, IntVar] = {}
        self._steps: dict[int, list[BoolVarT]] = {}
        self._mode: dict[int, list[BoolVarT]] = {}
        self.firsts: dict[str, BoolVarT] = {}
        """By id of a `Before`: whether its `one` goes first."""
        self._groups = groups or {}
        self._loose: dict[str, BoolVarT] = {}
        self._bools: list[BoolVarT] = []
        self._hint: list[bool] = []
        for number in range(len(problem.activities)):
            self._add_activity(number)
        self._add_waits(problem.waits, ())
        for resource in problem.resources:
            self._add_resource(resource)
        for before in problem.befores:
            self._add_before(before)

    # Building

    def _bool(self, name: str) -> IntVar:
        found = self.model.new_bool_var(name)
        self._bools.append(found)
        return found

    def _add_activity(self, number: int) -> None:
        activity = self.problem.activities[number]
        if len(activity.modes) > 1:
            self._mode[number] = [
                self._bool(f"{activity.id}:mode {mode}") for mode in range(len(activity.modes))
            ]
            self.model.add_exactly_one(self._mode[number])
        last = activity.candidates - 1
        if self.clock[number]:
            self._index[number] = self.model.new_int_var(0, last, activity.id)
            return
        steps: list[BoolVarT] = [
            self._bool(f"{activity.id}>={step}") for step in range(1, last + 1)
        ]
        for earlier, later in pairwise(steps):
            self.model.add_implication(later, earlier)
        self._steps[number] = steps

    def mode_literals(self, number: int) -> Sequence[BoolVarT]:
        """Return one literal for each mode of an activity, none if it has but one."""
        return self._mode.get(number, ())

    def at_least(self, number: int, candidate: int) -> BoolVarT | bool:
        """Return the statement that a listed activity comes no earlier than a candidate."""
        if candidate <= 0:
            return True
        if candidate >= self.problem.activities[number].candidates:
            return False
        return self._steps[number][candidate - 1]

    def value(self, number: int, values: Sequence[int]) -> Expression:
        """Return, as an expression, the value that belongs to the candidate of an activity."""
        if self.clock[number]:
            if isinstance(values, range) and values.step == 1:
                return self._index[number] + values.start
            found = self.model.new_int_var(min(values), max(values), f"value:{number}")
            self.model.add_element(self._index[number], list(values), found)
            return found
        steps = self._steps[number]
        values = values[: len(steps) + 1]
        return values[0] + sum(
            (values[step] - values[step - 1]) * literal
            for step, literal in enumerate(steps, 1)
            if values[step] != values[step - 1]
        )

    def instant(self, end: End) -> Expression:
        """Return an end as an expression; among modes on the clock it moves with the mode."""
        activity = self.problem.activities[end.activity]
        first = end.column(activity, 0)
        if len(activity.modes) == 1:
            return self.value(end.activity, first)
        assert self.clock[end.activity]  # noqa: S101  listed activities are joined mode by mode
        return self._index[end.activity] + sum(
            end.column(activity, mode)[0] * literal
            for mode, literal in enumerate(self._mode[end.activity])
        )

    def cost(self) -> Expression:
        """Return what the chosen modes cost together."""
        return sum(
            activity.modes[mode].cost * literal
            for number, activity in enumerate(self.problem.activities)
            for mode, literal in enumerate(self.mode_literals(number))
        )

    def _add_waits(self, waits: Iterable[Wait], given: tuple[BoolVarT, ...]) -> None:
        """Add waits, held only if all the given statements are true.

        All waits between the same two listed activities become one.
        """
        listed: dict[tuple[int, int], list[Wait]] = {}
        for wait in waits:
            one, other = wait.earlier.activity, wait.later.activity
            if self.clock[one] and self.clock[other]:
                limit = self.instant(wait.earlier) + wait.imposed(0)
                bound = self.model.add(self.instant(wait.later) >= limit)
                if given:
                    bound.only_enforce_if(*given)
            else:
                listed.setdefault((one, other), []).append(wait)
        for (one, other), between in listed.items():
            for first, first_is in self._modes_of(one):
                for second, second_is in self._modes_of(other):
                    least = least_of_all(self.problem, between, first, second)
                    self._add_steps(one, other, least, (*given, *first_is, *second_is))

    def _modes_of(self, number: int) -> list[tuple[int, tuple[BoolVarT, ...]]]:
        literals = self.mode_literals(number)
        return [(mode, (literal,)) for mode, literal in enumerate(literals)] or [(0, ())]

    def _add_steps(
        self, one: int, other: int, least: Sequence[int], given: tuple[BoolVarT, ...]
    ) -> None:
        """Add one implication for each step of the least candidates."""
        absent = [literal.negated() for literal in given]
        before = 0
        for candidate, wanted in enumerate(least):
            if wanted <= before:
                continue
            before = wanted
            if_at_least, then_at_least = self.at_least(one, candidate), self.at_least(other, wanted)
            clause = list(absent)
            if not isinstance(if_at_least, bool):
                clause.append(if_at_least.negated())
            if not isinstance(then_at_least, bool):
                clause.append(then_at_least)
            self.model.add_bool_or(clause)
            if then_at_least is False:
                return

    def _add_resource(self, resource: Resource) -> None:
        intervals = [self._interval(use, resource.id) for use in resource.uses]
        if resource.capacity == 1 and all(use.demand == 1 for use in resource.uses):
            self.model.add_no_overlap(intervals)
        else:
            demands = [use.demand for use in resource.uses]
            self.model.add_cumulative(intervals, demands, resource.capacity)

    def _interval(self, use: Use, name: str) -> IntervalVar:
        activity = self.problem.activities[use.activity]
        first, last = use.parts[0], use.parts[-1]
        low = min(mode.parts[first].starts[0] for mode in activity.modes)
        high = max(mode.parts[last].ends[-1] for mode in activity.modes)
        start, end = End(use.activity, first), End(use.activity, last, is_end=True)
        label = f"{name}:{activity.id}"
        if self.clock[use.activity]:
            sizes = [
                mode.parts[last].ends[0] - mode.parts[first].starts[0] for mode in activity.modes
            ]
            if len(sizes) == 1:
                return self.model.new_fixed_size_interval_var(self.instant(start), sizes[0], label)
        started = self.model.new_int_var(low, high, f"{label}:start")
        ended = self.model.new_int_var(low, high, f"{label}:end")
        size = self.model.new_int_var(0, high - low, f"{label}:size")
        for mode, given in self._modes_of(use.activity):
            for variable, which in ((started, start), (ended, end)):
                bound = self.model.add(
                    variable == self.value(use.activity, which.column(activity, mode))
                )
                if given:
                    bound.only_enforce_if(*given)
        return self.model.new_interval_var(started, size, ended, label)

    def _add_before(self, before: Before) -> None:
        first = self._bool(before.id)
        self.firsts[before.id] = first
        held: tuple[BoolVarT, ...] = ()
        group = self._groups.get(before.id)
        if group is not None:
            if group not in self._loose:
                self._loose[group] = self._bool(f"loose:{group}")
            held = (self._loose[group].negated(),)
        self._add_waits([Wait(*pair) for pair in before.one_first], (first, *held))
        self._add_waits([Wait(*pair) for pair in before.other_first], (first.negated(), *held))

    # Solving

    def fewest_loose(self) -> frozenset[str] | None:
        """Return the fewest groups found without which something keeps all else; None if none was.

        What is returned was seen to do; fewer may, if the search was cut short.
        """
        solver = self._cp.CpSolver()
        solver.parameters.random_seed = SEED
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = self.work_limit
        self.model.minimize(sum(self._loose.values()))
        self.watch("whose further crews would do", solver.stop_search)
        if solver.solve(self.model) not in (self._cp.OPTIMAL, self._cp.FEASIBLE):
            return None
        return frozenset(
            group for group, literal in self._loose.items() if solver.boolean_value(literal)
        )

    def least(self, level: Expression, says: str = "") -> Reached:
        """Return the least value of a level, and hold it from now on.

        Args:
            level: What is to be the least.
            says: What that is, for whoever watches.
        """
        cp = self._cp
        solver = cp.CpSolver()
        solver.parameters.random_seed = SEED
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = self.work_limit
        if not any(self.clock):
            # Nothing but implications: what a presolve finds, propagation finds as well
            solver.parameters.cp_model_presolve = False
            solver.parameters.linearization_level = 0
        self.model.minimize(level)
        self.watch(says, solver.stop_search)
        status = solver.solve(self.model)
        if status not in (cp.OPTIMAL, cp.FEASIBLE):
            return Reached(None, 0, is_proven=False, is_impossible=status == cp.INFEASIBLE)
        value = round(solver.objective_value)
        self._remember(solver)
        self.model.add(level <= value)
        bound = round(solver.best_objective_bound)
        return Reached(value, bound, is_proven=status == cp.OPTIMAL)

    def begin_with(self, chosen: Sequence[int]) -> None:
        """Let the search begin with a plan that is there: the candidates of all activities."""
        for number, steps in self._steps.items():
            for step, literal in enumerate(steps, 1):
                self.model.add_hint(literal, chosen[number] >= step)
        self.chosen, self.modes = list(chosen), [0] * len(chosen)
        for before in self.problem.befores:
            self.model.add_hint(self.firsts[before.id], self.goes_first(before))

    def _remember(self, solver: CpSolver) -> None:
        """Keep the answer, and begin with it when the next level is looked at."""
        self.chosen, self.modes = [], []
        for number in range(len(self.problem.activities)):
            if self.clock[number]:
                self.chosen.append(solver.value(self._index[number]))
            else:
                self.chosen.append(sum(map(solver.boolean_value, self._steps[number])))
            literals = self.mode_literals(number)
            on = [mode for mode, literal in enumerate(literals) if solver.boolean_value(literal)]
            self.modes.append(on[0] if on else 0)
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for literal in self._bools:
            self.model.add_hint(literal, solver.boolean_value(literal))
        for variable in self._index.values():
            self.model.add_hint(variable, solver.value(variable))

    def instant_of(self, end: End) -> int:
        """Return an end in the last answer."""
        activity = self.problem.activities[end.activity]
        return end.column(activity, self.modes[end.activity])[self.chosen[end.activity]]

    def goes_first(self, before: Before) -> bool:
        """Say whether the one of two goes first in the last answer."""
        return all(
            self.instant_of(earlier) <= self.instant_of(later)
            for earlier, later in before.one_first
        )
