"""Operands as the walk needs them: names as resource keys, numbers, tints, matrices."""

from __future__ import annotations

from typing import Any

from pypdf.generic import NameObject

from tiler.flat.content import Name, Operand
from tiler.geometry import Affine


def key_of(operand: Operand) -> str:
    """A name operand as pypdf spells the same name in a resource dictionary; empty for what is no name."""
    if not isinstance(operand, Name):
        return ""
    for encoding in NameObject.CHARSETS:
        try:
            return "/" + operand.decode(encoding)
        except UnicodeDecodeError:
            continue
    return "/" + operand.decode("latin-1")


def numbers_of(operands: list[Operand], count: int) -> list[float]:
    """The last ``count`` operands as numbers.

    Raises:
        ValueError: They are not that many numbers.
    """
    numbers = operands[-count:]
    if len(numbers) != count:
        raise ValueError
    return [float(number) for number in numbers if type(number) is float]


def tints_of(operands: list[Operand]) -> tuple[float, ...]:
    """The numbers among the operands; a pattern's name is left out."""
    return tuple(tint for tint in operands if type(tint) is float)


def matrix_of(value: Any) -> Affine:
    """A form's /Matrix; the identity when it has none or it is broken."""
    try:
        a, b, c, d, e, f = (float(number) for number in value.get_object())
    except (AttributeError, TypeError, ValueError):
        return Affine(1, 0, 0, 1, 0, 0)
    return Affine(a, b, c, d, e, f)
