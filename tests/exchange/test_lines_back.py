"""What goes back from a site card: each kind in the form in which it is typed, with its proof."""

from __future__ import annotations

from typing import get_args

import pytest

from readiness.diary.entries import ENTRY, AnyEntry
from readiness.diary.history import Noted
from readiness.exchange.lines_back import FORMS, LinesBack, lines_back
from readiness.job.origin import Origin

AT_HOME = {
    "begun",
    "done",
    "not-done",
    "requested",
    "result",
    "set",
    "pulled",
    "thing-dated",
    "photo",
    "dated",
    "trip",
    "sealed",
    "off",
    "extra",
    "late",
    "takes",
    "crews",
    "first",
    "slip",
    "change",
    "damage",
    "override",
    "sign-off",
    "job-file",
    "replied",
    "sent",
}
"""Kinds that the contractor writes or decides; they don't come from a card."""


def back(kind: str, **fields: object) -> LinesBack:
    entry = ENTRY.validate_python(
        {
            "kind": kind,
            "writer": "lea",
            "number": 1,
            "seen": "2026-05-11T07:40:00",
            "written": "2026-05-11T12:00:00Z",
            "by": "Lea Brandt",
            "role": "crew lead",
            "how": "seen",
            **fields,
        }
    )
    return lines_back([Noted(entry, Origin("diary/lea.jsonl", 1, "entry lea#1"), "lea#1")])


HEAD = "2026-05-11 07:40 Lea Brandt, crew lead: "


@pytest.mark.parametrize(
    ("kind", "fields", "line"),
    [
        ("arrived", {"trip": "main"}, "arrived main --how seen"),
        (
            "reserved",
            {"trip": "main", "surfaces": ["rim"], "follow_up": "seal it", "behind": "duct"},
            'reserved main rim --behind "duct" --reason "seal it" --how seen',
        ),
        ("sprayed", {"trip": "main", "surfaces": ["all"]}, "sprayed main all --how seen"),
        (
            "sprayed",
            {"trip": "main", "surfaces": ["roof"], "share": "60 %"},
            "sprayed main roof 60 % --how seen",
        ),
        ("rigs", {"trip": "main", "rigs": 2}, "rigs main 2 --how seen"),
        ("ventilated", {"trip": "main", "yes": False}, "ventilated main no --how seen"),
        (
            "answer",
            {"requirement": "heat-on", "value": "doesn't know", "trip": "main"},
            "unknown heat-on --trip main --how seen",
        ),
        (
            "answer",
            {"requirement": "heat-on", "value": "promised", "promised_by": "2026-05-12T08:00:00"},
            "promised heat-on 2026-05-12 08:00 --how seen",
        ),
        (
            "depth",
            {"surface": "roof", "field": ["3.4 in"], "perimeter": ["3.1 in"]},
            "depth roof 3.4 3.1e --how seen",
        ),
        (
            "stop",
            {"reason": 'a "big" hole', "places": ["bath"], "how": "said"},
            'stop "a \\"big\\" hole" bath --how said',
        ),
        (
            "confirmed",
            {"trip": "main", "yes": False, "reason": "hose leak"},
            'refused main --reason "hose leak" --how seen',
        ),
        ("remark", {"text": "one\ntwo"}, 'remark "one two" --how seen'),
    ],
)
def test_an_entry_is_told_as_it_is_typed(kind: str, fields: dict[str, object], line: str) -> None:
    assert back(kind, **fields).lines == (HEAD + line,)


def test_a_trade_and_a_day_alone_are_told_as_they_are() -> None:
    found = back("lift", seen="2026-05-11", role="trade", trade="electrician")
    assert found.lines == ("2026-05-11 Lea Brandt, electrician: lift --how seen",)


def test_every_kind_either_goes_back_or_stays_at_home_on_purpose() -> None:
    union, _ = get_args(AnyEntry)
    kinds = {model.model_fields["kind"].default: model for model in get_args(union)}
    assert {kind for kind, model in kinds.items() if model not in FORMS} == AT_HOME


@pytest.mark.parametrize("fields", [{"private": True, "text": "call me"}, {"text": "pin 4711"}])
def test_a_private_remark_stays_at_home_and_is_counted(fields: dict[str, object]) -> None:
    assert back("remark", **fields) == LinesBack((), 1, 0)


def test_a_stop_goes_without_a_reason_that_looks_private() -> None:
    found = back("stop", reason="owner has asthma")
    assert found == LinesBack((HEAD + 'stop "call for the reason" --how seen',), 0, 1)
