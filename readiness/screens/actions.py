"""Every key that works on all screens, in one table: its id, its letter, what it does.

The keys of a single screen stand in a table of the same kind in its own module. The bindings, the
line at the foot, the list of commands, the help and the page of keys in the documentation are all
made from these tables.
Invariant: ids never change once they were published, on one screen no two keys are alike, and a
letter is one of its command's own name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from textual.binding import Binding, BindingType

from readiness.screens.screen_table import SCREENS, ScreenRow

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


@dataclass(frozen=True, slots=True)
class Act:
    """One thing a key does."""

    id: str
    """Stable: a key map of the user's names it."""
    key: str
    name: str
    """At the foot and in lists."""
    does: str
    """A sentence."""
    action: str
    """What the toolkit calls."""
    at_foot: bool = False
    is_first: bool = False
    """Wins over what the focused pane would do with the key."""


BEFORE = (
    Act(
        "day-before",
        "left",
        "day before",
        "Ask about one day earlier.",
        "move(-1)",
        at_foot=True,
        is_first=True,
    ),
    Act(
        "day-after",
        "right",
        "day after",
        "Ask about one day later.",
        "move(1)",
        at_foot=True,
        is_first=True,
    ),
    Act(
        "week-before",
        "shift+left",
        "week before",
        "Ask about one week earlier.",
        "move(-7)",
        is_first=True,
    ),
    Act(
        "week-after",
        "shift+right",
        "week after",
        "Ask about one week later.",
        "move(7)",
        is_first=True,
    ),
    Act(
        "booked-day",
        "b",
        "booked day",
        "Go back to the day the trip is booked for.",
        "booked",
    ),
)
"""Of every screen, before its own."""

AFTER = (
    Act("gate", "g", "gate", "Ask the next gate: by itself, promise, roll, gun.", "gate"),
    Act("read-again", "r", "read again", "Read the job file again.", "read_again"),
    Act(
        "theme",
        "t",
        "theme",
        "Change the colors: night, daylight, the terminal's own.",
        "app.next_theme",
    ),
    Act(
        "screens",
        "f2",
        "screens",
        "Show every screen with the question it answers, and open one; works while typing too.",
        "screens",
        at_foot=True,
    ),
    Act("help", "f1", "help", "Help for the pane you are in, and every key.", "help", at_foot=True),
    Act("quit", "q", "quit", "Leave.", "app.quit", at_foot=True),
)
"""Of every screen, after its own."""

DAY_KEYS = Binding.Group("day", compact=True)
"""The two keys of the day stand under one word at the foot."""


def to_screen(row: ScreenRow) -> Act:
    """Return the key that opens a screen."""
    return Act(f"screen-{row.id}", row.key, row.name, row.question, f"app.go({row.id!r})")


def on_every_screen(*own: Act, day_at_foot: bool = True) -> tuple[Act, ...]:
    """Return the keys of a screen: its own between those that work everywhere.

    Args:
        own: In the order in which the foot and the lists show them.
        day_at_foot: The keys that move the day stand at the foot, since the screen follows the day.
    """
    day = BEFORE if day_at_foot else tuple(replace(act, at_foot=False) for act in BEFORE)
    return (*day, *own, *AFTER[:-2], *map(to_screen, SCREENS), *AFTER[-2:])


BACK = Act(
    "back",
    "escape",
    "back",
    "Stop what is being worked out, or go to the job.",
    "back",
    at_foot=True,
)
"""Of every screen but the first."""


def bindings(acts: Iterable[Act]) -> list[BindingType]:
    """Return the bindings of a screen."""
    return [
        Binding(
            act.key,
            act.action,
            act.name,
            show=act.at_foot,
            priority=act.is_first,
            tooltip=act.does,
            id=act.id,
            group=DAY_KEYS if act.id.startswith("day-") else None,
        )
        for act in acts
    ]


def key_told(act: Act) -> str:
    """Return a key as people read it."""
    return (
        act.key.replace("escape", "Esc").replace("f1", "F1").replace("f2", "F2").replace("+", " + ")
    )


def keys_page() -> str:
    """Return the page of the documentation that lists every key."""
    lines = [*_PAGE_HEAD, *_table((*BEFORE, *AFTER)), *_PAGE_MIDDLE]
    for row in SCREENS:
        own = own_acts(row.kind.ACTS)
        lines += ["", f"## {row.key}: {row.name}", "", row.question]
        lines += ["", *_table(own)] if own else ["It has no keys of its own."]
    return "\n".join([*lines, *_PAGE_FOOT]) + "\n"


def own_acts(acts: Sequence[Act]) -> list[Act]:
    """Return those that do not work everywhere."""
    everywhere = {act.id for act in (*on_every_screen(), BACK)}
    return [act for act in acts if act.id not in everywhere]


def _table(acts: Iterable[Act]) -> list[str]:
    rows = [f"| {key_told(act)} | {act.name} | {act.does} | `{act.id}` |" for act in acts]
    return ["| key | name | what it does | id |", "|---|---|---|---|", *rows]


_PAGE_HEAD = (
    "# Keys of the screens",
    "",
    "<!-- made from readiness/screens by: python -m tests.screens.refresh -->",
    "",
    "These are the keys that `readiness open` adds to what the terminal gives.",
    "The id stays the same when a key changes.",
    "Another key is chosen in `~/.config/readiness/settings.toml`, in a table `[keys]` with a line",
    'such as `booked-day = "z"` for each; two keys that clash are told before the screen opens.',
    "A letter means the same on every screen where it stands in the first table; the keys of a",
    "single screen follow below.",
    "",
)
_PAGE_MIDDLE = (
    "",
    "A digit opens a screen, and Esc goes back to the first.",
    "While you type, digits are text, and F2 opens the list of screens.",
    "What you typed on a screen is still there when you come back.",
)
_PAGE_FOOT = (
    "",
    "## Inside a pane",
    "",
    "Inside a pane the arrow keys up and down, Home, End, Page Up and Page Down move the line.",
    "In a grid all four arrow keys move its cursor; left and right ask about another day again as",
    "soon as another pane has the keyboard. Shift with left or right turns a week of who is where.",
    "Tab and Shift + Tab go from pane to pane.",
    "Enter on a room or a surface shows only what holds it; Enter on something that holds it up",
    "unfolds what it hangs on.",
    "A click does the same as Enter.",
    "Ctrl + P opens the list of all commands, and Ctrl + Q leaves.",
)
