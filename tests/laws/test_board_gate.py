"""Blockers are exact at the board gate too, now and for a later day.

Clearing all of them gives a yes, and clearing all but any one does not, unless the one left only
waited for another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from hypothesis import event, given
from hypothesis import strategies as st

from readiness.facts.vocabulary import Gate
from tests.builders import Asked, at
from tests.diary.builders import said
from tests.gates.test_board import JOB, NOW, SPRAYED, depth, job, yes

if TYPE_CHECKING:
    from readiness.gates.blockers import Blocker

SURFACES = ("bath.outer", "kitchen.outer")
AS_OF = "2026-05-13 09:00"
WHEN = (AS_OF, "2026-05-14 07:00", "2026-05-20 07:00")


@dataclass(frozen=True)
class Plan:
    """What was seen of a small job after the spray, surface by surface."""

    sprayed: bool
    released: bool
    depth: tuple[str, str]
    bond: tuple[str, str]
    looks: tuple[str, str]
    walked: tuple[bool, bool]
    swept: bool

    def entries(self) -> list[dict[str, Any]]:
        """Return it as a diary."""
        found = list(SPRAYED if self.sprayed else ())
        if self.sprayed and self.released:
            found.append(said("release", "2026-05-12T14:30:00", trip="first"))
        for number, surface in enumerate(SURFACES):
            if self.depth[number]:
                values = (3.1, 3.0, 2.9) if self.depth[number] == "good" else (3.1, 2.2, 3.0)
                found.append(depth(surface, *values))
            if self.bond[number]:
                found.append(yes("bond-holds", value=self.bond[number], places=(surface,)))
            if self.looks[number]:
                result = self.looks[number]
                found.append(
                    said("result", NOW, approval="foam-look", surfaces=[surface], result=result)
                )
            if self.walked[number]:
                room = surface.split(".")[0]
                found.append(said("done", NOW, work="walk", places=[room]))
        if self.swept:
            found.append(yes("swept"))
        return found

    def asked(self) -> Asked:
        """Return the job."""
        return job(*self.entries(), as_of=AS_OF, text=JOB)


pair = st.tuples
plans = st.builds(
    Plan,
    sprayed=st.sampled_from((True, True, True, False)),
    released=st.sampled_from((True, True, False)),
    depth=pair(*[st.sampled_from(("", "good", "low"))] * 2),
    bond=pair(*[st.sampled_from(("", "yes", "no"))] * 2),
    looks=pair(*[st.sampled_from(("", "passed", "failed"))] * 2),
    walked=pair(st.booleans(), st.booleans()),
    swept=st.booleans(),
).map(
    # Nobody can have read the depth of foam, or pulled at it, before it was there
    lambda plan: plan if plan.sprayed else replace(plan, depth=("", ""), bond=("", ""))
)


def cleared(plan: Plan, blocker: Blocker) -> Plan:
    """Return the plan with the statements that clear one blocker."""
    on = tuple(surface in blocker.surfaces for surface in SURFACES)

    def changed(values: tuple[Any, Any], good: object) -> Any:  # noqa: ANN401  of either kind
        return tuple(good if held else value for held, value in zip(on, values, strict=True))

    match blocker.code:
        case "release":
            return replace(plan, sprayed=True, released=True)
        case "depth-proven":
            return replace(plan, depth=changed(plan.depth, "good"))
        case "bond-holds":
            return replace(plan, bond=changed(plan.bond, "yes"))
        case "foam-check":
            good = replace(plan, depth=changed(plan.depth, "good"))
            return replace(good, bond=changed(plan.bond, "yes"))
        case "foam-look":
            return replace(plan, looks=changed(plan.looks, "passed"))
        case "walk":
            return replace(plan, walked=changed(plan.walked, good=True))
        case "swept":
            return replace(plan, swept=True)
        case _:
            raise AssertionError(blocker.code)


@given(plans, st.sampled_from(WHEN))
def test_clearing_all_blockers_gives_a_yes(plan: Plan, when: str) -> None:
    found = plan.asked()
    blockers = found.blockers(Gate.BOARD, at(when))
    assert found.verdicts(Gate.BOARD, at(when)).is_yes == (not blockers)
    changed = plan
    for blocker in blockers:
        changed = cleared(changed, blocker)
    again = changed.asked()
    assert again.blockers(Gate.BOARD, at(when)) == ()
    assert again.verdicts(Gate.BOARD, at(when)).is_yes


@given(plans, st.sampled_from(WHEN))
def test_clearing_all_but_one_does_not(plan: Plan, when: str) -> None:
    found = plan.asked()
    blockers = found.blockers(Gate.BOARD, at(when))
    for left in blockers:
        changed = plan
        for blocker in blockers:
            if blocker is not left:
                changed = cleared(changed, blocker)
        again = changed.asked()
        waited = (
            left.task is not None
            and again.outlook.forecast.finish[left.task] < found.outlook.forecast.finish[left.task]
        )
        event("waited for another" if waited else "stands alone")
        assert waited or not again.verdicts(Gate.BOARD, at(when)).is_yes, left


@given(plans, st.sampled_from(WHEN))
def test_passed_is_said_only_of_what_was_seen(plan: Plan, when: str) -> None:
    """A surface is called passed only with its release, its depth, its bond, its walk, its look."""
    found = plan.asked()
    for number, surface in enumerate(SURFACES):
        word = found.verdicts(Gate.BOARD, at(when)).surfaces[surface].word.value
        if word == "passed":
            assert plan.sprayed
            assert plan.released
            assert plan.swept
            seen = (plan.depth[number], plan.bond[number], plan.looks[number])
            assert seen == ("good", "yes", "passed")
            assert plan.walked[number]
