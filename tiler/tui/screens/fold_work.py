"""The folded box at work: fold, draw and look at the corners, each in a worker of its own."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from textual.message import Message
from textual.screen import Screen
from textual.strip import Strip
from textual.worker import Worker, get_current_worker

from tiler.fold.best_corner import best_corner
from tiler.fold.box import FoldedBox
from tiler.fold.camera import Corner
from tiler.fold.choices import FoldChoices
from tiler.fold.meetings import Meeting, Side
from tiler.fold.of_flat import textures_of, verdicts_of
from tiler.fold.spotlight import meeting_named
from tiler.fold.verdict import Verdict
from tiler.folding import fold_of
from tiler.load import Loaded
from tiler.tui.fold_picture import Drawn, Prints, Shot, draw
from tiler.tui.latest import Latest
from tiler.tui.paint import Palette, paint, paint_plain
from tiler.tui.work import Problem, problem_of

FIRST_PIXELS = 1000
"""Pixels along the longer side of the art as it is rendered at first."""
MOST_PIXELS = 6_000_000
"""Pixels of the art at most, when the picture is enlarged."""

Edges = tuple[Side, Side]


@dataclass(frozen=True, eq=False)
class FoldWish:
    """A flat to be folded."""

    loaded: Loaded
    choices: FoldChoices


@dataclass(frozen=True, eq=False)
class ShotWish:
    """A picture that is wanted, with the colours of its marks."""

    shot: Shot
    palette: Palette


class FoldWork(Screen[None]):
    """Starts workers, which only post messages; the screen takes what they report."""

    @dataclass
    class Folded(Message):
        """A flat has been folded, or cannot be."""

        wish: FoldWish
        box: FoldedBox | None
        problem: Problem | None

    @dataclass
    class Pictured(Message):
        """A picture has been drawn; None when that has failed."""

        wish: ShotWish
        drawn: Drawn | None
        strips: list[Strip]
        problem: Problem | None = None

    @dataclass
    class Printed(Message):
        """The art has been rendered."""

        loaded: Loaded
        prints: Prints

    @dataclass
    class Judged(Message):
        """The art along the meetings of a box has been looked at."""

        loaded: Loaded
        found: dict[Edges, Verdict]

    @dataclass
    class CornerFound(Message):
        """The corner from which a meeting is seen best."""

        name: str
        corner: Corner

    @dataclass
    class WorkFailed(Message):
        """Something beside the picture has failed."""

        problem: Problem

    def __init__(self) -> None:
        super().__init__()
        self._foldings: Latest[FoldWish] = Latest(lambda wish: self._run("fold", lambda: self._fold(wish)))
        self._pictures: Latest[ShotWish] = Latest(lambda wish: self._run("frame", lambda: self._draw(wish)))

    def _run(self, group: str, work: Callable[[], None]) -> Worker[None]:
        """Work in a thread; the work before of the same group is called off."""
        return self.run_worker(work, thread=True, exclusive=True, group=group, exit_on_error=False)

    def _tell(self, message: Message) -> None:
        """Report from a worker; a screen that has gone takes no reports."""
        if self.is_running:
            self.post_message(message)

    def _fold(self, wish: FoldWish) -> None:
        """In the worker's thread."""
        try:
            box = fold_of(wish.loaded, wish.choices).box
        except Exception as error:  # whatever it is, the screen lives on
            self._tell(self.Folded(wish, None, problem_of(error, "folding the flat")))
            return
        self._tell(self.Folded(wish, box, None))

    def _draw(self, wish: ShotWish) -> None:
        """In the worker's thread."""
        try:
            drawn = draw(wish.shot)
            if wish.shot.plain:
                strips = paint_plain(drawn.points, drawn.marks)
            else:
                strips = paint(drawn.points, drawn.marks, wish.palette)
        except Exception as error:  # a picture is worth no crash
            self._tell(self.Pictured(wish, None, [], problem_of(error, "drawing the box")))
            return
        self._tell(self.Pictured(wish, drawn, strips))

    def render_prints(self, loaded: Loaded, density: float) -> None:
        """Render the art in a worker.

        Args:
            loaded: The flat.
            density: Pixels for each mm; 0 takes what a first look needs.
        """
        longest = max(loaded.flat.size)
        pixels = min(density * longest, math.sqrt(MOST_PIXELS)) if density else FIRST_PIXELS
        self._run("prints", lambda: self._render_art(loaded, round(pixels)))

    def _render_art(self, loaded: Loaded, pixels: int) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            prints = Prints.of(textures_of(loaded, loaded.inside, (pixels, pixels)))
        except Exception as error:  # plain board is shown instead
            self._tell(self.WorkFailed(problem_of(error, "drawing the flat")))
            return
        if not worker.is_cancelled:
            self._tell(self.Printed(loaded, prints))

    def judge(self, loaded: Loaded, box: FoldedBox, wanted: tuple[Meeting, ...]) -> None:
        """Look at the art along meetings in a worker."""
        self._run("corners", lambda: self._judge(loaded, box, wanted))

    def _judge(self, loaded: Loaded, box: FoldedBox, wanted: tuple[Meeting, ...]) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        try:
            verdicts = verdicts_of(loaded, box, wanted, lambda: worker.is_cancelled)
        except Exception as error:  # the rows stay without verdicts
            self._tell(self.WorkFailed(problem_of(error, "looking at the corners")))
            return
        if not worker.is_cancelled:
            by_edges = {(one.a, one.b): verdicts[one.id] for one in wanted if one.id in verdicts}
            self._tell(self.Judged(loaded, by_edges))

    def find_corner(self, box: FoldedBox, name: str, opening: float, now: Corner) -> None:
        """Find in a worker from where a meeting is seen best."""
        self._run("find", lambda: self._find(box, name, opening, now))

    def _find(self, box: FoldedBox, name: str, opening: float, now: Corner) -> None:
        """In the worker's thread."""
        worker = get_current_worker()
        meeting = meeting_named(box, name)
        if meeting is not None:
            best = best_corner(box, meeting, opening, now, lambda: worker.is_cancelled)
            if best is not None:
                self._tell(self.CornerFound(name, best))
