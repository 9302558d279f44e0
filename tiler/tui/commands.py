"""Every command of the screen, said once: key, words in the footer, help, palette."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True)
class Command:
    """Something the user can do."""

    action: str
    """Name of the action of the screen."""
    keys: str
    """Key names of Textual, with commas between."""
    shown_key: str
    """The key as people read it."""
    label: str
    """One or two words."""
    help: str
    """One sentence."""
    group: str
    """Heading on the help screen."""
    in_footer: bool = False
    is_listed: bool = True
    """True puts it into the command palette."""

    def binding(self) -> Binding:
        """The command as a key of a screen."""
        return Binding(
            self.keys,
            self.action,
            self.label,
            show=self.in_footer,
            key_display=self.shown_key,
            tooltip=self.help,
        )


PACK, FLAT, PICTURE, SEAM, SCREEN = "The pack", "The job", "The picture", "Seams", "The screen"

COMMANDS = (
    Command("write", "w", "w", "Write", "Write the pack beside the flat.", PACK, in_footer=True),
    Command("write_as", "W", "W", "Write as", "Write the pack to a place of your choice.", PACK),
    Command(
        "sheet",
        "v",
        "v",
        "Sheet",
        "See the picked sheet, or the map, as it will print.",
        PACK,
        in_footer=True,
    ),
    Command("folded", "f", "f", "Fold", "See the box folded; set how it folds.", PACK, in_footer=True),
    Command("toggle_tile", "space", "space", "Print or not", "Print the picked tile, or leave it out.", PACK),
    Command("open", "o", "o", "Open", "Open another flat or job ticket.", FLAT, in_footer=True),
    Command("save", "s", "s", "Save", "Save all choices as a job ticket.", FLAT, in_footer=True),
    Command("save_as", "S", "S", "Save as", "Save the job ticket to a place of your choice.", FLAT),
    Command("pages", "g", "g", "Pages", "Choose the page of a file with several.", FLAT),
    Command("parts", "L", "L", "Parts", "Go back to the list of the parts.", FLAT),
    Command("revise", "N", "N", "New revision", "Compare with a later flat, print what changed.", FLAT),
    Command("undo", "u,ctrl+z", "u", "Undo", "Take the last change back.", FLAT),
    Command("redo", "U,ctrl+y", "U", "Redo", "Make it again.", FLAT),
    Command("add_crease", "c", "c", "Add crease", "Tell where a crease lies.", FLAT),
    Command("add_check_point", "k", "k", "Add check point", "Name a spot to inspect on the mock.", FLAT),
    Command("findings", "i", "i", "Findings", "What to look at before production; the proof list.", FLAT),
    Command("notes", "n", "n", "Notes", "Read all warnings and what lies under each seam.", FLAT),
    Command("zoom(1)", "plus,equals_sign", "+", "Nearer", "Enlarge the picture.", PICTURE),
    Command("zoom(-1)", "minus", "-", "Farther", "See more of the flat.", PICTURE),
    Command("zoom(0)", "0", "0", "Whole flat", "Show the whole flat.", PICTURE),
    Command("next_seam(1)", "e", "e", "Seam", "Pick the next seam; arrows move it.", SEAM, in_footer=True),
    Command("next_seam(-1)", "E", "E", "Seam before", "Pick the seam before.", SEAM),
    Command("pin", "p", "p", "Pin", "Hold the picked seam where it lies.", SEAM),
    Command("release", "r", "r", "Release", "Let the picked seam go: no pin, not moved.", SEAM),
    Command("forbid", "x", "x", "No seam here", "Keep seams out of a stretch.", SEAM),
    Command(
        "measure", "m", "m", "Measure printer", "Read a calibration sheet; keep the printer's profile.", PACK
    ),
    Command("let_go", "escape", "esc", "Let go", "Pick nothing.", SCREEN, is_listed=False),
    Command("theme", "t", "t", "Light or dark", "Change between dark and light.", SCREEN),
    Command(
        "help", "question_mark,f1", "?", "Help", "First steps, keys, signs, words.", SCREEN, in_footer=True
    ),
    Command("leave", "q", "q", "Quit", "Leave tiler.", SCREEN, in_footer=True),
)

FIXED_KEYS = (
    ("tab", "Go between picture and choices", SCREEN),
    ("↑ ↓", "In the choices: go to another row", SCREEN),
    ("← →", "In the choices: take the value before or after", SCREEN),
    ("enter", "In the choices: all values of the row, or type one", SCREEN),
    ("← ↑ ↓ →", "In the picture: pick the tile that way", PICTURE),
    ("← ↑ ↓ →", "With a seam picked: move it by 1 mm", SEAM),
    ("shift + ← ↑ ↓ →", "Move the picture (or drag it)", PICTURE),
    ("ctrl + p", "Find a command by its name", SCREEN),
    ("ctrl + c", "Leave; in a dialog too", SCREEN),
)
"""Keys that belong to a widget: key, what it does, heading on the help screen."""


def bindings(commands: Iterable[Command] = COMMANDS) -> list[Binding]:
    """The keys of the plan screen."""
    return [command.binding() for command in commands]
