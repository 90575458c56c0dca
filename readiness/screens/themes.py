"""The colors of the screen: two themes of our own and the terminal's.

Colour says only that something needs a person, and never alone: the mark and the word say the same.
Too early is blue, too late orange, crossed purple, not prepared yellow; ready has none. Blue and
purple, orange and yellow differ in lightness too, because eyes that lack one kind of cone see no
other difference between them.
Invariant: a mark is drawn with a pair of colors whose contrast is at least 4.5 to 1.
"""

from __future__ import annotations

from textual.theme import Theme

NAMES = ("night", "daylight", "terminal")
"""In the order in which the key goes through them; the first is taken when none is asked for."""

TONES = {
    "too early": "early",
    "too late": "late",
    "crossed": "crossed",
    "not prepared": "unprepared",
}
"""The part of the names of a pair of colors, by word; other words have no color."""


def _theme(name: str, *, dark: bool, ink: str, paper: str, band: str, **marks: str) -> Theme:
    """Return a theme of one ink on one paper, with a pair of colors for each mark."""
    pairs = {f"mark-{tone}": color for tone, color in marks.items()}
    letters = {f"mark-{tone}-text": _letters(color) for tone, color in marks.items()}
    return Theme(
        name=name,
        dark=dark,
        primary=ink,
        secondary=ink,
        accent=ink,
        warning=ink,
        error=ink,
        success=ink,
        foreground=ink,
        background=paper,
        surface=paper,
        panel=band,
        boost=band,
        text_alpha=1.0,
        variables={
            **pairs,
            **letters,
            "band": band,
            "block-cursor-foreground": paper,
            "block-cursor-background": ink,
            "block-cursor-text-style": "none",
            "block-cursor-blurred-foreground": ink,
            "block-cursor-blurred-background": band,
            "block-cursor-blurred-text-style": "none",
            "block-hover-background": band,
            "footer-background": band,
            "footer-foreground": ink,
            "footer-key-foreground": ink,
            "footer-key-background": band,
            "footer-description-foreground": ink,
            "footer-description-background": band,
            "footer-item-background": band,
            "scrollbar": ink,
            "scrollbar-hover": ink,
            "scrollbar-active": ink,
            "scrollbar-background": band,
            "scrollbar-background-hover": band,
            "scrollbar-background-active": band,
            "scrollbar-corner-color": band,
            "border": ink,
            "border-blurred": band,
        },
    )


def _letters(color: str) -> str:
    """Return black or white, whichever stands out more on a color."""
    red, green, blue = (int(color[at : at + 2], 16) for at in (1, 3, 5))
    return "#000000" if red * 299 + green * 587 + blue * 114 > _MIDDLE else "#ffffff"


_MIDDLE = 128_000

NIGHT = _theme(
    "night",
    dark=True,
    ink="#e8e6df",
    paper="#14161a",
    band="#2b2f36",
    early="#5fa3f5",
    late="#ff9d3c",
    crossed="#ddbcff",
    unprepared="#ffe45c",
)
DAYLIGHT = _theme(
    "daylight",
    dark=False,
    ink="#16181c",
    paper="#fbfaf5",
    band="#e2dfd4",
    early="#2863c4",
    late="#f08a24",
    crossed="#4d1d82",
    unprepared="#ffe04a",
)

_OWN_PAIRS = {
    "mark-early": "ansi_blue",
    "mark-early-text": "ansi_bright_white",
    "mark-late": "ansi_yellow",
    "mark-late-text": "ansi_black",
    "mark-crossed": "ansi_magenta",
    "mark-crossed-text": "ansi_bright_white",
    "mark-unprepared": "ansi_bright_yellow",
    "mark-unprepared-text": "ansi_black",
}
TERMINAL = Theme(
    name="terminal",
    ansi=True,
    primary="ansi_default",
    secondary="ansi_default",
    warning="ansi_default",
    error="ansi_default",
    success="ansi_default",
    accent="ansi_default",
    foreground="ansi_default",
    background="ansi_default",
    surface="ansi_default",
    panel="ansi_default",
    boost="ansi_default",
    variables={
        **_OWN_PAIRS,
        "band": "ansi_default",
        "block-cursor-foreground": "ansi_black",
        "block-cursor-background": "ansi_white",
        "block-cursor-text-style": "none",
        "block-cursor-blurred-foreground": "ansi_default",
        "block-cursor-blurred-background": "ansi_default",
        "block-cursor-blurred-text-style": "underline",
        "block-hover-background": "ansi_default",
        "scrollbar": "ansi_white",
        "scrollbar-hover": "ansi_white",
        "scrollbar-active": "ansi_white",
        "scrollbar-background": "ansi_default",
        "scrollbar-background-hover": "ansi_default",
        "scrollbar-background-active": "ansi_default",
        "scrollbar-corner-color": "ansi_default",
        "border": "ansi_default",
        "border-blurred": "ansi_default",
        "ansi-background": "ansi_black",
        "ansi-foreground": "ansi_white",
    },
)
"""The terminal has no orange: its darker yellow stands there, its bright one for not prepared."""

THEMES = (NIGHT, DAYLIGHT, TERMINAL)


def next_name(name: str) -> str:
    """Return the name of the theme after this one."""
    return NAMES[(NAMES.index(name) + 1) % len(NAMES)] if name in NAMES else NAMES[0]


def mark_style(word: str) -> str:
    """Return how the mark of a word is drawn."""
    tone = TONES.get(word)
    if tone is not None:
        return f"bold $mark-{tone}-text on $mark-{tone}"
    return "bold reverse" if word == "stopped" else "bold"


def needs_somebody(word: str) -> bool:
    """Say whether a word means that somebody has to do something before the foam."""
    return word in TONES or word == "stopped"
