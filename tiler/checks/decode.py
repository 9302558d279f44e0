"""Bar widths into digits: EAN-13, EAN-8, UPC-A and ITF-14.

Patterns and check digit as in ISO/IEC 15420 (EAN/UPC) and ISO/IEC 16390 (Interleaved 2 of 5), written from
memory; the tests hold them against symbols drawn by another library.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

_DIGITS = ("3211", "2221", "2122", "1411", "1132", "1231", "1114", "1312", "1213", "3112")
"""Widths of a digit's four elements in modules, number set A; set C has the same, set B the reverse."""
_PARITY = (
    "AAAAAA",
    "AABABB",
    "AABBAB",
    "AABBBA",
    "ABAABB",
    "ABBAAB",
    "ABBBAA",
    "ABABAB",
    "ABABBA",
    "ABBABA",
)
"""Number sets of the left half that tell the first digit of EAN-13."""
_WIDE = ("00110", "10001", "01001", "11000", "00101", "10100", "01100", "00011", "10010", "01010")
"""Wide elements (1) of a digit of ITF."""

EAN_13_ELEMENTS, EAN_8_ELEMENTS, ITF_14_ELEMENTS = 59, 43, 77
"""Bars and spaces of a whole symbol."""

TOLERANCE = 0.35
"""An element may miss its whole number of modules by this much."""


class Decoded(NamedTuple):
    """What the widths say."""

    kind: str
    """``EAN-13``, ``EAN-8``, ``UPC-A`` or ``ITF-14``."""
    digits: str
    module: float
    """Width of the narrow element, in the unit of the widths."""
    is_backwards: bool
    """True when the symbol was read from its right end."""

    @property
    def has_right_check_digit(self) -> bool:
        """Modulo 10 with weights 3 and 1 from the right (GS1 General Specifications)."""
        body = [int(digit) for digit in self.digits[:-1]]
        total = sum(value * (3 if index % 2 == 0 else 1) for index, value in enumerate(reversed(body)))
        return (10 - total % 10) % 10 == int(self.digits[-1])


def decode(widths: Sequence[float]) -> Decoded | None:
    """Read bars and spaces in turn, bar first; None when they are no symbol.

    Args:
        widths: As many as one of the symbols has, any unit.
    """
    readers = {EAN_13_ELEMENTS: _ean_13, EAN_8_ELEMENTS: _ean_8, ITF_14_ELEMENTS: _itf_14}
    read = readers.get(len(widths))
    if read is None or min(widths) <= 0:
        return None
    for backwards in (False, True):
        found = read(list(reversed(widths)) if backwards else list(widths))
        if found is not None:
            return found._replace(is_backwards=backwards)
    return None


def _ean_13(widths: list[float]) -> Decoded | None:
    """EAN-13, or UPC-A, which is EAN-13 with a leading 0."""
    read = _modules(widths, 95, (0, 2, 28, 30, 56, 58))
    if read is None:
        return None
    elements, module = read
    if not _guards(elements, (0, 3), (27, 32), (56, 59)):
        return None
    left = [_left_digit(elements[at : at + 4]) for at in range(3, 27, 4)]
    right = [_right_digit(elements[at : at + 4]) for at in range(32, 56, 4)]
    sets = "".join(item[1] for item in left if item is not None)
    if None in right or len(sets) < 6 or sets not in _PARITY:
        return None
    digits = str(_PARITY.index(sets)) + "".join(str(item[0]) for item in left if item is not None)
    digits += "".join(str(item) for item in right)
    if digits[0] == "0":
        return Decoded("UPC-A", digits[1:], module, False)
    return Decoded("EAN-13", digits, module, False)


def _ean_8(widths: list[float]) -> Decoded | None:
    """EAN-8: four digits to each side, all left ones of set A."""
    read = _modules(widths, 67, (0, 2, 20, 22, 40, 42))
    if read is None:
        return None
    elements, module = read
    if not _guards(elements, (0, 3), (19, 24), (40, 43)):
        return None
    left = [_left_digit(elements[at : at + 4]) for at in range(3, 19, 4)]
    right = [_right_digit(elements[at : at + 4]) for at in range(24, 40, 4)]
    if None in right or any(item is None or item[1] != "A" for item in left):
        return None
    digits = "".join(str(item[0]) for item in left if item is not None)
    return Decoded("EAN-8", digits + "".join(str(item) for item in right), module, False)


def _modules(widths: list[float], total: int, guards: tuple[int, ...]) -> tuple[list[int], float] | None:
    """Whole modules of each element, and the module's width, whatever the bars have gained or lost.

    The guard bars are one module each: what they have more or less than a module is the gain of every bar.
    """
    module = sum(widths) / total
    gain = sum(widths[index] for index in guards) / len(guards) - module
    if abs(gain) > 0.6 * module:
        return None
    module = (sum(widths) - gain) / total
    elements = []
    for index, width in enumerate(widths):
        value = (width - gain if index % 2 == 0 else width + gain) / module
        if abs(value - round(value)) > TOLERANCE or not 1 <= round(value) <= 4:
            return None
        elements.append(round(value))
    return elements, module


def _guards(elements: list[int], *spans: tuple[int, int]) -> bool:
    """True when all elements of the guard patterns are one module wide."""
    return all(elements[index] == 1 for start, end in spans for index in range(start, end))


def _left_digit(elements: list[int]) -> tuple[int, str] | None:
    """Digit and number set of four elements of the left half."""
    word = "".join(str(value) for value in elements)
    if word in _DIGITS:
        return _DIGITS.index(word), "A"
    return (_DIGITS.index(word[::-1]), "B") if word[::-1] in _DIGITS else None


def _right_digit(elements: list[int]) -> int | None:
    """Digit of four elements of the right half."""
    word = "".join(str(value) for value in elements)
    return _DIGITS.index(word) if word in _DIGITS else None


def _itf_14(widths: list[float]) -> Decoded | None:
    """ITF-14: seven pairs of digits, the first in the bars and the second in the spaces."""
    bars, spaces = widths[0::2], widths[1::2]
    half = [(min(part) + max(part)) / 2 for part in (bars, spaces)]
    is_wide = [width > half[index % 2] for index, width in enumerate(widths)]
    if any(is_wide[:4]) or is_wide[74:] != [True, False, False]:
        return None
    digits = ""
    for start in range(4, 74, 10):
        for offset in (0, 1):
            word = "".join("1" if wide else "0" for wide in is_wide[start + offset : start + 10 : 2])
            if word not in _WIDE:
                return None
            digits += str(_WIDE.index(word))
    narrow = [_mean([w for i, w in enumerate(widths) if i % 2 == odd and not is_wide[i]]) for odd in (0, 1)]
    wide = [_mean([w for i, w in enumerate(widths) if i % 2 == odd and is_wide[i]]) for odd in (0, 1)]
    module = sum(narrow) / 2
    if not 1.8 <= sum(wide) / 2 / module <= 3.5:
        return None
    return Decoded("ITF-14", digits, module, False)


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)
