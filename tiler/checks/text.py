"""Text: type too small on paper, reversed type, heights that law speaks of, outlined letters.

A run is told once, by the gravest of the limits it misses; lines of one paragraph are told together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tiler.checks.finding import Finding
from tiler.checks.group import around, grouped
from tiler.checks.limits import Limit, Limits
from tiler.checks.pixels import lightness
from tiler.checks.sight import Sight
from tiler.flat.text import TextRun
from tiler.geometry import Rect
from tiler.units import MM_PER_POINT, format_number

RING = 0.7
"""Width of the frame round a run in which its ground is sampled, mm."""

LIGHTER = 0.15
"""Type this much lighter than its ground is reversed (own choice, no source)."""

LINE_PITCH = 1.7
"""Lines of one paragraph lie no further apart than this, in em."""

LEAST_ROW = 6
"""Letter-like shapes that make a row of outlined type."""

ON_LINE = 0.6
"""Share of the letters of a row that stand on its base line; others hang below or are dots above."""

_QUANTITY = re.compile(r"(?<![\w.,])(\d+(?:[.,]\d+)?)\s?(kg|g|ml|cl|dl|l|L)(?![\w²³/%])")
_GRAMS = {"kg": 1000.0, "g": 1.0, "ml": 1.0, "cl": 10.0, "dl": 100.0, "l": 1000.0, "L": 1000.0}
"""Grams or millilitres in a unit."""

_STEPS = ((50.0, "quantity_50"), (200.0, "quantity_200"), (1000.0, "quantity_1000"))


@dataclass(frozen=True)
class _Miss:
    """A limit that a run misses."""

    run: TextRun
    rule: str
    limit: Limit
    measured: float
    what: str
    """What was measured, in words."""


def text_findings(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """All findings on text."""
    runs = [run for run in sight.runs if sight.is_printed(run.box)]
    worst = []
    for run in runs:
        misses = sorted(_misses(sight, run, limits), key=_gravity)
        if misses:
            worst.append((misses[0], misses[1:]))
    for same in grouped(worst, lambda item: item[0].run.box.grown(_reach(item[0].run)), _key, 0.0):
        yield _told(same)
    yield from _mirrored(runs, limits)
    yield from _outlined(sight, limits)


def is_reversed(sight: Sight, run: TextRun) -> bool:
    """True for type lighter than the ground it stands on."""
    ground = sight.pixels.lightness_around(run.box, RING)
    if run.fill is None:
        return False
    return lightness(run.fill) - ground > LIGHTER


def _misses(sight: Sight, run: TextRun, limits: Limits) -> Iterator[_Miss]:
    """Every limit that a run misses."""
    light = is_reversed(sight, run)
    name, kind = ("text_reversed_size", "reversed type") if light else ("text_size", "type")
    if limits[name].is_below(run.size):
        yield _Miss(run, "text.reversed" if light else "text.size", limits[name], run.size, kind)
    if run.x_height is not None and any(letter.islower() for letter in run.text):
        for law in (_food_limit(sight, limits), limits["food_us_height"]):
            if law.is_below(run.x_height):
                yield _Miss(run, "text.x_height", law, run.x_height, "small letters")
    yield from _quantity_miss(run, limits)
    mark = max(run.box.height, run.box.width)
    if run.text == "℮" and limits["e_mark"].is_below(mark):
        yield _Miss(run, "text.e_mark", limits["e_mark"], mark, "℮ mark")


def _food_limit(sight: Sight, limits: Limits) -> Limit:
    """The height that food law asks for on a pack of this size."""
    largest = max((panel.area for panel in sight.structure.panels), default=float("inf"))
    is_small = largest / 100 < limits["small_pack_area"].value
    return limits["food_x_height_small" if is_small else "food_x_height"]


def _quantity_miss(run: TextRun, limits: Limits) -> Iterator[_Miss]:
    """The figures of a nominal quantity."""
    found = _QUANTITY.search(run.text)
    if found is None or run.cap_height is None:
        return
    amount = float(found[1].replace(",", ".")) * _GRAMS[found[2]]
    limit = limits[next((name for most, name in _STEPS if amount <= most), "quantity_more")]
    if limit.is_below(run.cap_height):
        yield _Miss(run, "text.quantity", limit, run.cap_height, f"figures of '{found[0]}'")


def _gravity(miss: _Miss) -> tuple[int, float]:
    """Sorts the gravest miss first."""
    assert miss.limit.severity is not None
    return miss.limit.severity.rank, miss.measured / miss.limit.value


def _key(item: tuple[_Miss, list[_Miss]]) -> tuple[object, ...]:
    """Runs with the same key may be told together."""
    miss, others = item
    style = miss.run.font, round(miss.run.size, 1), round(miss.run.angle)
    return (miss.rule, miss.limit.name, round(miss.measured, 2), *style, *(m.limit.name for m in others))


def _reach(run: TextRun) -> float:
    """Half the distance to the next line of a paragraph, mm."""
    return run.size * MM_PER_POINT * LINE_PITCH / 4


def _told(same: Sequence[tuple[_Miss, list[_Miss]]]) -> Finding:
    """One finding for the lines of a paragraph."""
    miss, others = min(same, key=lambda item: item[0].measured)
    lines = [item[0].run for item in same]
    message = f"{_missed([miss, *others])}: {quoted(lines[0].text)}"
    message += more_lines(len(lines) - 1)
    source = "; ".join(dict.fromkeys([miss.limit.source, *(other.limit.source for other in others)]))
    box = around([run.box for run in lines])
    found = miss.limit.finding(miss.rule, box, message[0].upper() + message[1:], miss.measured)
    return replace(found, source=source)


def _missed(misses: Sequence[_Miss]) -> str:
    """What was measured, once, and every limit that it misses."""
    told: dict[str, list[str]] = {}
    for miss in misses:
        measured = f"{miss.what} of {_measure(miss.measured, miss.limit)}"
        label = f" ({miss.limit.label})" if miss.limit.label else ""
        told.setdefault(measured, []).append(f"{_measure(miss.limit.value, miss.limit)}{label}")
    return "; ".join(f"{measured}, below {' and '.join(limits)}" for measured, limits in told.items())


def _measure(value: float, limit: Limit) -> str:
    """A value with the unit of its limit."""
    return f"{format_number(value, 2)} {limit.unit}"


def more_lines(count: int) -> str:
    """What follows the first line of a paragraph.

    >>> more_lines(0), more_lines(1), more_lines(3)
    ('', ' and 1 more line', ' and 3 more lines')
    """
    return f" and {count} more line{'' if count == 1 else 's'}" if count > 0 else ""


def quoted(text: str, length: int = 40) -> str:
    """Words in quotes, shortened.

    >>> quoted("Carry it low.")
    "'Carry it low.'"
    """
    return f"'{text}'" if len(text) <= length else f"'{text[: length - 1].rstrip()}…'"


def _mirrored(runs: Sequence[TextRun], limits: Limits) -> Iterator[Finding]:
    """Text that reads backwards."""
    limit = limits["mirrored_text"]
    if limit.severity is None:
        return
    for run in runs:
        if run.mirrored:
            yield limit.finding("text.mirrored", run.box, f"Text reads backwards: {quoted(run.text)}")


def _outlined(sight: Sight, limits: Limits) -> Iterator[Finding]:
    """Rows of small filled shapes that look like outlined type."""
    limit = limits["outlined_text"]
    if limit.severity is None:
        return
    boxes = [box for box in sight.drawing.letters if sight.is_printed(box)]
    for row in grouped(boxes, lambda box: box.grown(0.25 * box.height), lambda box: 0, 0.0):
        height = max(box.height for box in row)
        if len(row) < LEAST_ROW or not _is_row(row):
            continue
        message = (
            f"About {len(row)} shapes look like outlined type some {format_number(height)} mm high; it "
            "cannot be read here, so measure it on the mock"
        )
        yield limit.finding("text.outlined", around(row), message)


def _is_row(row: Sequence[Rect]) -> bool:
    """True when shapes stand side by side on a base line, of a few heights, as letters do."""
    return _reads(row) or _reads([Rect(box.y, box.x, box.height, box.width) for box in row])


def _reads(row: Sequence[Rect]) -> bool:
    """The same for a row that reads across."""
    box = around(row)
    tall = max(shape.height for shape in row)
    if box.height > 1.8 * tall or box.width < 2.5 * box.height or box.width > 1.4 * tall * len(row):
        return False
    feet = sorted(shape.bottom for shape in row)
    on_line = max(sum(1 for foot in feet if 0 <= foot - base <= 0.08 * tall) for base in feet)
    sizes = {(round(shape.width, 1), round(shape.height, 1)) for shape in row}
    return on_line >= ON_LINE * len(row) and len(sizes) >= LEAST_ROW // 2
