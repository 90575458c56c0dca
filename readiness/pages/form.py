"""What a page with a form asks for: lines for the diary, put together on a phone or by pen.

Invariant: every line that a form can make is one that `receive` reads, with ids of the job in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readiness.pages.paper import Rows

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.pages.paper import Answers

STEPS = ("arrived", "last-foam", "cleaned", "ventilated", "release")
"""Of a trip, in the order in which they happen; each is a verb of `note`."""

STEP_WORDS = {
    "arrived": "Arrived",
    "last-foam": "Last foam of any kind",
    "cleaned": "Cleaned up",
    "ventilated": "Fans have run",
    "release": "I release the place",
}

READINGS = {
    "moisture": "Wood moisture, %",
    "surface": "Substrate temperature",
    "air": "Air temperature",
    "humidity": "Humidity of the air, %",
}
"""Kinds of reading by the word that `note` takes."""

DEPTH_CELLS = 8
WHOLE_SITE = "site"


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to tick or to choose: the words of the line, and what people read."""

    line: str
    label: str


@dataclass(frozen=True, slots=True)
class Work:
    """One work and the places where it is still open."""

    title: str
    code: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """The form of one role."""

    role: str
    """What stands behind the name of whoever writes."""
    works: tuple[Work, ...]
    steps: tuple[Choice, ...]
    readings: tuple[Choice, ...]
    places: tuple[Choice, ...]
    surfaces: tuple[Choice, ...]
    """For depths; empty where the role reads none."""
    depth_unit: str
    temperature: str

    @property
    def done(self) -> tuple[Choice, ...]:
        """Return everything that can be ticked as done."""
        return tuple(choice for work in self.works for choice in work.choices)


def form_of(answers: Answers, role: str) -> Form:
    """Return the form of a role: contractor, crew lead, board crew or the id of a trade."""
    papers = answers.particulars
    leads, runs = role == "crew lead", role == "contractor"
    trade = {"board crew": "drywall", "crew lead": "spray"}.get(role, role)
    surfaces = tuple(Choice(surface.surface, surface.name) for surface in papers.surfaces)
    rooms = tuple(Choice(room.room, room.name) for room in answers.check.rooms)
    steps = tuple(Choice(f"{step} {papers.trip.trip}", STEP_WORDS[step]) for step in STEPS)
    return Form(
        role=trade if role == "board crew" else role,
        works=tuple(_works(answers, None if runs else trade)),
        steps=steps if leads or runs else (),
        readings=tuple(Choice(*pair) for pair in READINGS.items()) if leads or runs else (),
        places=(*rooms, *surfaces),
        surfaces=surfaces if leads or runs else (),
        depth_unit="mm" if papers.units == "metric" else "inches",
        temperature="C" if papers.units == "metric" else "F",
    )


def _works(answers: Answers, trade: str | None) -> Iterable[Work]:
    """Yield the open work of a trade, or of all that belongs before the foam."""
    for work in answers.particulars.works:
        if work.trade != trade and (trade is not None or work.before is None):
            continue
        choices = tuple(
            Choice(f"done {work.work}" + ("" if place == WHOLE_SITE else f" {place}"), name)
            for place, name in zip(work.place_ids, work.places, strict=True)
        )
        yield Work(work.title, work.work, choices)


def paper_grid(form: Form) -> tuple[Rows, ...]:
    """Return what is filled in with a pen and typed later, each row with the line it becomes."""
    found = []
    if form.surfaces:
        found.append(
            Rows(
                f"Depths, in {form.depth_unit}",
                ("line", *(str(number) for number in range(1, DEPTH_CELLS + 1))),
                tuple((f"depth {s.line}", *("",) * DEPTH_CELLS) for s in form.surfaces),
                "Write e behind a depth at the perimeter. A row is typed as it stands: "
                "depth, surface, figures.",
                by_hand=True,
            )
        )
    lines = [
        *form.steps,
        *(Choice(f"done {work.code} ...", work.title) for work in form.works),
    ]
    if lines:
        found.append(
            Rows(
                "Lines to send or type",
                ("line", "what", "when", "name"),
                tuple((choice.line, choice.label, "", "") for choice in lines),
                "For the dots write the room or surface. "
                'Stop is: stop "why" PLACE. A reading is: reading moisture 15% PLACE.',
                by_hand=True,
            )
        )
    return tuple(found)
