"""Colours that can be read.

Contrast is (L1 + 0.05) / (L2 + 0.05) of the relative luminances, and text needs 4.5 to 1 (WCAG 2.2, success
criterion 1.4.3, level AA; definitions of contrast ratio and relative luminance).
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from textual.theme import Theme

from tiler.tui.themes import BOARD, MAT, palette_of, rgb

ENOUGH = 4.5

TEXT_ON_GROUND = [
    ("foreground", "background"),
    ("foreground", "surface"),
    ("foreground", "panel"),
    ("foreground", "chosen"),
    ("foreground", "mat"),
    ("quiet", "background"),
    ("quiet", "surface"),
    ("quiet", "panel"),
    ("quiet", "mat"),
    ("primary", "background"),
    ("primary", "surface"),
    ("primary", "panel"),
    ("warning", "background"),
    ("error", "background"),
    ("error", "surface"),
    ("success", "surface"),
    ("on-primary", "primary"),
    ("footer-key-foreground", "footer-key-background"),
    ("footer-description-foreground", "footer-description-background"),
    ("block-cursor-foreground", "block-cursor-background"),
    ("block-cursor-blurred-foreground", "block-cursor-blurred-background"),
    ("picked-line", "picked-ground"),
    ("label-line", "label-ground"),
]
"""Every pair of colours that the style sheet and the picture put on each other."""


def luminance(colour: Sequence[int]) -> float:
    """Relative luminance of an sRGB colour, as WCAG 2.2 defines it."""
    linear = [
        value / 255 / 12.92 if value / 255 <= 0.04045 else ((value / 255 + 0.055) / 1.055) ** 2.4
        for value in colour
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Sequence[int], other: Sequence[int]) -> float:
    """Contrast ratio of two colours, 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def colours(theme: Theme) -> dict[str, str]:
    """All colours of a theme by name."""
    own = ("primary", "warning", "error", "success", "foreground", "background", "surface", "panel")
    return {**theme.variables, **{name: str(getattr(theme, name)) for name in own}}


def test_the_measure_itself_is_right() -> None:
    """Black on white is 21 to 1; #767676 on white is the lightest grey that passes (W3C's own example)."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast(rgb("#767676"), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)
    assert contrast(rgb("#777777"), (255, 255, 255)) < ENOUGH


@pytest.mark.parametrize("theme", [MAT, BOARD], ids=lambda theme: theme.name)
@pytest.mark.parametrize(("text", "ground"), TEXT_ON_GROUND)
def test_text_can_be_read(theme: Theme, text: str, ground: str) -> None:
    known = colours(theme)
    assert contrast(rgb(known[text]), rgb(known[ground])) >= ENOUGH


@pytest.mark.parametrize("theme", [MAT, BOARD], ids=lambda theme: theme.name)
def test_lines_over_the_picture_can_be_seen_on_any_art(theme: Theme) -> None:
    """Graphics need 3 to 1 (WCAG 2.2, success criterion 1.4.11), here on every grey the art may have."""
    from tiler.tui.paint import _marked

    palette = palette_of(theme.variables)
    for role in ("seam", "crease", "tab"):
        for grey in range(0, 256, 5):
            style = _marked((grey,) * 3, (grey,) * 3, palette[role])
            assert style.color is not None
            assert style.bgcolor is not None
            line, ground = style.color.triplet, style.bgcolor.triplet
            assert line is not None
            assert ground is not None
            assert contrast(line, ground) >= 3, (role, grey)


def test_both_themes_name_the_same_colours() -> None:
    assert set(MAT.variables) == set(BOARD.variables)
