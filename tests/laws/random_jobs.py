"""Random small jobs as plain plans that a law can change and write out again.

A plan has two rooms, up to three surfaces, up to four works, looks, a thing in the way, two
conditions and one or two trips; every date lies in two weeks of May 2026.

Invariant: the same plan gives the same text, and every plan is a job that can be laid out unless
its works wait for each other.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from readiness.schedule.network import CircleError
from tests.builders import HEAD, asked, facts, requirement, work

if TYPE_CHECKING:
    from tests.builders import Asked


def _thing(**fields: object) -> dict[str, object]:
    """Return a row of a thing in the way that a trade of the tiny tables clears."""
    return {
        "title": "In the way",
        "blocks": ["wall above grade"],
        "pull_trade": "plumber",
        "pull_takes": "4 h",
        **fields,
    }


TABLES = facts(
    requirements={
        "dry": requirement(fresh_for="72 h elapsed", wanted_before="2 d"),
        "access": requirement(category="access", scope="site", effect="stops the trip"),
        "answered": requirement(category="before", scope="house", due="promise", wanted_before=""),
    },
    obstructions={
        "duct": _thing(fixed=True, bay_by_hand=True),
        "hole": _thing(fixed=False, bay_by_hand=True),
    },
    # Usual work joins its places one by one, unlike a written link
    work={
        "long": work(),
        "cover": work(starts_after=[{"end_of": "long", "why": "it covers it"}]),
        "tail": work(starts_after=[{"end_of": "long", "why": "it hangs on it"}]),
    },
)

SURFACES = ("bath.outer", "kitchen.outer", "kitchen.rim")
ROOM_OF = {"bath.outer": "bath", "kitchen.outer": "kitchen", "kitchen.rim": "kitchen"}
ORDERS = ("before", "after", "closing up", "free")
TRADES = ("electrician", "plumber", "framer")
CODES = ("access", "answered", "dry")


@dataclass(frozen=True)
class Work:
    """One line of work."""

    name: str
    trade: str
    rooms: tuple[str, ...]
    order: str
    days: int
    waits_for: tuple[tuple[str, int], ...] = ()
    """Earlier works with gaps in hours."""
    booked: str = ""
    done: str = ""
    done_in: tuple[str, ...] = ()
    begun: str = ""
    approval: bool = False

    def line(self) -> str:
        """Return it as it stands in a job file."""
        parts = [
            f'trade = "{self.trade}"',
            f"in = [{', '.join(quoted(room) for room in self.rooms)}]",
            f'order = "{self.order}"',
            f'takes = "{self.days} d"',
        ]
        if self.waits_for:
            waits = ", ".join(
                f'{{ end_of = "{name}", gap = "{hours} h" }}' for name, hours in self.waits_for
            )
            parts.append(f"starts_after = [{waits}]")
        if self.done_in:
            parts.append(f"done_in = [{', '.join(quoted(room) for room in self.done_in)}]")
        if self.approval:
            parts.append('approval = "wiring-look"')
        parts += [
            f"{key} = {value}"
            for key, value in (("booked", self.booked), ("done", self.done), ("begun", self.begun))
            if value
        ]
        return f"{self.name} = {{ {', '.join(parts)} }}"


@dataclass(frozen=True)
class Plan:
    """A job that can be changed and written out."""

    works: tuple[Work, ...] = ()
    off: tuple[str, ...] = ()
    """Closed days of the job."""
    looks: tuple[tuple[str, str, str], ...] = ()
    """Look, surface, day on which it passed."""
    thing: str = ""
    """Rest of the line of a tub on the first surface; empty for none."""
    thing_is: str = "tub"
    pile: bool = False
    pile_is: str = "pile"
    slot: str = ""
    """Slot that is confirmed for the look at wiring; empty for none."""
    answers: tuple[tuple[str, str, str], ...] = ()
    """Code, yes or no, day."""
    early: tuple[str, ...] = ()
    """Surfaces of an earlier trip."""
    trip_day: str = "2026-05-11T07:00:00"
    early_day: str = "2026-05-06T07:00:00"
    """Empty for an earlier trip that nobody has booked."""
    lasts_hours: int = 8
    """0 for trips whose length follows their area."""
    head: str = HEAD
    extra: str = ""
    surface_is: str = "wall above grade"
    surface_depth: str = ""
    """Cavity of every surface, with its unit."""
    area: str = "100 sq ft"
    has_storeys: bool = False
    """The bath lies above the kitchen."""
    order_of_tables: tuple[int, ...] = field(default=(0, 1, 2, 3, 4, 5, 6))

    def text(self) -> str:
        """Return the job file."""
        tables = [
            self._rooms(),
            "[surfaces]\n" + "".join(self._surface(surface) for surface in SURFACES),
            "[work]\n" + "".join(work.line() + "\n" for work in self.works),
            "[approvals]\n" + self._looks(),
            "[obstructions]\n" + self._things(),
            "[requirements]\n" + "".join(f"{code} = {{}}\n" for code in CODES),
            self._answers() + self._trips(),
        ]
        head = self.head
        if self.off:
            off = ", ".join(quoted(day) for day in self.off)
            head = head.replace("holidays = false", f"holidays = false, closed = [{off}]")
        return head + "".join(tables[number] for number in self.order_of_tables) + self.extra

    def _rooms(self) -> str:
        storeys = {"bath": "upper", "kitchen": "ground"} if self.has_storeys else {}
        lines = (
            f'{room} = {{ is = "{room}"'
            + (f', storey = "{storeys[room]}"' if room in storeys else "")
            + " }\n"
            for room in ("bath", "kitchen")
        )
        return "[rooms]\n" + "".join(lines)

    def _surface(self, name: str) -> str:
        depth = f", cavity = {quoted(self.surface_depth)}" if self.surface_depth else ""
        return f'{name} = {{ is = "{self.surface_is}", area = "{self.area}"{depth} }}\n'

    def _looks(self) -> str:
        lines = ""
        for look in ("wiring-look", "frame-look"):
            rows = ", ".join(
                f'{{ surfaces = ["{surface}"], result = "passed", at = {day}, by = "Ada" }}'
                for name, surface, day in self.looks
                if name == look
            )
            if self.slot and look == "wiring-look":
                asked = f"{{ requested = 2026-05-01T09:00:00, slot = {self.slot} }}"
                rows = f"{rows}, {asked}" if rows else asked
            lines += f"{look} = [{rows}]\n"
        return lines

    def _things(self) -> str:
        lines = ""
        if self.thing:
            lines += f'tub = {{ is = "{self.thing_is}", blocks = ["bath.outer"], {self.thing} }}\n'
        if self.pile:
            lines += f'pile = {{ is = "{self.pile_is}", blocks = ["kitchen.outer"] }}\n'
        return lines

    def _answers(self) -> str:
        lines = "".join(
            f'a{number} = {{ {value} = ["{code}"], at = {day}, by = "Ada" }}\n'
            for number, (code, value, day) in enumerate(self.answers)
        )
        return "[answers]\n" + lines

    def _trips(self) -> str:
        lasts = f', lasts = "{self.lasts_hours} h"' if self.lasts_hours else ""
        text = "[trips]\n"
        if self.early:
            named = ", ".join(quoted(surface) for surface in self.early)
            booked = f"booked = {self.early_day}, " if self.early_day else ""
            text += f"early = {{ {booked}surfaces = [{named}]{lasts} }}\n"
        rest = ", ".join(quoted(surface) for surface in SURFACES if surface not in self.early)
        return text + f"first = {{ booked = {self.trip_day}, surfaces = [{rest}]{lasts} }}\n"

    def with_work(self, name: str, **changes: object) -> Plan:
        """Return the plan with one work changed."""
        return replace(
            self,
            works=tuple(
                replace(work, **changes) if work.name == name else work  # type: ignore[arg-type]
                for work in self.works
            ),
        )


def quoted(text: str) -> str:
    """Return a text as TOML writes it."""
    return f'"{text}"'


def asked_of(plan: Plan, as_of: str = "2026-05-04 06:30") -> Asked | None:
    """Return the plan at a moment, or None if its works wait for each other."""
    try:
        return asked(plan.text(), as_of, TABLES)
    except CircleError:
        return None


days = st.integers(5, 15).map(lambda day: f"2026-05-{day:02}")
past = st.integers(20, 30).map(lambda day: f"2026-04-{day:02}")


@st.composite
def works(draw: st.DrawFn) -> tuple[Work, ...]:
    """Draw up to four works, each waiting for some of those before it."""
    found: list[Work] = []
    for number in range(draw(st.integers(0, 4))):
        order = draw(st.sampled_from(ORDERS))
        state = draw(st.sampled_from(("", "", "", "booked", "booked", "done", "begun")))
        earlier = draw(st.lists(st.sampled_from(found), unique=True, max_size=2)) if found else []
        found.append(
            Work(
                name=f"w{number}",
                trade=draw(st.sampled_from(TRADES)),
                rooms=draw(st.sampled_from((("bath",), ("kitchen",), ("bath", "kitchen")))),
                order=order,
                days=draw(st.integers(1, 3)),
                waits_for=tuple((work.name, draw(st.sampled_from((0, 3, 12)))) for work in earlier),
                booked=draw(days) if state == "booked" else "",
                done=draw(past) if state == "done" else "",
                begun=draw(past) if state == "begun" else "",
                approval=order == "before" and draw(st.booleans()),
            )
        )
    return tuple(found)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Draw a plan whose works do not wait for each other."""
    things = ("", "", "set = 2026-05-01", "set = 2026-05-13", "set = 2026-05-01, pull = 2026-05-06")
    looks = draw(
        st.lists(
            st.tuples(
                st.sampled_from(("wiring-look", "frame-look")), st.sampled_from(SURFACES), past
            ),
            max_size=3,
            unique_by=lambda look: look[:2],
        )
    )
    answers = draw(
        st.lists(
            st.tuples(
                st.sampled_from(CODES), st.sampled_from(("yes", "no", "unknown")), days_of_answers
            ),
            max_size=3,
        )
    )
    return Plan(
        works=draw(works()),
        looks=tuple(looks),
        thing=draw(st.sampled_from(things)),
        pile=draw(st.booleans()),
        answers=tuple(answers),
        early=draw(st.sampled_from(((), (), ("bath.outer",), ("kitchen.rim",)))),
        trip_day=draw(st.integers(5, 15).map(lambda day: f"2026-05-{day:02}T07:00:00")),
        lasts_hours=draw(st.sampled_from((4, 8, 12))),
    )


days_of_answers = st.integers(1, 3).map(lambda day: f"2026-05-{day:02}T09:00:00")
