"""Ids that lead to a row of facts or a line of the file, and rows that are binding."""

from __future__ import annotations

import pytest

from readiness.facts.loader import load_facts
from readiness.job.loading import load_job_text
from readiness.job.problems import JobFileError
from tests.job.builders import FILE, checked, job_text, line_with, loaded


def told(text: str) -> list[str]:
    """Return the problems of a text, without file and line."""
    return [str(problem).partition(": ")[2] for problem in checked(text)]


def one(text: str) -> str:
    (problem,) = told(text)
    return problem


@pytest.mark.parametrize(
    ("work", "sentence"),
    [
        (
            'rough-electricl = { takes = "3 d" }',
            (
                "work.rough-electricl: rough-electricl is no usual work; "
                "did you mean rough-electrical?"
            ),
        ),
        (
            'skylight-shaft = { takes = "3 d" }',
            (
                "work.skylight-shaft: skylight-shaft is no usual work; "
                "work of your own needs at least trade and takes"
            ),
        ),
        (
            "rough-electricl = false",
            (
                "work.rough-electricl: rough-electricl is no usual work, so there is nothing to "
                "remove; did you mean rough-electrical?"
            ),
        ),
        (
            'tub = { trade = "plumbr" }',
            "work.tub.trade: plumbr is no known trade; did you mean plumber?",
        ),
        (
            'tub = { approval = "plumbing-aproval" }',
            (
                "work.tub.approval: plumbing-aproval is no known approval; "
                "did you mean plumbing-approval?"
            ),
        ),
        (
            'tub = { waits_not_for = "plumbing-tst" }',
            "work.tub.waits_not_for: plumbing-tst is no work; did you mean plumbing-test?",
        ),
    ],
)
def test_an_unknown_id_in_a_line_of_work_is_told(work: str, sentence: str) -> None:
    assert one(job_text(work=work)) == sentence


def test_work_of_ones_own_has_a_trade_and_a_duration() -> None:
    own = 'skylight-shaft = { trade = "roof-crew", takes = "3 h", in = "kitchen" }'
    loaded(job_text(work=own, trades='roof-crew = { phone = "555-0143" }'))


@pytest.mark.parametrize(
    ("link", "sentence"),
    [
        ('{ end_of = "tub" }', ".end_of: tub waits for itself"),
        ('{ start_of = "tub" }', ".start_of: tub waits for itself"),
        ("{ }", ": a link names what it waits for, once; write end_of"),
        ('{ end_of = "framing", start_of = "slab" }', ": a link names what it waits for, once"),
        (
            '{ end_of = "framng" }',
            ".end_of: framng is no work, approval or trip of this job; did you mean framing?",
        ),
        (
            '{ end_of = "range-hood-duct" }',
            (
                ".end_of: range-hood-duct is not in this job; line 21 removes it; "
                "take out one of the two"
            ),
        ),
        (
            '{ end_of = "strip-out" }',
            (
                ".end_of: strip-out is not usual in this kind of job; "
                "add a line for it: strip-out = { }"
            ),
        ),
    ],
)
@pytest.mark.parametrize("key", ["starts_after", "finishes_after"])
def test_a_link_that_joins_nothing_is_told(key: str, link: str, sentence: str) -> None:
    text = job_text(work=f"tub = {{ {key} = {link} }}\nrange-hood-duct = false")
    assert line_with(text, "range-hood-duct = ") == 21
    assert one(text).startswith(f"work.tub.{key}{sentence}")


@pytest.mark.parametrize("other", ["framing", "plumbing-approval", "first", "heat-cable"])
def test_a_link_may_name_work_approvals_and_trips(other: str) -> None:
    work = (
        f'tub = {{ starts_after = {{ end_of = "{other}" }} }}\n'
        'heat-cable = { trade = "electrician", takes = "1 h", in = "kitchen" }'
    )
    loaded(job_text(work=work))


def test_an_approval_that_is_switched_off_can_not_be_waited_for() -> None:
    """All approvals are binding, so both lines are told."""
    text = job_text(
        work='tub = { starts_after = { end_of = "gas-approval" } }',
        approvals="gas-approval = false",
    )
    assert [problem.split(":")[0] for problem in told(text)] == [
        "work.tub.starts_after.end_of",
        "approvals.gas-approval",
    ]


@pytest.mark.parametrize(
    ("done", "sentence"),
    [
        ('["framng"]', "framng is no work of this job; did you mean framing?"),
        ('["strip-out"]', "strip-out is not usual in this kind of job"),
        ('["range-hood-duct"]', "range-hood-duct is not in this job"),
        ('["slab", "slab"]', "slab is in the list twice"),
        ('["tub"]', "tub is finished here and open on line"),
        ('["roofing"]', "roofing is finished here and open on line"),
        ('["sheathing"]', "sheathing is finished here and open on line"),
    ],
)
def test_finished_work_must_be_in_the_job_and_not_open(done: str, sentence: str) -> None:
    text = job_text(
        f"done = {done}\n",
        work=(
            "range-hood-duct = false\ntub = { done = false }\n"
            'roofing = { begun = 2026-05-01, share = "60 %" }\n'
            'sheathing = { begun = 2026-05-01, remaining = "1 d" }'
        ),
    )
    assert sentence in one(text)


def test_finished_work_may_have_a_line_of_its_own() -> None:
    loaded(job_text('done = ["tub", "slab"]\n', work='tub = { takes = "3 h", done = true }'))


def test_a_trade_that_no_work_belongs_to_is_told() -> None:
    assert one(job_text(trades='electrican = { phone = "555-0142" }')) == (
        "trades.electrican: electrican is no usual trade; did you mean electrician?"
    )
    assert "give it work, or take it out" in one(job_text(trades="juggler = {}"))


def test_an_approval_is_given_by_one_office() -> None:
    text = job_text(
        offices='a = { for = ["gas-approval", "gas-aproval"] }\nb = { for = "gas-approval" }'
    )
    assert told(text) == [
        "offices.a.for[2]: gas-aproval is no known approval; did you mean gas-approval?",
        "offices.b.for: gas-approval is already given by a",
    ]


@pytest.mark.parametrize(
    ("approvals", "words"),
    [
        ("gas-aproval = { }", "gas-aproval is no known approval; did you mean gas-approval?"),
        ("gas-approval = false", 'write who said so: { result = "not required here"'),
        ('gas-approval = { result = "passed" }', "'passed' has no day; write at = DAY"),
        (
            'gas-approval = { result = "not required here", at = 2026-05-01 }',
            "'not required here' needs who said so",
        ),
        (
            'gas-approval = { result = "accepted otherwise", at = 2026-05-01 }',
            "'accepted otherwise' needs who said so",
        ),
        (
            'gas-approval = { result = "may cover, correct later", at = 2026-05-01 }',
            "needs what is to be corrected",
        ),
    ],
)
def test_a_statement_about_an_approval_that_can_not_stand_is_told(
    approvals: str, words: str
) -> None:
    assert words in one(job_text(approvals=approvals))


def test_statements_about_approvals_that_can_stand_are_taken() -> None:
    loaded(
        job_text(
            approvals=(
                "gas-approval = { requested = 2026-05-01T09:00:00 }\n"
                'framing-approval = { result = "passed", at = 2026-05-01 }\n'
                'plumbing-approval = { result = "not required here", by = "A. Ortiz", '
                "at = 2026-05-01 }"
            )
        )
    )


def test_an_unknown_obstruction_rule_or_setting_work_is_told() -> None:
    text = job_text(
        'rules = ["no-wiring-in-fome"]\n',
        obstructions=(
            'a = { is = "tubb", blocks = "kitchen" }\n'
            'b = { is = "tub", blocks = "kitchen", set_by = "tubs" }\n'
            'c = { is = "tub", blocks = "kitchen", set_by = "tub" }'
        ),
    )
    assert told(text) == [
        "rules[1]: no-wiring-in-fome is no known local rule; did you mean no-wiring-in-foam?",
        "obstructions.a.is: tubb is no known obstruction; did you mean tub?",
        "obstructions.b.set_by: tubs is no work of this job; did you mean tub?",
    ]


def test_what_a_thing_is_set_by_must_be_in_the_job() -> None:
    thing = 'tub-1 = { is = "tub", blocks = "kitchen", set_by = "tub" }'
    assert "tub is no work of this job" in one(job_text(work="tub = false", obstructions=thing))


BINDING_WORK = sorted(name for name, row in load_facts().work.items() if row.binding)
BINDING_REQUIREMENTS = sorted(
    name for name, row in load_facts().requirements.items() if row.binding
)


@pytest.mark.parametrize("name", BINDING_WORK)
def test_binding_work_can_not_be_removed_or_made_a_note(name: str) -> None:
    assert f"work.{name}: {name} can't be removed; it is binding" in one(
        job_text(work=f"{name} = false")
    )
    assert "it is binding" in one(job_text(work=f'{name} = {{ effect = "note" }}'))
    effect = load_facts().work[name].effect
    loaded(job_text(work=f'{name} = {{ effect = "{effect}" }}'))


@pytest.mark.parametrize("name", BINDING_REQUIREMENTS)
def test_a_binding_requirement_can_not_be_switched_off_weakened_or_waived(name: str) -> None:
    assert f"{name} can't be switched off; it is binding" in one(
        job_text(requirements=f"{name} = false")
    )
    for change in ('effect = "note"', 'due = "board"', 'wanted_before = "1 h"'):
        assert "can't be changed; it is binding" in one(
            job_text(requirements=f"{name} = {{ {change} }}")
        )
    assert f"{name} can't be waived; it is binding" in one(job_text(waivers=waiver(name)))


def test_a_binding_limit_is_changed_by_another_product_sheet_only() -> None:
    assert "only another product sheet changes it" in one(
        job_text(requirements='wood-moisture = { at_most = "15 %" }')
    )
    assert "only another product sheet changes it" in one(
        job_text(requirements='substrate-temperature = { at_least = "35 F" }')
    )
    loaded(job_text(requirements='wood-moisture = { at_most = "15 %", sheet = "Sheet 7" }'))


def test_other_requirements_can_be_switched_off_and_changed() -> None:
    loaded(job_text(requirements='swept = false\nscaffold = { effect = "note" }'))
    assert "swpt is no known requirement" in one(job_text(requirements="swpt = false"))


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ('yes = "gate-and-kys"', "gate-and-kys is no known requirement; did you mean"),
        ('yes = "swept", no = ["swept"]', "swept is answered yes and no"),
        ("yes = []", "nothing is answered"),
        ('yes = "swept", trip = "frst"', "frst is no trip of this job; did you mean first?"),
    ],
)
def test_an_answer_to_nothing_is_told(answers: str, words: str) -> None:
    assert words in one(job_text(answers=f"a = {{ {answers}, at = 2026-05-01 }}"))


def test_answers_may_speak_of_requirements_work_approvals_and_things() -> None:
    loaded(
        job_text(
            obstructions='tub-1 = { is = "tub", blocks = "kitchen" }',
            answers='a = { yes = ["swept", "framing"], no = "tub-1", unknown = "gas-approval", '
            'trip = "first", at = 2026-05-01 }',
        )
    )


def waiver(requirement: str = "swept", role: str = "", trip: str = "first") -> str:
    """Return a waiver of a requirement by whom it is up to, unless another role is given."""
    role = role or str(load_facts().requirements["swept"].override)
    return (
        f'a = {{ requirement = "{requirement}", surfaces = "kitchen", trip = "{trip}", '
        f'role = "{role}", by = "A. Ortiz", reason = "b", at = 2026-05-01 }}'
    )


def test_a_waiver_by_whom_it_is_up_to_is_taken() -> None:
    loaded(job_text(waivers=waiver()))


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (waiver("swpt"), "swpt is no known requirement"),
        (waiver(trip="second"), "second is no trip of this job"),
        (waiver(role="trade"), "swept is not for the trade to waive; that is up to the"),
        (waiver("gas-approval"), "gas-approval can't be waived; it is binding"),
    ],
)
def test_a_waiver_that_can_not_be_is_told(row: str, words: str) -> None:
    assert words in one(job_text(waivers=row))


def test_what_nobody_may_waive_is_not_waived_by_anybody() -> None:
    facts = load_facts()
    nobody = facts.requirements["swept"].model_copy(update={"override": None})
    changed = facts.model_copy(update={"requirements": {**facts.requirements, "swept": nobody}})
    with pytest.raises(JobFileError, match="nobody may waive swept"):
        load_job_text(job_text(waivers=waiver()), FILE, changed)


def test_an_obstruction_and_work_of_ones_own_may_be_waived() -> None:
    for requirement in ("tub-1", "heat-cable"):
        loaded(
            job_text(
                work='heat-cable = { trade = "electrician", takes = "1 h", in = "kitchen" }',
                obstructions='tub-1 = { is = "tub", blocks = "kitchen" }',
                waivers=waiver(requirement),
            )
        )
