"""Things that may stand on either side of the foam, with the tables that ship with the package."""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_facts
from readiness.facts.vocabulary import Gate, JobKind, Order
from readiness.schedule.frame import frame_of
from tests.builders import Asked, at, laid_out, real, told

HEAD = (
    'name = "Cedar Lane 3"\nkey = "5b0e77a1"\nkind = "new house"\n'
    'site = { time_zone = "UTC", holidays = false }\n'
)
HOUSE = (
    '[rooms]\nbath = { is = "bath", storey = "ground" }\n'
    'hall = { is = "hall", storey = "ground" }\n'
    'plant = { is = "mechanical", storey = "ground" }\n'
    'attic = { is = "attic", storey = "upper" }\n'
    '[surfaces]\nbath.outer = { is = "wall above grade" }\n'
    'hall.outer = { is = "wall above grade" }\n'
    'plant.outer = { is = "wall above grade" }\n'
    'attic.deck = { is = "roof deck" }\n'
    'hall.floor = { is = "floor over cold space" }\n'
)
ONE_TRIP = "[trips]\nfirst = { booked = 2026-08-10T07:00:00 }\n"


def house(rest: str = ONE_TRIP, head: str = HEAD) -> Asked:
    """Return a new house with one trip, or what is written instead."""
    return real(head + HOUSE + rest)


def orders(job: Asked, stay: str) -> dict[str, Order]:
    """Return the order of a stay on every surface it touches."""
    return dict(job.site.stays[stay].order)


def test_the_tub_follows_the_foam_on_its_wall_and_its_pipes_come_before() -> None:
    job = house()
    assert orders(job, "tub")["bath.outer"] is Order.AFTER
    assert orders(job, "drain-rough")["bath.outer"] is Order.BEFORE
    assert ("first:release", "tub@bath") in job.links()


def test_a_tub_may_be_written_before_the_foam() -> None:
    job = house('[work]\ntub-wall-lining = false\ntub = { order = "before" }\n' + ONE_TRIP)
    assert ("tub@bath", "first:spray@bath.outer") in job.links()
    assert ("first:release", "tub@bath") not in job.links()


def test_a_furnace_after_the_deck_and_before_another_wall_needs_two_trips() -> None:
    text = (
        'plant.deck = { is = "roof deck" }\n'
        '[work]\nfurnace = { order = { "plant.deck" = "after", "plant.outer" = "before" } }\n'
        '[trips]\ndeck = { surfaces = ["plant.deck"] }\n'
        'rest = { surfaces = ["all but plant.deck"] }\n'
    )
    job = house(text)
    furnace = next(task.id for task in job.site.tasks if task.stay == "furnace")
    assert ("deck:release", furnace) in job.links()
    assert (furnace, "rest:spray@plant.outer") in job.links()


def test_ducts_come_before_in_a_floor_and_after_under_a_deck() -> None:
    job = house()
    assert orders(job, "duct-trunk")["hall.floor"] is Order.BEFORE
    assert orders(job, "attic-ducts")["attic.deck"] is Order.AFTER


@pytest.mark.parametrize(
    ("early", "work"),
    [
        ("bath.outer", 'tub = { order = { "bath.outer" = "after" } }'),
        ("hall.floor", 'duct-trunk = { order = { "hall.floor" = "after" } }'),
    ],
)
def test_an_early_trip_behind_a_tub_or_a_trunk_is_no_circle(early: str, work: str) -> None:
    """It is sprayed, released and hidden by the thing before the main trip, looks and all."""
    text = (
        f"[work]\n{work}\n"
        f'[trips]\nearly = {{ surfaces = ["{early}"], booked = 2026-05-06T07:00:00 }}\n'
        f'main = {{ surfaces = ["all but {early}"], booked = 2026-08-10T07:00:00 }}\n'
    )
    job = house(text)
    assert told(job.finish("early:release")) != "never"
    assert job.finish("early:release") < job.finish("main:release")


def test_what_the_foam_has_no_room_for_is_dropped_with_a_reason() -> None:
    """The boxes wait for the trunk as usual; where it follows the foam they do not."""
    text = (
        '[work]\nduct-trunk = { order = { "hall.floor" = "after" } }\n'
        '[trips]\nearly = { surfaces = ["hall.floor"] }\n'
        'main = { surfaces = ["all but hall.floor"] }\n'
    )
    usual, early = house(), house(text)
    boxes = ("duct-trunk@hall", "device-boxes@hall")
    assert boxes in usual.links()
    assert boxes not in early.links()
    crew = ("duct-trunk@hall", "duct-trunk@plant")
    assert crew in usual.links()
    assert crew in early.links()
    reasons = [drop.reason for drop in early.site.dropped if drop.work == "device-boxes"]
    assert any("follows the foam on hall.floor" in reason for reason in reasons)


def test_an_early_trip_is_ready_on_approvals_for_part() -> None:
    """Everything behind the tub is in and looked at there; the rest of the house is not."""
    looks = "".join(
        f'{name} = {{ surfaces = ["bath.outer"], result = "passed for part", '
        'at = 2026-05-04T06:00:00, by = "the office" }\n'
        for name in (
            "plumbing-approval",
            "gas-approval",
            "mechanical-approval",
            "electrical-approval",
            "framing-approval",
        )
    )
    job = house(
        "[approvals]\n"
        + looks
        + '[trips]\nearly = { surfaces = ["bath.outer"], booked = 2026-05-06T07:00:00 }\n'
        'main = { surfaces = ["all but bath.outer"], booked = 2026-08-10T07:00:00 }\n'
    )
    found = job.verdicts(Gate.PROMISE, at("2026-05-06 07:00"), "early")
    covered = {
        stay.id for stay in job.site.stays.values() if stay.approval and stay.approval in looks
    }
    failing = {
        job.site.requirements[number].code for number in found.surfaces["bath.outer"].failing
    }
    assert not failing & covered
    assert not any(code.endswith("-approval") for code in failing)
    main = job.verdicts(Gate.PROMISE, at("2026-05-06 07:00"), "main")
    main_failing = {
        job.site.requirements[number].code for number in main.surfaces["hall.outer"].failing
    }
    assert "framing-approval" in main_failing


def test_without_wiring_in_foam_the_electrician_follows_it_and_is_looked_at_before_board() -> None:
    job = house(head=HEAD + 'rules = ["no-wiring-in-foam"]\n')
    assert orders(job, "rough-electrical")["hall.outer"] is Order.AFTER
    assert ("first:release", "rough-electrical@hall") in job.links()
    front = [a for a in job.site.approvals if a.id == "electrical-approval" and not a.before_foam]
    assert front
    assert "hall.outer" in front[0].looks
    look = job.site.tasks[front[0].looks["hall.outer"]].id
    assert (look, "board start") in job.links()
    assert "electrical-approval" not in {
        requirement.code
        for index in job.site.requirements_at["hall.outer"]
        if (requirement := job.site.requirements[index]).task == front[0].looks["hall.outer"]
    }


def test_the_look_comes_before_the_coating_or_after_it_as_the_office_says() -> None:
    def coating_and_look(rule: str) -> tuple[set[tuple[str, str]], str, str]:
        job = house(head=HEAD + f'rules = ["{rule}"]\n')
        coating = next(
            task.id
            for task in job.site.tasks
            if task.stay == "barrier-coating" and "attic.deck" in task.surfaces
        )
        return job.links(), coating, "insulation-approval@attic.deck"

    links, coating, look = coating_and_look("look-before-coating")
    assert (look, coating) in links
    links, coating, look = coating_and_look("coating-before-look")
    assert (look, coating) not in links
    assert (coating, "insulation-approval:work complete:first") in links


def test_a_termite_strip_is_asked_about_where_its_rule_holds() -> None:
    def codes(head: str) -> set[str]:
        text = head + HOUSE + 'rim = { is = "rim joist" }\n' + ONE_TRIP
        return {requirement.code for requirement in real(text).site.requirements}

    assert "termite-strip-told" not in codes(HEAD)
    assert "termite-strip-told" in codes(HEAD + 'rules = ["termite-strip"]\n')


@pytest.mark.parametrize("kind", list(JobKind))
@pytest.mark.parametrize("rule", ["", *sorted(load_facts().rules)])
def test_every_kind_of_job_is_laid_out_without_a_circle_under_every_rule(
    kind: JobKind, rule: str
) -> None:
    head = HEAD.replace("new house", kind.value) + (f'rules = ["{rule}"]\n' if rule else "")
    surfaces = HOUSE + (
        'plant.below = { is = "wall below grade" }\nplant.rim = { is = "rim joist" }\n'
        'attic.gable = { is = "gable wall" }\nbath.sound = { is = "sound wall" }\n'
        'plant.crawl = { is = "crawl wall" }\nhall.metal = { is = "metal wall" }\n'
        'attic.metal = { is = "metal roof" }\nattic.floor = { is = "attic floor" }\n'
    )
    assert frame_of(laid_out(head + surfaces + ONE_TRIP, load_facts())).network.ids
