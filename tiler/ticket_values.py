"""Values of a job ticket: each reader takes what TOML gives and says what it must be. Pure."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, get_args, get_type_hints

from tiler.checks.waiver import Waiver
from tiler.geometry import Point
from tiler.job import CheckPoint, Job
from tiler.plan.request import Forbidden, Nudge, Pin
from tiler.structure.kinds import LineKind
from tiler.units import LONGEST

KINDS = (*(str(kind) for kind in LineKind), "ignore")
"""What a layer or spot colour can be told to be."""

MOST_PAGES = 1_000_000
"""No file has a page with a higher number."""


class WrongValue(Exception):
    """A value is not what it must be; says what it must be."""


def shown(value: Any) -> str:
    """A value as a sentence shows it, never longer than 60 characters."""
    try:
        text = f"'{value}'" if isinstance(value, str) else str(value)
    except ValueError:  # Python writes no whole number of more than some thousand digits
        return "a number without end"
    text = text.lower() if isinstance(value, bool) else text
    return text if len(text) <= 60 else f"{text[:57]}…"


def text_value(value: Any) -> str:
    """A text with something in it."""
    if not isinstance(value, str) or not value.strip() or "\0" in value:
        raise WrongValue("a text in quotes")
    return value


def truth(value: Any) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise WrongValue("true or false")
    return value


def page_number(value: Any) -> int:
    """A page, counted from 1."""
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= MOST_PAGES:
        raise WrongValue("a whole number from 1 up")
    return value


def number(value: Any) -> float:
    """A number that can be millimetres of a job."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= LONGEST:
        raise WrongValue("a number below a million")
    return float(value)


def between(least: float, most: float) -> Callable[[Any], float]:
    """A number within bounds."""

    def reader(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            raise WrongValue(f"a number from {least:g} to {most:g}")
        return float(value)

    return reader


def numbers(
    count: int, least: float = -math.inf, above: float = -math.inf
) -> Callable[[Any], tuple[float, ...]]:
    """So many numbers, none below ``least`` and all above ``above``."""

    def reader(value: Any) -> tuple[float, ...]:
        words = f"{count} numbers in brackets"
        if not isinstance(value, list) or len(value) != count:
            raise WrongValue(words)
        numbers = tuple(number(entry) for entry in value)
        if min(numbers) < least or min(numbers) <= above:
            raise WrongValue(f"{words}, none below 0" if least == 0 else f"{words}, all above 0")
        return numbers

    return reader


def one_of(words: tuple[str, ...]) -> Callable[[Any], str]:
    """One of some words."""

    def reader(value: Any) -> str:
        if value not in words or not isinstance(value, str):
            raise WrongValue(f"one of {', '.join(words)}")
        return value

    return reader


def word_of(name: str) -> Callable[[Any], str]:
    """One of the words that the job allows for that choice."""
    return one_of(get_args(get_type_hints(Job)[name]))


def list_of(one: Callable[[Any], Any]) -> Callable[[Any], tuple[Any, ...]]:
    """A list of values of one kind."""

    def reader(value: Any) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise WrongValue("a list in brackets")
        return tuple(one(entry) for entry in value)

    return reader


def _entry(value: Any, form: str, **readers: Callable[[Any], Any]) -> list[Any]:
    """The values of an inline table with exactly these keys."""
    if not isinstance(value, dict) or set(value) != set(readers):
        raise WrongValue(f"entries such as {form}")
    try:
        return [reader(value[key]) for key, reader in readers.items()]
    except WrongValue:
        raise WrongValue(f"entries such as {form}") from None


def pin(value: Any) -> Pin:
    """A pinned seam."""
    form = '{ axis = "x", at = 160.0 } or { axis = "x", at = 160.0, through = 80.0 }'
    readers: dict[str, Callable[[Any], Any]] = {"axis": one_of(("x", "y")), "at": number}
    if isinstance(value, dict) and "through" in value:
        readers["through"] = number
    return Pin(*_entry(value, form, **readers))


def pin_values(held: Pin) -> dict[str, Any]:
    """A pinned seam as plain values."""
    values: dict[str, Any] = {"axis": held.axis, "at": held.at}
    return values if held.through is None else {**values, "through": held.through}


def forbidden(value: Any) -> Forbidden:
    """A stretch without seams."""
    form = '{ axis = "x", start = 150.0, end = 170.0 }'
    return Forbidden(*_entry(value, form, axis=one_of(("x", "y")), start=number, end=number))


def nudge(value: Any) -> Nudge:
    """A seam moved by hand."""
    return Nudge(*_entry(value, '{ seam = "A1|A2", by = 2.0 }', seam=text_value, by=number))


def crease(value: Any) -> tuple[Point, Point]:
    """A crease told by hand."""
    try:
        x1, y1, x2, y2 = numbers(4)(value)
    except WrongValue:
        raise WrongValue("entries of four numbers, as in [20.0, 0.0, 20.0, 120.0]") from None
    return Point(x1, y1), Point(x2, y2)


def check_point(value: Any) -> CheckPoint:
    """A spot to inspect."""
    name, at = _entry(value, '{ name = "bar code", at = [30.0, 40.0] }', name=text_value, at=numbers(2))
    return CheckPoint(name, Point(*at))


def line_as(value: Any) -> tuple[tuple[str, str], ...]:
    """Names of layers and spot colours, each with its kind."""
    if not isinstance(value, dict) or any(kind not in KINDS for kind in value.values()):
        raise WrongValue(f'names with a kind, as in {{ "Die" = "cut" }}; kinds are {", ".join(KINDS)}')
    return tuple(value.items())


def waiver(value: Any) -> Waiver:
    """A finding set aside."""
    form = '{ rule = "text.size", near = [30.0, 40.0], reason = "the client wants it so" }'
    rule, near, reason = _entry(value, form, rule=text_value, near=numbers(2), reason=text_value)
    return Waiver(rule, Point(*near), reason)


def fold_angle(value: Any) -> tuple[str, str, float]:
    """The angle of the crease between two panels."""
    form = '{ panels = ["P1", "P2"], angle = 90.0 }'
    panels, angle = _entry(value, form, panels=list_of(text_value), angle=between(-180, 180))
    if len(panels) != 2 or panels[0].upper() == panels[1].upper():
        raise WrongValue(f"entries such as {form}")
    return panels[0].upper(), panels[1].upper(), angle
