"""Black boxes in place of large pictures, where it is enough to know that there is ink."""

from __future__ import annotations

from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, StreamObject

SMALL_PICTURE = 4_000_000
"""Pixels up to which a placed picture is looked into for white parts; larger ones count as ink all over."""

PICTURE_BUDGET = 12_000_000
"""Pixels of placed pictures that are looked into for one flat."""


class Stencil:
    """Puts a black box in place of each picture that is too large to look into."""

    def __init__(self) -> None:
        self._spent = 0

    def stand_in(self, stream: StreamObject) -> StreamObject | None:
        """A form that fills the unit square, for a large picture; None for anything else."""
        if stream.get("/Subtype") != "/Image":
            return None
        pixels = _count(stream.get("/Width")) * _count(stream.get("/Height"))
        if pixels <= SMALL_PICTURE and self._spent + pixels <= PICTURE_BUDGET:
            self._spent += pixels
            return None
        box = StreamObject()
        box._data = b"0 g 0 0 1 1 re f"
        box[NameObject("/Type")] = NameObject("/XObject")
        box[NameObject("/Subtype")] = NameObject("/Form")
        box[NameObject("/BBox")] = ArrayObject(FloatObject(value) for value in (0, 0, 1, 1))
        box[NameObject("/Resources")] = DictionaryObject()
        return box


def _count(value: object) -> int:
    """A whole number of a picture's dictionary, 0 for anything else."""
    return value if isinstance(value, int) and value > 0 else 0
