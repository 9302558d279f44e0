"""Every command of the folded box, said once: key, words in the footer, help."""

from __future__ import annotations

from tiler.tui.commands import Command

LOOK, FOLD, SCREEN = "Look", "Fold", "The screen"

FOLD_COMMANDS = (
    Command("close", "escape,f,q", "esc", "Back", "Go back to the plan.", SCREEN, in_footer=True),
    Command("corner(1)", "v", "v", "Corner", "See the box from the next corner.", LOOK, in_footer=True),
    Command("corner(-1)", "V", "V", "Corner before", "See it from the corner before.", LOOK),
    Command("behind", "b", "b", "Behind", "See its other side; of a flat, its back.", LOOK),
    Command("meeting(1)", "m", "m", "Meeting", "Go to the next edges that meet.", LOOK, in_footer=True),
    Command("meeting(-1)", "M", "M", "Meeting before", "Go to the pair before.", LOOK),
    Command("names", "l", "l", "Names", "Write the names of panels on the picture, or not.", LOOK),
    Command("zoom(1)", "plus,equals_sign", "+", "Nearer", "Enlarge the box, or what is picked.", LOOK),
    Command("zoom(-1)", "minus", "-", "Farther", "See more of it.", LOOK),
    Command("zoom(0)", "0", "0", "Whole box", "Show the whole box.", LOOK),
    Command("swing", "space", "space", "Fold", "Fold it as you watch, or unfold it.", FOLD, in_footer=True),
    Command("close_by(-5)", "comma,less_than_sign", ",", "Open", "Open it by 5 %.", FOLD, True),
    Command("close_by(5)", "full_stop,greater_than_sign", ".", "Close", "Close it by 5 %.", FOLD, True),
    Command("undo", "u,ctrl+z", "u", "Undo", "Take the last change of the fold back.", FOLD, in_footer=True),
    Command("redo", "U,ctrl+y", "U", "Redo", "Make it again.", FOLD),
    Command("save", "s", "s", "Save", "Save all choices as a job ticket.", FOLD),
    Command("notes", "n", "n", "Notes", "Read what does not fold, and what the board does.", SCREEN),
    Command("theme", "t", "t", "Light or dark", "Change between dark and light.", SCREEN),
    Command("help", "question_mark,f1", "?", "Help", "All keys.", SCREEN, in_footer=True),
)  # fmt: skip

FOLD_KEYS = (
    ("← ↑ ↓ →", "On the picture: turn and tilt the box; or drag it", LOOK),
    ("shift + ← ↑ ↓ →", "The same in small steps", LOOK),
    ("← →", "On the line below it: open and close; or drag the knob", FOLD),
    ("← →", "On a crease: fold it by 5° less or more, with shift by 15°", FOLD),
    ("enter", "On a crease: type its angle; on a meeting: turn the box to it", FOLD),
    ("tab", "Go between picture, line and choices", SCREEN),
)
"""Keys that belong to a widget: key, what it does, heading on the help screen."""
