"""Find bar codes in bars drawn as rectangles; what shows only in pixels is looked for by ``scan``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from tiler.checks.decode import decode
from tiler.checks.drawing import Bar
from tiler.checks.group import around
from tiler.checks.pixels import lightness
from tiler.checks.scan import rendered_symbols
from tiler.checks.sight import Sight
from tiler.checks.symbol import LENGTHS, MARGIN, Symbol, symbol_of, turned, widths_of
from tiler.geometry import Rect

WIDEST_SPACE = 4.5
"""Bars further apart than this belong to different symbols, mm: four modules of 1.016 mm and some loss."""
SHARED = 0.6
"""Share of its height that a bar has in common with its neighbours."""
DARK = 0.6
"""Bars are darker than this (0 black, 1 white); scanners read dark on light."""
MOST_BARS = 5_000
"""More narrow rectangles than this are a pattern; they are not looked through."""


def find_symbols(sight: Sight) -> tuple[Symbol, ...]:
    """All bar codes that can be told."""
    drawn = list(_drawn(sight.drawing.bars)) if len(sight.drawing.bars) <= MOST_BARS else []
    taken = [symbol.box.grown(MARGIN) for symbol in drawn]
    return (*drawn, *rendered_symbols(sight, taken))


def _drawn(bars: Sequence[Bar]) -> Iterator[Symbol]:
    """Symbols made of rectangles."""
    dark = [bar.box for bar in bars if lightness(bar.colour) < DARK]
    for across in (False, True):
        # A symbol that reads up or down is told like one that reads across, with its axes exchanged.
        boxes = [turned(box) if across else box for box in dark]
        upright = sorted({box for box in boxes if box.height > box.width}, key=lambda box: box.x)
        for chain in _chains(upright):
            yield from _in_chain(chain, across)


def _chains(bars: Sequence[Rect]) -> Iterator[list[Rect]]:
    """Bars that stand side by side, from left to right."""
    open_chains: list[list[Rect]] = []
    for bar in bars:
        home = None
        for chain in list(open_chains):
            if bar.x - max(old.right for old in chain[-3:]) > WIDEST_SPACE:
                open_chains.remove(chain)
                yield chain
            elif home is None and _shares(chain[-1], bar):
                home = chain
        if home is None:
            open_chains.append([bar])
        else:
            home.append(bar)
    yield from open_chains


def _shares(first: Rect, second: Rect) -> bool:
    """True when two bars stand at the same height."""
    common = min(first.bottom, second.bottom) - max(first.y, second.y)
    return common >= SHARED * max(first.height, second.height)


def _in_chain(chain: list[Rect], across: bool) -> Iterator[Symbol]:
    """The symbols in a chain of bars."""
    bars = _joined(chain)
    start = 0
    while start < len(bars):
        step = 1
        for length in LENGTHS:
            part = bars[start : start + (length + 1) // 2]
            if len(part) * 2 - 1 != length:
                continue
            found = decode(widths_of([(bar.x, bar.right) for bar in part]))
            if found is not None:
                box = around(part)
                height = float(np.median([bar.height for bar in part]))
                yield symbol_of(found, turned(box) if across else box, height, across, in_pixels=False)
                step = len(part)
                break
        start += step


def _joined(chain: list[Rect]) -> list[Rect]:
    """Bars that touch become one: a wide bar may be drawn as several narrow ones."""
    joined: list[Rect] = []
    for bar in chain:
        if joined and bar.x - joined[-1].right < 0.02:
            joined[-1] = joined[-1].union(bar)
        else:
            joined.append(bar)
    return joined
