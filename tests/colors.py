"""Colors as eyes see them: contrast, the three kinds of colour blindness, and how far two differ.

Sources: WCAG 2.2 (W3C Recommendation), definitions of relative luminance and contrast ratio, seen
as quoted; IEC 61966-2-1 for the curve of sRGB and CIE 15 for L*a*b*, from memory and checked
against `colorspacious` 1.1.2; Machado, Oliveira and Fernandes, "A Physiologically-based Model for
Simulation of Color Vision Deficiency", IEEE TVCG 15 (2009), 6, pp. 1291-1298, whose matrices for
the whole loss of one kind of cone are taken as `colorspacious` 1.1.2 has them.
Invariant: a color is `#rrggbb` in and out.
"""

from __future__ import annotations

from math import dist

Matrix = tuple[tuple[float, float, float], ...]

BLINDNESS: dict[str, Matrix] = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
"""Without the cones for long, middle and short waves; they act on linear sRGB."""

WHITE_D65 = (0.95047, 1.0, 1.08883)
TO_XYZ: Matrix = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
LEAST_CONTRAST = 4.5
"""Success criterion 1.4.3, for text of usual size."""
LEAST_CONTRAST_OF_SHAPES = 3.0
"""Success criterion 1.4.11, for what is no text."""


def linear(color: str) -> tuple[float, float, float]:
    """Return a color as amounts of light."""
    red, green, blue = (int(color[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return _linear(red), _linear(green), _linear(blue)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def _curved(part: float) -> float:
    kept = min(1.0, max(0.0, part))
    return 12.92 * kept if kept <= 0.0031308 else 1.055 * kept ** (1 / 2.4) - 0.055


def applied(matrix: Matrix, parts: tuple[float, float, float]) -> tuple[float, ...]:
    return tuple(sum(m * part for m, part in zip(row, parts, strict=True)) for row in matrix)


def seen(color: str, blindness: str) -> str:
    """Return a color as somebody sees it who lacks one kind of cone; empty for usual eyes."""
    if not blindness:
        return color
    parts = applied(BLINDNESS[blindness], linear(color))
    return "#" + "".join(f"{round(_curved(part) * 255):02x}" for part in parts)


def luminance(color: str) -> float:
    red, green, blue = linear(color)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def lab(color: str) -> tuple[float, float, float]:
    """Return L*, a*, b* under daylight."""
    x, y, z = (
        _root(part / white)
        for part, white in zip(applied(TO_XYZ, linear(color)), WHITE_D65, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _root(part: float) -> float:
    return part ** (1 / 3) if part > (6 / 29) ** 3 else part / (3 * (6 / 29) ** 2) + 4 / 29


def difference(one: str, other: str, blindness: str = "") -> float:
    """Return how far two colors differ, as CIE 1976 has it; 2.3 can just be noticed."""
    return dist(lab(seen(one, blindness)), lab(seen(other, blindness)))
