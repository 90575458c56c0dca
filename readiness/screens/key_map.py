"""Keys that somebody chose instead of ours, by the ids of what they do.

Invariant: on no screen do two things share a key afterwards, and no key is taken that the terminal
or a field needs.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from readiness.job.problems import nearest
from readiness.screens.screen_table import SCREENS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readiness.screens.actions import Act

KEPT = frozenset({"enter", "tab", "shift+tab", "up", "down", "ctrl+q", "ctrl+p", "ctrl+c"})
"""Keys with a meaning of their own wherever something is chosen or typed."""
_KEY = re.compile(
    r"((ctrl|alt|shift)\+)*"
    r"([a-z0-9]|f([1-9]|1[0-2])|left|right|home|end|pageup|pagedown|insert|delete|space|escape)"
)


class KeyMapError(ValueError):
    """Keys that can't be used as they were chosen."""

    def __init__(self, problems: list[str]) -> None:
        """Keep every problem."""
        self.problems = problems
        super().__init__("; ".join(problems))


def key_map_of(chosen: Mapping[str, object]) -> dict[str, str]:
    """Return the keys by id.

    Raises:
        KeyMapError: An id is not known, a key is none, or two things of one screen share one.
    """
    screens = {row.id: row.kind.ACTS for row in SCREENS} if chosen else {}
    known = {act.id for acts in screens.values() for act in acts}
    problems: list[str] = []
    keys: dict[str, str] = {}
    for id_, key in chosen.items():
        problem = _wrong_with(id_, key, known)
        if problem:
            problems.append(problem)
        else:
            keys[id_] = str(key)
    told: dict[tuple[str, str, str], str] = {}
    for screen, acts in screens.items():
        for clash in _clashes(told_acts(acts, keys)):
            told.setdefault(clash, screen)
    problems += [
        f"keys: {key} is {one} and {other} on the screen {screen}"
        for (key, one, other), screen in told.items()
    ]
    if problems:
        raise KeyMapError(problems)
    return keys


def _wrong_with(id_: str, key: object, known: set[str]) -> str:
    if id_ not in known:
        near = nearest(id_, known)
        hint = f"; did you mean {near}?" if near else ""
        return f"keys.{id_}: no command has this id{hint}"
    if isinstance(key, str) and key in KEPT:
        return f"keys.{id_}: {key} has a meaning of its own; choose another one"
    if not isinstance(key, str) or not _KEY.fullmatch(key):
        return f'keys.{id_}: {key!r} is no key; write it like: "z", "f5" or "ctrl+left"'
    return ""


def _clashes(acts: Iterable[Act]) -> Iterable[tuple[str, str, str]]:
    """Yield each key that two things of one screen share, with their ids."""
    first: dict[str, str] = {}
    for act in acts:
        other = first.setdefault(act.key, act.id)
        if other != act.id:
            yield act.key, other, act.id


def told_acts(acts: Iterable[Act], keys: Mapping[str, str]) -> tuple[Act, ...]:
    """Return the acts of a screen with the keys that were chosen."""
    return tuple(replace(act, key=keys.get(act.id, act.key)) for act in acts)
