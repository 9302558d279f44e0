"""Copy objects from one PDF into another as they are: streams stay encoded, nothing active comes along.

The walk uses its own stack, so that neither depth nor cycles of a foreign file can hurt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NullObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

from tiler.flat.names import ExactName

LEFT_BEHIND = frozenset(
    {
        "/AA",  # additional actions
        "/A",  # action
        "/AF",  # associated (attached) files
        "/Alternates",  # other versions of a picture
        "/Annots",
        "/JS",
        "/LastModified",
        "/Metadata",
        "/OPI",  # points to pictures outside the file
        "/Parent",  # would pull in the page tree
        "/PS",  # a program for PostScript printers
        "/PieceInfo",  # private data of the design program
        "/Ref",  # a form that stands for a page of another file
        "/StructParent",
        "/StructParents",
        "/Subtype2",  # marks a form as such a program
    }
)
"""Keys of dictionaries that act, or do not change how a page looks on paper (ISO 32000-2)."""

_EXTERNAL = frozenset({"/F", "/FFilter", "/FDecodeParms"})
"""Keys of a stream whose data lie in another file (ISO 32000-2, table 5)."""

Replace = Callable[[StreamObject], StreamObject | None]
"""Gives a stand-in for a stream, or None to copy it."""

_NAMED_BY_AUTHORS = frozenset(
    {
        "/CharProcs",
        "/ColorSpace",
        "/DotGain",
        "/Colorants",
        "/ExtGState",
        "/Font",
        "/Pattern",
        "/Properties",
        "/Shading",
        "/Solidities",
        "/XObject",
    }
)
"""Dictionaries whose keys are names given by the author, where nothing may be left behind by its name."""


class Copier:
    """Copies into one writer, each source object once.

    Args:
        writer: Where the copies go.
        replace: Called with every stream before it is copied.
    """

    def __init__(self, writer: PdfWriter, replace: Replace | None = None) -> None:
        self._writer = writer
        self._replace = replace
        self._copied: dict[tuple[int, int], IndirectObject] = {}
        self._waiting: list[tuple[IndirectObject, IndirectObject, bool]] = []

    @property
    def copied(self) -> Mapping[tuple[int, int], IndirectObject]:
        """Source object number and generation to the reference of its copy."""
        return self._copied

    def copy(self, source: PdfObject) -> PdfObject:
        """Copy a direct object or reference with all that it refers to."""
        result = self._shallow(source)
        self._work_off()
        return result

    def _work_off(self) -> None:
        """Fill the copies that have only been promised."""
        while self._waiting:
            origin, target, named = self._waiting.pop()
            value = origin.get_object()
            self._writer._objects[target.idnum - 1] = self._shallow(
                value if value is not None else NullObject(), named, at_top=True
            )

    def _shallow(self, source: PdfObject, named: bool = False, at_top: bool = False) -> PdfObject:
        """Copy direct values; put referenced ones on the list.

        Direct values may nest: the work list holds containers that have been made but not filled.
        """
        holder: list[PdfObject] = []
        todo: list[tuple[PdfObject, Callable[[PdfObject], object], bool]] = [(source, holder.append, named)]
        while todo:
            value, give, named = todo.pop()
            if isinstance(value, IndirectObject):
                give(self._reference(value, named))
            elif isinstance(value, StreamObject):
                give(self._stream(value, todo))
            elif isinstance(value, DictionaryObject):
                made = DictionaryObject()
                give(made)
                self._fill(made, value, todo, named)
            elif isinstance(value, ArrayObject):
                cells = ArrayObject()
                give(cells)
                todo.extend((item, cells.append, False) for item in reversed(value))
            else:
                give(ExactName(value) if isinstance(value, NameObject) else value)
        result = holder[0]
        if isinstance(result, StreamObject) and not at_top:
            return self._writer._add_object(result)
        return result

    def _fill(
        self,
        made: DictionaryObject,
        source: DictionaryObject,
        todo: list[tuple[PdfObject, Callable[[PdfObject], object], bool]],
        named: bool = False,
        left_behind: frozenset[str] = LEFT_BEHIND,
    ) -> None:
        """List the entries of a dictionary for copying."""
        for key in list(source.keys()):
            if not named and key in left_behind:
                continue
            value = source.raw_get(key)

            def put(copy: PdfObject, key: str = key) -> None:
                made[ExactName(key)] = copy

            todo.append((value, put, not named and key in _NAMED_BY_AUTHORS))

    def _stream(
        self, source: StreamObject, todo: list[tuple[PdfObject, Callable[[PdfObject], object], bool]]
    ) -> StreamObject:
        """A stream with the same encoded bytes."""
        stand_in = self._replace(source) if self._replace else None
        if stand_in is not None:
            return stand_in
        made = StreamObject()
        if source.get("/Subtype") == "/PS":  # a program for PostScript printers: nothing is drawn instead
            made[NameObject("/Subtype")] = NameObject("/Form")
            made[NameObject("/BBox")] = ArrayObject([NumberObject(0)] * 4)
            return made
        made._data = source._data
        self._fill(made, source, todo, left_behind=LEFT_BEHIND | _EXTERNAL)
        return made

    def _reference(self, source: IndirectObject, named: bool) -> IndirectObject:
        """The reference of the copy, made now and filled later."""
        key = (source.idnum, source.generation)
        if key not in self._copied:
            target = self._writer._add_object(NullObject())
            self._copied[key] = target
            self._waiting.append((source, target, named))
        return self._copied[key]
