"""Two themes of our own: the dark one is a cutting mat, the light one is grey board.

Text colours reach a contrast of 4.5 to 1 on every ground they stand on (WCAG 2.2, success criterion 1.4.3).
"""

from __future__ import annotations

from collections.abc import Mapping

from textual.theme import Theme

from tiler.tui.paint import Ink, Palette, Rgb

DARK = "mat"
LIGHT = "board"

MAT = Theme(
    name=DARK,
    primary="#7ad3b1",
    secondary="#e3bf84",
    accent="#f0b35a",
    warning="#f2bd5a",
    error="#ff9585",
    success="#93d89a",
    foreground="#e8f0eb",
    background="#10211d",
    surface="#162b26",
    panel="#20403a",
    dark=True,
    variables={
        "quiet": "#9db8ad",
        "on-primary": "#0b1a16",
        "mat": "#0d1b18",
        "hair": "#2f524a",
        "chosen": "#2b5a50",
        "paper-line": "#0d2b24",
        "paper-ground": "#f4fbf7",
        "picked-line": "#241300",
        "picked-ground": "#ffb954",
        "label-line": "#f4fbf7",
        "label-ground": "#0f4a3b",
        "crease-line": "#8a1550",
        "crease-light": "#ffc2e2",
        "footer-background": "#162b26",
        "footer-foreground": "#9db8ad",
        "footer-key-foreground": "#7ad3b1",
        "footer-description-foreground": "#c9d8d0",
        "footer-item-background": "#162b26",
        "footer-key-background": "#162b26",
        "footer-description-background": "#162b26",
        "block-cursor-background": "#2b5a50",
        "block-cursor-foreground": "#ffffff",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#20403a",
        "block-cursor-blurred-foreground": "#e8f0eb",
        "block-cursor-blurred-text-style": "none",
        "input-selection-background": "#7ad3b1 35%",
    },
)

BOARD = Theme(
    name=LIGHT,
    primary="#0c6650",
    secondary="#7a5010",
    accent="#99440c",
    warning="#855200",
    error="#a3221b",
    success="#1d6638",
    foreground="#23302b",
    background="#f2ede3",
    surface="#faf7f0",
    panel="#e7dfcf",
    dark=False,
    variables={
        "quiet": "#4d5650",
        "on-primary": "#ffffff",
        "mat": "#d9d0be",
        "hair": "#c9bfa9",
        "chosen": "#cfe4da",
        "paper-line": "#0d2b24",
        "paper-ground": "#f4fbf7",
        "picked-line": "#241300",
        "picked-ground": "#ffb954",
        "label-line": "#f4fbf7",
        "label-ground": "#0f4a3b",
        "crease-line": "#8a1550",
        "crease-light": "#ffc2e2",
        "footer-background": "#e7dfcf",
        "footer-foreground": "#4d5650",
        "footer-key-foreground": "#0c5a46",
        "footer-description-foreground": "#3c4742",
        "footer-item-background": "#e7dfcf",
        "footer-key-background": "#e7dfcf",
        "footer-description-background": "#e7dfcf",
        "block-cursor-background": "#cfe4da",
        "block-cursor-foreground": "#10211b",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#e7dfcf",
        "block-cursor-blurred-foreground": "#23302b",
        "block-cursor-blurred-text-style": "none",
        "input-selection-background": "#0c6650 30%",
    },
)

THEMES = {theme.name: theme for theme in (MAT, BOARD)}


def rgb(text: str) -> Rgb:
    """Red, green and blue of ``#rrggbb``.

    >>> rgb("#ff8000")
    (255, 128, 0)
    """
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def palette_of(variables: Mapping[str, str]) -> Palette:
    """How the marks over the picture look in a theme."""
    line, paper = rgb(variables["paper-line"]), rgb(variables["paper-ground"])
    picked = Ink(rgb(variables["picked-line"]), rgb(variables["picked-ground"]), 1.0, is_bold=True)
    label = Ink(rgb(variables["label-line"]), rgb(variables["label-ground"]), 1.0, is_bold=True)
    mat = rgb(variables["mat"])
    return {
        "seam": Ink(line, paper, 0.35, is_bold=True, light_line=paper),
        "picked": picked,
        "tab": Ink(line, paper, 0.35, light_line=paper),
        "crease": Ink(rgb(variables["crease-line"]), paper, 0.35, light_line=rgb(variables["crease-light"])),
        "label": label,
        "mark": picked,
        "quiet": Ink(rgb(variables["quiet"]), mat, 1.0),
    }
