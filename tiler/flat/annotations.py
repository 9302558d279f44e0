"""Annotations that print: their appearance streams, placed as ISO 32000-2, 12.5.5 says."""

from __future__ import annotations

from dataclasses import dataclass

from pypdf import PageObject
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, PdfObject, StreamObject

from tiler.geometry import IDENTITY, Affine, Rect

INVISIBLE, HIDDEN, PRINT = 1, 2, 4
"""Annotation flags (ISO 32000-2, table 167)."""


@dataclass(frozen=True)
class Appearance:
    """What one annotation draws."""

    appearance: PdfObject
    """Reference of the form XObject."""
    to_page: Affine
    """Maps the appearance (after its own matrix) onto the annotation's rectangle in page space."""


def printed_annotations(page: PageObject) -> list[Appearance]:
    """Appearances of the annotations that are marked to print, in drawing order."""
    listed = page.get("/Annots")
    annotations = listed.get_object() if listed is not None else None
    if not isinstance(annotations, ArrayObject):
        return []
    found = []
    for item in annotations:
        annotation = item.get_object()
        if isinstance(annotation, DictionaryObject):
            appearance = _appearance(annotation)
            if appearance is not None:
                found.append(appearance)
    return found


def _appearance(annotation: DictionaryObject) -> Appearance | None:
    """Normal appearance and place; None where nothing is to be printed."""
    flags = annotation.get("/F", 0)
    if not isinstance(flags, int) or flags & (INVISIBLE | HIDDEN) or not flags & PRINT:
        return None
    if annotation.get("/Subtype") == "/Popup":
        return None
    stream = _normal(annotation)
    rect = _rectangle(annotation.get("/Rect"))
    if stream is None or rect is None:
        return None
    form = stream.get_object()
    assert isinstance(form, StreamObject)
    box = _rectangle(form.get("/BBox"))
    if box is None:
        return None
    drawn = _matrix(form.get("/Matrix")).bounds(box)
    if drawn.is_empty:
        return None
    sx, sy = rect.width / drawn.width, rect.height / drawn.height
    return Appearance(stream, Affine(sx, 0, 0, sy, rect.x - drawn.x * sx, rect.y - drawn.y * sy))


def _normal(annotation: DictionaryObject) -> IndirectObject | None:
    """The stream of the normal appearance in the annotation's present state."""
    looks = annotation.get("/AP")
    table = looks.get_object() if looks is not None else None
    if not isinstance(table, DictionaryObject) or "/N" not in table:
        return None
    normal = table.raw_get("/N")
    if not isinstance(normal.get_object(), StreamObject):
        states = normal.get_object()
        state = annotation.get("/AS")
        if not isinstance(states, DictionaryObject) or state not in states:
            return None
        normal = states.raw_get(state)
    if isinstance(normal, IndirectObject) and isinstance(normal.get_object(), StreamObject):
        return normal
    return None


def _numbers(value: object, count: int) -> list[float] | None:
    """The numbers of an array of that length; None for anything else."""
    found = value.get_object() if isinstance(value, IndirectObject) else value
    if not isinstance(found, ArrayObject) or len(found) != count:
        return None
    try:
        return [float(number.get_object()) for number in found]
    except (TypeError, ValueError):
        return None


def _rectangle(value: object) -> Rect | None:
    """A PDF rectangle with its corners in order; None for anything else."""
    numbers = _numbers(value, 4)
    if numbers is None:
        return None
    (left, right), (low, high) = sorted(numbers[0::2]), sorted(numbers[1::2])
    return Rect.between(left, low, right, high)


def _matrix(value: object) -> Affine:
    """A PDF matrix; the identity where there is none."""
    numbers = _numbers(value, 6)
    return Affine(*numbers) if numbers else IDENTITY
