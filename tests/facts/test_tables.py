"""What holds in every table of facts: names, references, sources, quantities.

Invariant: each rule is checked over all rows, so that a new row meets it without a new test.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

import pytest

from readiness.facts.loader import TABLES, load_facts
from readiness.facts.rows import UsualLink
from readiness.facts.vocabulary import (
    LEFT_OUT,
    Category,
    Effect,
    Gate,
    JobKind,
    Order,
    Proof,
    Role,
    Status,
)
from readiness.site.requirements import HIDDEN_WORK
from tests.facts.tables import RawRow, raw_rows, raw_tables, text_of

FACTS = load_facts()
ROWS = raw_rows()

WHOLE_WORDS = re.compile(r"[a-z]+(-[a-z]+)*")
DURATION = re.compile(r"(0|[1-9][0-9]*) (d|h|min|h elapsed)")
GAP = re.compile(r"[1-9][0-9]* (d|h)|[1-9][0-9]* h elapsed")
LENGTH = re.compile(r"[1-9][0-9]*(\.[0-9]+)? in|0\.[0-9]+ in")
LIMIT = re.compile(r"[1-9][0-9]* (%|F)")

STANDARD = re.compile(r"\b[A-Z]{3,} [A-Z]?[0-9]")
SAME_MORNING = re.compile(r"[1-4] h|30 min|1 d")

DURATIONS = {"takes", "wanted_before", "fresh_for", "pull_takes", "notice", "correction_takes"}
LONGEST_DAYS = 20
STOPS = {Effect.STOPS_TRIP, Effect.STOPS_ROOM, Effect.STOPS_SURFACE}


def _faults(found: Iterable[tuple[str, object]]) -> list[tuple[str, object]]:
    """Return what was found, as a list that pytest prints."""
    return list(found)


def _links() -> list[tuple[str, UsualLink]]:
    """Return every usual link with the name of the later work."""
    return [
        (name, link)
        for name, kind in FACTS.work.items()
        for link in (*kind.starts_after, *kind.finishes_after)
    ]


def _earlier(link: UsualLink) -> str:
    return link.end_of or link.start_of


def test_no_two_rows_of_what_a_gate_asks_share_a_name() -> None:
    """A blocker is told by its id alone, so the three tables have no id in common."""
    names = Counter([*FACTS.work, *FACTS.requirements, *FACTS.approvals])
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("table", [name for name in TABLES if name != "surfaces"])
def test_names_are_whole_words_with_hyphens(table: str) -> None:
    assert [name for name in raw_tables()[table] if not WHOLE_WORDS.fullmatch(name)] == []


@pytest.mark.parametrize("table", TABLES)
def test_every_table_says_what_it_decides_and_when_it_was_checked(table: str) -> None:
    head = text_of(table).split("\n[", 1)[0]
    assert head.startswith("# ")
    assert "# Decides: " in head
    assert "# Checked: 2026-11" in head


def test_every_row_names_its_source_and_how_far_it_was_seen() -> None:
    assert _faults((n, r) for n, r in ROWS if not r.get("source") or not r.get("status")) == []


def test_common_practice_has_no_source_and_everything_else_has_one() -> None:
    unsourced = "common practice, no source"
    faults = _faults(
        (name, row["source"])
        for name, row in ROWS
        if (row["source"] == unsourced) is not (row["status"] == Status.COMMON_PRACTICE)
    )
    assert faults == []


def test_a_value_from_memory_names_the_standard() -> None:
    """Whoever reads it can look it up, and nobody takes it for seen."""
    faults = _faults(
        (name, row["source"])
        for name, row in ROWS
        if row["status"] == Status.FROM_MEMORY and not STANDARD.search(row["source"])
    )
    assert faults == []


def test_durations_are_written_one_way() -> None:
    faults = _faults(
        (f"{name}.{key}", value)
        for name, row in ROWS
        for key, value in row.items()
        if key in DURATIONS and not DURATION.fullmatch(value)
    )
    assert faults == []


def test_no_usual_duration_is_longer_than_four_weeks_of_work() -> None:
    faults = _faults(
        (f"{name}.{key}", value)
        for name, row in ROWS
        for key, value in row.items()
        if key in DURATIONS and value.endswith(" d") and int(value.split()[0]) > LONGEST_DAYS
    )
    assert faults == []


def test_gaps_of_links_are_written_one_way() -> None:
    faults = _faults((n, k.gap) for n, k in _links() if k.gap and not GAP.fullmatch(k.gap))
    assert faults == []


def test_clearances_are_lengths_in_inches() -> None:
    faults = _faults(
        (name, kind.clearance)
        for name, kind in FACTS.obstructions.items()
        if kind.clearance and not LENGTH.fullmatch(kind.clearance)
    )
    assert faults == []


def test_limits_carry_their_unit_and_belong_to_a_reading() -> None:
    """A row with a reading has exactly one limit; a row without has none."""
    for name, kind in FACTS.requirements.items():
        limits = [limit for limit in (kind.at_most, kind.at_least) if limit]
        assert len(limits) == (kind.reading is not None), name
        assert all(LIMIT.fullmatch(limit) for limit in limits), name


def test_links_name_one_earlier_work_and_say_why() -> None:
    faults = _faults(
        (name, link)
        for name, link in _links()
        if bool(link.end_of) is bool(link.start_of)
        or _earlier(link) not in FACTS.work
        or _earlier(link) == name
        or not link.why
    )
    assert faults == []


def test_no_link_is_told_twice() -> None:
    times = Counter((name, link.end_of, link.start_of) for name, link in _links())
    assert [key for key, count in times.items() if count > 1] == []


def test_every_named_trade_has_its_row_and_every_trade_is_used() -> None:
    roles = set(Role)
    named = {kind.trade for kind in FACTS.work.values()}
    named |= {kind.pull_trade for kind in FACTS.obstructions.values()}
    named |= {kind.correction_trade for kind in FACTS.approvals.values()}
    cleared_by = {kind.clears for kind in FACTS.requirements.values()}
    assert named | (cleared_by - roles) <= set(FACTS.trades)
    assert set(FACTS.trades) <= named | cleared_by


def test_every_trade_has_two_letters_of_its_own() -> None:
    letters = [trade.letters for trade in FACTS.trades.values()]
    assert [pair for pair in letters if not re.fullmatch(r"[A-Z]{2}", pair)] == []
    assert len(set(letters)) == len(letters)


def test_what_a_work_sets_is_an_obstruction_that_it_comes_after() -> None:
    """The thing closes the window of a surface only if its work waits for the foam there."""
    for name, kind in FACTS.work.items():
        if kind.sets:
            after = {s for rule in kind.touches if rule.order is Order.AFTER for s in rule.on}
            assert after & set(FACTS.obstructions[kind.sets].blocks), name


def test_work_that_is_approved_names_its_approval_and_no_other_does() -> None:
    faults = _faults(
        (name, kind.approval)
        for name, kind in FACTS.work.items()
        if (kind.proof is Proof.APPROVED) is not (kind.approval in FACTS.approvals)
    )
    assert faults == []


def test_approvals_before_the_foam_cover_work_before_it() -> None:
    """Work that an office sees before the foam stands before it, the rest closes the foam up."""
    for name, kind in FACTS.work.items():
        if kind.approval:
            orders = {rule.order for rule in kind.touches}
            after_spray = FACTS.approvals[kind.approval].after_spray
            assert orders == {Order.CLOSING_UP if after_spray else Order.BEFORE}, name


def test_every_approval_covers_some_work_in_each_kind_of_job_that_has_it() -> None:
    for name, approval in FACTS.approvals.items():
        for job in approval.usual_in:
            works = [k for k in FACTS.work.values() if k.approval == name and job in k.usual_in]
            assert works, (name, job)


def test_usual_work_finds_its_approval_in_the_same_kind_of_job() -> None:
    faults = _faults(
        (name, job)
        for name, kind in FACTS.work.items()
        for job in kind.usual_in
        if kind.approval and job not in FACTS.approvals[kind.approval].usual_in
    )
    assert faults == []


def test_obstructions_name_the_approval_of_their_reconnection() -> None:
    named = {kind.approval for kind in FACTS.obstructions.values() if kind.approval}
    assert named <= set(FACTS.approvals)


def test_there_are_thirty_eight_obstructions_and_each_says_the_way_round_it() -> None:
    assert len(FACTS.obstructions) == 38
    assert [name for name, kind in FACTS.obstructions.items() if not kind.instead] == []


def test_gas_wiring_and_flues_are_pulled_by_licensed_trades_with_a_caution() -> None:
    licensed = {name for name, kind in FACTS.obstructions.items() if kind.licensed}
    assert {"furnace", "water-heater", "panel", "fireplace", "flue"} <= licensed
    for name in licensed:
        assert FACTS.obstructions[name].caution, name
        assert FACTS.obstructions[name].approval, name


def test_loose_things_are_cleared_within_a_day_by_whoever_left_them() -> None:
    """A loose thing makes a place not prepared; what takes longer must be fixed."""
    for name, kind in FACTS.obstructions.items():
        if not kind.fixed:
            assert SAME_MORNING.fullmatch(kind.pull_takes), name


def test_local_rules_change_rows_that_exist() -> None:
    kinds = set(FACTS.work) | set(FACTS.approvals)
    for name, rule in FACTS.rules.items():
        for patch in rule.patches:
            assert not patch.work or patch.work in FACTS.work, name
            assert patch.work or patch.requires, name
            assert not patch.approval or patch.approval in FACTS.approvals, name
            assert not patch.requires or patch.requires in FACTS.requirements, name
            assert set(patch.drop_links_from) <= kinds, name
            assert {_earlier(link) for link in patch.starts_after} <= kinds, name


def test_a_local_rule_drops_only_links_that_are_there() -> None:
    for name, rule in FACTS.rules.items():
        for patch in rule.patches:
            if patch.drop_links_from:
                kind = FACTS.work[patch.work]
                earlier = {_earlier(link) for link in (*kind.starts_after, *kind.finishes_after)}
                assert set(patch.drop_links_from) <= earlier, (name, patch.work)


def test_every_requirement_is_usual_somewhere_or_switched_on_by_a_rule() -> None:
    asked = {patch.requires for rule in FACTS.rules.values() for patch in rule.patches}
    asked.add(HIDDEN_WORK)  # asked by site cards alone
    asked.add(LEFT_OUT)  # asked wherever something is left out
    # An owner's walk before board is a matter of contract: a job that names it is asked for it
    # (tests/site/test_asked_by_name.py); by itself it stands among the things of handing over
    asked.add("owner-shown")
    unused = [n for n, k in FACTS.requirements.items() if not k.usual_in and n not in asked]
    assert unused == []


def test_every_kind_of_work_and_approval_is_usual_in_some_kind_of_job() -> None:
    assert [name for name, kind in FACTS.work.items() if not kind.usual_in] == []
    assert [name for name, kind in FACTS.approvals.items() if not kind.usual_in] == []


def test_a_new_house_has_about_sixty_works_and_every_other_job_fewer() -> None:
    works = Counter(job for kind in FACTS.work.values() for job in kind.usual_in)
    assert 55 <= works[JobKind.NEW_HOUSE] <= 75
    assert all(10 <= works[job] < works[JobKind.NEW_HOUSE] for job in JobKind if job != "new house")


def test_every_kind_of_job_has_work_before_and_after_and_closing_up() -> None:
    for job in JobKind:
        usual = [kind for kind in FACTS.work.values() if job in kind.usual_in]
        orders = {rule.order for kind in usual for rule in kind.touches}
        assert orders == {Order.BEFORE, Order.AFTER, Order.CLOSING_UP}, job


def test_no_work_stands_on_both_sides_of_the_foam() -> None:
    """One stay before some foam and after other foam would ask for two trips in every job."""
    faults = _faults(
        (name, orders)
        for name, kind in FACTS.work.items()
        if len(orders := {rule.order for rule in kind.touches}) > 1
    )
    assert faults == []


def test_hidden_work_always_stops_what_hides_it() -> None:
    """So that a spray window opens exactly when nothing that belongs before is open."""
    faults = _faults(
        (name, kind.effect)
        for name, kind in FACTS.work.items()
        if any(rule.order is Order.BEFORE for rule in kind.touches) and kind.effect not in STOPS
    )
    assert faults == []


def test_work_that_closes_the_foam_up_is_due_before_board() -> None:
    for name, kind in FACTS.work.items():
        closing = any(rule.order is Order.CLOSING_UP for rule in kind.touches)
        assert (kind.due is Gate.BOARD) is closing, name


def test_at_least_half_of_the_questions_about_a_new_house_stop_nothing() -> None:
    """A good job stays quiet: the rest costs money or is a note.

    This is about what is asked before the rig comes. What is seen of the foam afterwards is asked
    of no trip, and most of it holds board back by its nature: board would hide it.
    """
    usual = [
        kind
        for kind in FACTS.requirements.values()
        if JobKind.NEW_HOUSE in kind.usual_in and kind.due is not Gate.BOARD
    ]
    assert 2 * sum(kind.effect not in STOPS for kind in usual) >= len(usual)


def test_what_the_crew_does_on_arrival_is_due_at_the_gun() -> None:
    for name, kind in FACTS.requirements.items():
        if kind.category is Category.ON_THE_DAY or kind.clears == Role.CREW_LEAD:
            assert kind.due in {Gate.GUN, Gate.BOARD} or kind.effect is Effect.NOTE, name


def test_agreements_are_asked_early_or_are_only_a_note_or_money() -> None:
    for name, kind in FACTS.requirements.items():
        if kind.category is Category.AGREEMENT and kind.effect in STOPS:
            assert kind.due is Gate.PROMISE or name == "termite-strip-told", name
        if kind.due is Gate.PROMISE:
            assert kind.wanted_before.endswith(" d"), name


def test_questions_are_questions() -> None:
    faults = [n for n, k in FACTS.requirements.items() if not k.question.endswith("?")]
    assert faults == []


def test_trip_steps_stand_in_the_order_of_the_day() -> None:
    assert list(FACTS.trip) == [
        "walk-in",
        "conditions-check",
        "masking",
        "box-covers",
        "air-handling-off",
        "containment",
        "rig-warm-up",
        "spray",
        "probe",
        "trim",
        "clean-up",
        "keep-out",
    ]


def test_only_the_keep_out_runs_on_the_clock() -> None:
    on_the_clock = {name for name, step in FACTS.trip.items() if step.clock}
    assert on_the_clock == {"keep-out"}
    assert FACTS.trip["keep-out"].takes == "24 h elapsed"


def test_no_row_calls_anything_safe() -> None:
    """The tool knows times and answers; who is harmed by what it does not know."""
    word = re.compile(r"\bsafe", re.IGNORECASE)
    faults = _faults(
        (name, text) for name, row in ROWS for text in _texts(row) if word.search(text)
    )
    assert faults == []


def test_sentences_end_with_a_stop_and_titles_without() -> None:
    for name, row in ROWS:
        assert not row["title"].endswith("."), name
        sentences = [row[key] for key in ("why", "caution", "instead") if row.get(key)]
        assert all(sentence[-1] in ".?" for sentence in sentences), name


def _texts(row: RawRow) -> Iterable[str]:
    """Yield every text of a row, those of its links too."""
    for value in row.values():
        if isinstance(value, str):
            yield value
        elif isinstance(value, list):
            for item in value:
                yield from _texts(item) if isinstance(item, dict) else [str(item)]
