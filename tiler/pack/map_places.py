"""Free places on the map's drawing, where nothing is written over anything else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tiler.geometry import Point, Rect, Size
from tiler.marks.crease_guides import clip
from tiler.marks.room import find_room
from tiler.marks.style import CLOSE
from tiler.pack.map_taken import Taken

GAP = CLOSE / 2
"""Names and numbers stand at least this far apart, mm."""

_MOST_LINES = 1500
"""Among more lines than this, mostly pieces of curves, names do not look for a place that none crosses."""


class Places:
    """What is set first keeps its place; what finds none is counted by its kind."""

    def __init__(
        self, within: Rect, taken: Iterable[Rect], lines: Sequence[tuple[Point, Point]] = ()
    ) -> None:
        self.within = within
        self._lines = lines if len(lines) <= _MOST_LINES else ()
        self._taken = Taken(within, taken)
        self._missed: dict[str, int] = {}

    def near(self, size: Size, centre: Point, reach: float) -> Rect | None:
        """The free place nearest to a wished middle, now taken.

        Args:
            size: Of the thing, mm.
            centre: Where its middle would best be, sheet mm.
            reach: How far it may move to either side, mm.
        """
        wish = Rect(centre.x - size.width / 2, centre.y - size.height / 2, *size)
        band = wish.grown(reach).intersection(self.within)
        place = find_room(size, band, self._taken.near(band.grown(GAP)), Point(wish.x, wish.y), GAP)
        return None if place is None else self.take(place)

    def lines_in(self, area: Rect) -> tuple[tuple[Point, Point], ...]:
        """Lines of the structure that run through a place."""
        return tuple(line for line in self._lines if clip(*line, area) is not None)

    def first(self, wishes: Iterable[Rect]) -> Rect | None:
        """The first of some places that is free; it is not taken yet."""
        return next((wish for wish in wishes if self.is_free(wish)), None)

    def is_free(self, place: Rect) -> bool:
        """True within the drawing and off everything else."""
        room = place.grown(GAP)
        return self.within.holds(place) and not any(room.overlaps(other) for other in self._taken.near(room))

    def take(self, place: Rect) -> Rect:
        """Keep a place."""
        self._taken.add(place)
        return place

    def give_back(self, places: Iterable[Rect]) -> None:
        """Free places that were taken."""
        for place in places:
            self._taken.remove(place)

    def miss(self, what: str) -> None:
        """Count a thing that found no place."""
        self._missed[what] = self._missed.get(what, 0) + 1

    @property
    def missed(self) -> str:
        """What found no place, in words; empty when everything did.

        >>> places = Places(Rect(0, 0, 9, 9), [])
        >>> places.miss("panel name"), places.miss("text number"), places.miss("text number")
        (None, None, None)
        >>> places.missed
        '1 panel name, 2 text numbers'
        """
        return ", ".join(f"{n} {what}{'s' if n > 1 else ''}" for what, n in self._missed.items())
