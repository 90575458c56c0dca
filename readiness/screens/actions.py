"""Every key the screen adds, in one table: its id, its letter, what it does.

The bindings, the line at the foot, the list of commands, the help and the page of keys in the
documentation are all made from this table.
Invariant: ids never change once they were published, no two keys are alike, and a letter is one of
its command's own name.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding, BindingType


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


ACTS = (
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
        at_foot=True,
    ),
    Act(
        "holding",
        "h",
        "holding it",
        "Show what holds it up, what clears last first.",
        "look('holding')",
        at_foot=True,
    ),
    Act(
        "people",
        "p",
        "people",
        "Show what holds it up by the person who clears it.",
        "look('people')",
        at_foot=True,
    ),
    Act(
        "edges",
        "e",
        "edges",
        "Show when each surface opens and closes, and by what.",
        "look('edges')",
        at_foot=True,
    ),
    Act("why", "w", "why", "Tell the source of every line, or leave it out.", "why"),
    Act("gate", "g", "gate", "Ask the next gate: by itself, promise, roll, gun.", "gate"),
    Act("all-places", "escape", "all places", "Show what holds any surface again.", "everything"),
    Act("read-again", "r", "read again", "Read the job file again.", "read_again"),
    Act(
        "theme",
        "t",
        "theme",
        "Change the colors: night, daylight, the terminal's own.",
        "app.next_theme",
    ),
    Act("help", "f1", "help", "Help for the pane you are in, and every key.", "help", at_foot=True),
    Act("quit", "q", "quit", "Leave.", "app.quit", at_foot=True),
)
"""In the order in which the foot and the lists show them."""

DAY_KEYS = Binding.Group("day", compact=True)
"""The two keys of the day stand under one word at the foot."""


def bindings() -> list[BindingType]:
    """Return the bindings of the screen of a job."""
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
        for act in ACTS
    ]


def key_told(act: Act) -> str:
    """Return a key as people read it."""
    return act.key.replace("escape", "Esc").replace("f1", "F1").replace("+", " + ")


def keys_page() -> str:
    """Return the page of the documentation that lists every key."""
    rows = [f"| {key_told(act)} | {act.name} | {act.does} | `{act.id}` |" for act in ACTS]
    return "\n".join([*_PAGE_HEAD, *rows, *_PAGE_FOOT]) + "\n"


_PAGE_HEAD = (
    "# Keys of the screen",
    "",
    "<!-- made from readiness/screens/actions.py by: python -m tests.screens.refresh -->",
    "",
    "These are the keys that `readiness open` adds to what the terminal gives.",
    "The id stays the same when a key changes.",
    "",
    "| key | name | what it does | id |",
    "|---|---|---|---|",
)
_PAGE_FOOT = (
    "",
    "Inside a pane the arrow keys up and down, Home, End, Page Up and Page Down move the line.",
    "Tab and Shift + Tab go from pane to pane.",
    "Enter on a room or a surface shows only what holds it; Enter on something that holds it up",
    "unfolds what it hangs on.",
    "A click does the same as Enter.",
    "Ctrl + P opens the list of all commands, and Ctrl + Q leaves.",
)
