"""Entries about work, offices, things in the way, readings and answers.

Invariant: one kind says one thing of the site.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from readiness.diary.entry import Day, Entry, Moment
from readiness.facts.vocabulary import ApprovalResult, ReadingKind
from readiness.job.fields import Places, Text, Truth
from readiness.job.quantities import Duration, Share


class WorkBegun(Entry):
    """Work has begun; without a share or a rest what is left is reckoned from the plan."""

    kind: Literal["begun"] = "begun"
    work: Text
    places: Places = ("all",)
    share: Share | None = None
    remaining: Duration | None = None


class WorkDone(Entry):
    """Work is done in some places or everywhere."""

    kind: Literal["done"] = "done"
    work: Text
    places: Places = ("all",)


class WorkNotDone(Entry):
    """What was taken for done is not."""

    kind: Literal["not-done"] = "not-done"
    work: Text
    places: Places = ("all",)


class ApprovalRequested(Entry):
    """The office was asked to come and see; `slot` once it has confirmed one."""

    kind: Literal["requested"] = "requested"
    approval: Text
    surfaces: Places = ("all",)
    slot: Moment | None = None
    wanted: Moment | None = None
    """Another slot that is asked for in place of a confirmed one; not confirmed yet."""
    part: Truth = False
    """Its surfaces are looked at by themselves, once their own work is done, before the rest."""


class ApprovalTold(Entry):
    """What the office said."""

    kind: Literal["result"] = "result"
    approval: Text
    surfaces: Places = ("all",)
    result: ApprovalResult
    office: Text = ""
    correct: Text = ""


class ThingSet(Entry):
    """A thing stands in the gun's way; `is_` for one that the job file does not have."""

    kind: Literal["set"] = "set"
    thing: Text
    is_: Text = Field(default="", alias="is")
    blocks: Places = ()


class ThingPulled(Entry):
    """A thing was taken out of the way."""

    kind: Literal["pulled"] = "pulled"
    thing: Text


class ThingDated(Entry):
    """It is agreed when a thing will be set, pulled or come back."""

    kind: Literal["thing-dated"] = "thing-dated"
    thing: Text
    set_: Day | None = Field(default=None, alias="set")
    pull: Day | None = None
    reset: Day | None = None


class ReadingTaken(Entry):
    """One reading, and the places it speaks for."""

    kind: Literal["reading"] = "reading"
    reading: ReadingKind
    value: Text
    places: Places = ("all",)
    instrument: Text = ""


class ReadingsVoid(Entry):
    """Rain, a power cut or heat off: readings there speak no longer."""

    kind: Literal["readings-void"] = "readings-void"
    cause: Text
    places: Places = ("all",)


class Prepared(Entry):
    """A preparation was seen done: a requirement of the facts, met by eye."""

    kind: Literal["prepared"] = "prepared"
    requirement: Text
    places: Places = ("all",)


class Photo(Entry):
    """A picture, by its name in the job's own folder or wherever it is kept."""

    kind: Literal["photo"] = "photo"
    reference: Text
    places: Places = ("all",)


class Answered(Entry):
    """An answer to the question of one requirement."""

    kind: Literal["answer"] = "answer"
    requirement: Text
    value: Literal["yes", "no", "doesn't know", "promised"]
    promised_by: Day | None = None
    places: Places = ("all",)
    trip: Text = ""
