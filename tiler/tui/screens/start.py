"""Choose what to open: a path, something recent, the sample, or a file of a folder."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import DirectoryTree, Footer, Input, OptionList, Static
from textual.widgets.option_list import Option as ListOption

from tiler.tui.pasted import is_opened, is_ticket, pasted_path
from tiler.tui.recent import recent_files
from tiler.tui.screens.dialogs import type_into
from tiler.tui.screens.key_help import key_help, told_key

GREETING = "Print the flat of a box at true size, on the printer you have."

KEYS: list[BindingType] = [
    told_key("escape", "back", "Back", "Go back to the job.", "esc"),
    told_key("escape", "leave", "Quit", "Leave tiler.", "esc"),
    told_key("tab", "app.focus_next", "Next list", "Go between path, recent files and folder."),
    told_key("ctrl+u", "up", "Folder above", "Show the folder that holds this one.", "^u"),
    told_key("question_mark,f1", "help", "Help", "All keys; while a path is typed, f1.", "?"),
]

MORE_KEYS = (
    ("↑ ↓", "Go through a list"),
    ("enter", "Open the file, or the folder, under the bar; open the path that was typed"),
    ("^c", "Leave tiler, from every screen"),
    ("letters", "Type a path, from wherever you are; a file can be dropped too"),
)
"""Keys of the lists, and what they do."""


class FlatTree(DirectoryTree):
    """A folder with the files that can be opened, and no others."""

    ICON_FILE = "  "
    ICON_NODE = "▸ "
    ICON_NODE_EXPANDED = "▾ "

    def filter_paths(self, paths: Iterable[Path]) -> Iterable[Path]:
        """Folders, flats and job tickets; nothing hidden."""
        return [
            path for path in paths if not path.name.startswith(".") and (_is_folder(path) or is_opened(path))
        ]


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:
        return False


class StartScreen(Screen[Path | None]):
    """Ends with the path to open; None when the user goes back."""

    BINDINGS: ClassVar[list[BindingType]] = KEYS

    def __init__(
        self,
        folder: Path,
        state: Path,
        sample: Path | None,
        has_job: bool = False,
        greeting: str = GREETING,
    ) -> None:
        super().__init__()
        self._greeting = greeting
        self._folder, self._sample, self._has_job = folder, sample, has_job
        self._offered: list[Path] = []
        self._recent = recent_files(state)

    def compose(self) -> ComposeResult:
        """A line for a path; recent files left, a folder right."""
        yield Static(Text.assemble(("tiler", "bold"), f"   {self._greeting}"), id="greeting")
        yield Input(
            placeholder="Type a path or drop a file: PDF, JPEG, PNG, TIFF, WebP, job ticket",
            id="path",
            select_on_focus=False,
        )
        yield Static(id="path-wrong", markup=False)
        with Horizontal(id="lists"):
            with Vertical(id="recent-side"):
                yield Static("Recent", classes="heading")
                yield OptionList(id="recent")
            with Vertical(id="folder-side"):
                yield Static(classes="heading", id="folder-name", markup=False)
                yield FlatTree(self._folder, id="tree")
        yield Footer(show_command_palette=True)

    def on_mount(self) -> None:
        """Fill the recent list and begin where a choice is most likely."""
        recent = self.query_one("#recent", OptionList)
        for path in self._others():
            self._offer(recent, path, path.name, str(path.parent))
        if self._sample is not None:
            self._offer(recent, self._sample, "The sample", "lid of the Heronwick field lamp box")
        if not self._offered:
            recent.add_option(ListOption("Nothing yet", disabled=True))
        self._name_folder()
        if self._offered:
            recent.highlighted = 0
            recent.focus()
        else:
            self.query_one("#tree").focus()

    def _others(self) -> list[Path]:
        """What was opened of late, without the sample, which has a line of its own."""
        return [path for path in self._recent if path != self._sample]

    def _offer(self, recent: OptionList, path: Path, name: str, where: str) -> None:
        self._offered.append(path)
        sign = "ticket " if is_ticket(path) else ""
        recent.add_option(
            ListOption(Text.assemble((name, "bold"), f"\n{sign}{where}", no_wrap=True, overflow="ellipsis"))
        )

    def _name_folder(self) -> None:
        tree = self.query_one("#tree", FlatTree)
        self.query_one("#folder-name", Static).update(str(Path(tree.path).absolute()))

    @on(OptionList.OptionSelected, "#recent")
    def _open_recent(self, event: OptionList.OptionSelected) -> None:
        self._open(self._offered[event.option_index])

    @on(DirectoryTree.FileSelected)
    def _open_file(self, event: DirectoryTree.FileSelected) -> None:
        self._open(event.path)

    @on(Input.Submitted, "#path")
    def _open_typed(self, event: Input.Submitted) -> None:
        path = pasted_path(event.value)
        if path is None:
            path = Path(event.value.strip()).expanduser()
        if not event.value.strip():
            return
        path = path if path.is_absolute() else self._folder / path
        if path.is_dir():
            self._show_folder(path)
        else:
            self._open(path)

    def on_key(self, event: events.Key) -> None:
        """A path may be typed from everywhere on the screen."""
        if event.key != "question_mark":
            type_into(self.query_one("#path", Input), event)

    @on(Input.Changed, "#path")
    def _typing(self) -> None:
        self.query_one("#path-wrong", Static).update("")

    def _open(self, path: Path) -> None:
        """End with the path, if there is a file of that name."""
        if path.is_file():
            self.dismiss(path)
        else:
            self.query_one("#path-wrong", Static).update(f"✕ {path}: there is no such file.")

    def _show_folder(self, folder: Path) -> None:
        tree = self.query_one("#tree", FlatTree)
        tree.path = folder
        self._name_folder()
        tree.focus()

    def action_up(self) -> None:
        """Show the folder above."""
        self._show_folder(Path(self.query_one("#tree", FlatTree).path).absolute().parent)

    def action_help(self) -> None:
        """All keys."""
        other = "leave" if self._has_job else "back"
        keys = [key for key in KEYS if isinstance(key, Binding) and key.action != other]
        self.app.push_screen(key_help("Help: open a flat or a job ticket", keys, MORE_KEYS, "Besides"))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Esc goes back to the job, or leaves where there is none."""
        return {"back": self._has_job, "leave": not self._has_job}.get(action, True)

    def action_back(self) -> None:
        """Go back to the job."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Leave tiler."""
        self.app.action_interrupt()  # type: ignore[attr-defined]
