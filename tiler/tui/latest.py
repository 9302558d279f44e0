"""Slow work one at a time, of which only the newest wish counts.

Wishes that come while work goes on replace each other; when it ends, the newest is worked on. So a held key
shows every picture that there is time for, and none is thrown away half done.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Wish = TypeVar("Wish")


class Latest(Generic[Wish]):
    """Lets one piece of work run.

    Args:
        start: Begins to work on a wish and returns at once; ``done`` is to be called at its end.
    """

    def __init__(self, start: Callable[[Wish], object]) -> None:
        self._start = start
        self._waiting: Wish | None = None
        self.is_busy = False

    def want(self, wish: Wish) -> None:
        """Work on this now, or as soon as what goes on has ended."""
        if self.is_busy:
            self._waiting = wish
            return
        self.is_busy = True
        self._start(wish)

    def done(self) -> None:
        """The work has ended, well or not."""
        self.is_busy = False
        wish, self._waiting = self._waiting, None
        if wish is not None:
            self.want(wish)
