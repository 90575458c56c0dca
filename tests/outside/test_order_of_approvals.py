"""The order of looks against the International Residential Code, section R109.1.

Source: IRC R109.1.2, R109.1.4 and R109.1.5 as the city of Bluefield, WV, reproduces them on its
page of required inspections (seen); R109.1 and R109.4, that nothing is hidden before it is
approved, as a form of Washington State L&I quotes the 2015 edition (on a secondary page).
"""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_facts
from readiness.facts.vocabulary import Gate
from readiness.site.task import TaskKind
from tests.builders import Asked, at, real

HEAD = (
    'name = "Cedar Lane 3"\nkey = "5b0e77a1"\nkind = "new house"\n'
    'site = { time_zone = "UTC", holidays = false }\n'
    '[rooms]\nbath = { is = "bath" }\nplant = { is = "mechanical" }\n'
    '[surfaces]\nbath.outer = { is = "wall above grade" }\nplant.rim = { is = "rim joist" }\n'
    "[trips]\nfirst = { booked = 2026-08-10T07:00:00 }\n"
)
ROUGH = ("plumbing-approval", "gas-approval", "mechanical-approval", "electrical-approval")


@pytest.fixture(scope="module")
def house() -> Asked:
    """Return a new house in which every trade hides something."""
    return real(HEAD)


def looks(job: Asked, approval: str) -> list[int]:
    """Return the tasks of one kind of look."""
    return [look for a in job.site.approvals if a.id == approval for look in a.looks.values()]


def waits_for(job: Asked, later: int) -> frozenset[int]:
    """Return everything a task waits for."""
    return job.outlook.network.upstream([later])


@pytest.mark.parametrize("approval", ROUGH)
def test_rough_work_is_seen_before_it_is_hidden_and_before_the_framing(
    house: Asked, approval: str
) -> None:
    """R109.1.2 and R109.1.4: rough-ins before concealment, and approved before the frame look."""
    for look in looks(house, approval):
        (surface,) = house.site.tasks[look].surfaces
        spray = house.site.trips["first"].sprays[surface]
        frame = house.task(f"framing-approval@{surface}")
        assert look in waits_for(house, spray)
        assert look in waits_for(house, frame)


def test_framing_is_seen_after_roof_framing_and_fire_blocking_and_before_the_foam(
    house: Asked,
) -> None:
    """R109.1.4: after roof, framing, fire-blocking and bracing are in place."""
    for look in looks(house, "framing-approval"):
        (surface,) = house.site.tasks[look].surfaces
        stays = {house.site.tasks[task].stay for task in waits_for(house, look)}
        assert {"framing", "framing-hardware", "fire-blocking"} <= stays
        assert look in waits_for(house, house.site.trips["first"].sprays[surface])


def test_the_insulation_is_seen_after_the_foam_and_before_the_board(house: Asked) -> None:
    """R109.1.5: the further looks an office asks for, here at the insulation."""
    board = waits_for(house, house.site.board_start)
    for look in looks(house, "insulation-approval"):
        assert house.site.trips["first"].release in waits_for(house, look)
        assert look in board


def test_nothing_is_hidden_before_it_is_approved(house: Asked) -> None:
    """R109.4: with everything done and nothing approved no surface may be sprayed."""
    done = ", ".join(f'"{stay}"' for stay in house.site.stays if _is_before(house, stay))
    text = HEAD.replace("[rooms]", f"done = [{done}]\n[rooms]", 1)
    job = real(text)
    verdicts = job.verdicts(Gate.ROLL, at("2026-08-10 07:00"))
    for surface, verdict in verdicts.surfaces.items():
        codes = {job.site.requirements[number].code for number in verdict.failing}
        assert "framing-approval" in codes, surface
        assert verdict.flags.early or verdict.flags.unprepared


def _is_before(job: Asked, stay: str) -> bool:
    return any(order.value == "before" for order in job.site.stays[stay].order.values())


def test_no_official_approval_can_be_waived() -> None:
    assert all(kind.binding for kind in load_facts().approvals.values())


def test_every_look_before_the_foam_is_asked_for(house: Asked) -> None:
    for task in house.site.tasks:
        if task.kind is TaskKind.APPROVAL and "insulation" not in task.id:
            codes = [r.code for r in house.site.requirements if r.task == task.index]
            assert len(codes) == 1
