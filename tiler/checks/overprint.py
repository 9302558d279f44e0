"""White that overprints: it leaves the ink below as it is, so that white type vanishes in print.

The content is walked with its graphics state, for no renderer tells of overprint. Only a page whose resources
overprint at all is walked.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from typing import Any

from pypdf.generic import BooleanObject, DictionaryObject, IndirectObject, StreamObject

from tiler.flat.content import Name, Operand, operations, stream_data
from tiler.flat.layers import Key
from tiler.geometry import IDENTITY, Affine, Point

DEEPEST = 24
"""Forms within forms that are walked."""

MOST_OPERATIONS = 500_000
"""Operations that are walked on one page; forms that call each other can make any number."""

_WHITE: dict[bytes, tuple[float, ...]] = {b"g": (1.0,), b"rg": (1.0, 1.0, 1.0), b"k": (0.0, 0.0, 0.0, 0.0)}
_FILLS = (b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*")
_SHOWS = (b"Tj", b"TJ", b"'", b'"')


@dataclass(frozen=True)
class WhiteSpot:
    """A place where white overprints."""

    at: Point
    """Where the text or shape begins, flat millimetres."""
    is_text: bool


@dataclass(frozen=True)
class _State:
    """The part of the graphics state that matters here (ISO 32000-2, 8.4)."""

    matrix: Affine
    is_white: bool = False
    overprints: bool = False
    space: str = ""
    """Name of the fill colour space, as the content says it."""


def has_overprint(state: object) -> bool:
    """True for a graphics state that switches overprint on for fills (8.6.7): /op, or /OP without it."""
    if not isinstance(state, DictionaryObject):
        return False
    value = state.get("/op", state.get("/OP"))
    return isinstance(value, BooleanObject) and bool(value.value)


def white_overprints(
    content: bytes, resources: Any, to_flat: Affine, hidden: Collection[Key]
) -> tuple[list[WhiteSpot], bool]:
    """Every text and shape filled with white that overprints, and whether the page was walked to its end.

    Args:
        content: Of the page, decoded.
        resources: Of the page.
        to_flat: From the page's space to flat millimetres.
        hidden: Layers that do not print.
    """
    sink = _Sink()
    _Walk(content, resources, _State(to_flat), hidden, sink, 0).run()
    return sink.found, sink.left > 0


@dataclass
class _Sink:
    """What all walks over one page share."""

    found: list[WhiteSpot] = field(default_factory=list)
    left: int = field(default_factory=lambda: MOST_OPERATIONS)
    """Operations that may still be walked."""


class _Walk:
    """A walk over one content stream.

    Args:
        content: The stream, decoded.
        resources: What its names mean.
        state: The graphics state that it begins with.
        hidden: Layers that do not print.
        sink: Gets every place.
        depth: Forms around it.
    """

    def __init__(
        self,
        content: bytes,
        resources: Any,
        state: _State,
        hidden: Collection[Key],
        sink: _Sink,
        depth: int,
    ) -> None:
        self._content, self._resources, self._state = content, resources, state
        self._hidden, self._sink, self._depth = hidden, sink, depth
        self._stack: list[_State] = []
        self._text, self._line = IDENTITY, IDENTITY
        self._begin: Point | None = None
        self._marks: list[bool] = []

    def run(self) -> None:
        """Walk to the end."""
        for operator, operands, _, _ in operations(self._content):
            self._sink.left -= 1
            if self._sink.left <= 0:
                return
            numbers = [value for value in operands if isinstance(value, float)]
            if operator in _SHOWS or operator in _FILLS:
                self._paint(operator in _SHOWS)
            elif operator in (b"BT", b"Tm", b"Td", b"TD"):
                self._text, self._line = _text_matrix(operator, numbers, self._line)
            elif operator in (b"m", b"re"):
                if len(numbers) >= 2:
                    self._begin = self._begin or Point(numbers[0], numbers[1])
            elif operator in (b"n", b"S", b"s"):
                self._begin = None
            elif not self._enclosed(operator, operands):
                self._state = _changed(self._state, operator, operands, numbers, self._resources)

    def _enclosed(self, operator: bytes, operands: list[Operand]) -> bool:
        """Follow what opens and closes: saved states, marked content, forms; True when it was one of them."""
        if operator == b"q":
            self._stack.append(self._state)
        elif operator == b"Q":
            self._state = self._stack.pop() if self._stack else self._state
        elif operator in (b"BDC", b"BMC"):
            self._marks.append(_is_hidden(operands, self._resources, self._hidden))
        elif operator == b"EMC":
            self._marks = self._marks[:-1]
        elif operator == b"Do":
            if not any(self._marks):
                self._form(operands)
        else:
            return False
        return True

    def _paint(self, is_text: bool) -> None:
        """Note the place of white that overprints."""
        start = self._text.apply(0, 0) if is_text else self._begin
        if not is_text:
            self._begin = None
        state = self._state
        if state.is_white and state.overprints and start is not None and not any(self._marks):
            self._sink.found.append(WhiteSpot(state.matrix.apply(*start), is_text))

    def _form(self, operands: list[Operand]) -> None:
        """Walk a form that the content draws."""
        name = operands[-1] if operands else None
        form = _resource(self._resources, "/XObject", name) if isinstance(name, Name) else None
        if not isinstance(form, StreamObject) or form.get("/Subtype") != "/Form" or self._depth >= DEEPEST:
            return
        if "/OC" in form and _key(form.raw_get("/OC")) in self._hidden:
            return
        values = form.get("/Matrix")
        own = form.get("/Resources")
        resources = own.get_object() if own is not None else self._resources
        matrix = Affine(*(float(v) for v in values)) if values is not None and len(values) == 6 else IDENTITY
        state = replace(self._state, matrix=matrix.then(self._state.matrix))
        content = stream_data(form)
        _Walk(content, resources, state, self._hidden, self._sink, self._depth + 1).run()


def _text_matrix(operator: bytes, numbers: list[float], line: Affine) -> tuple[Affine, Affine]:
    """The text and the line matrix after an operator that sets them (9.4.2)."""
    if operator == b"Tm" and len(numbers) == 6:
        line = Affine(*numbers)
    elif operator in (b"Td", b"TD") and len(numbers) == 2:
        line = Affine.shift(*numbers).then(line)
    elif operator == b"BT":
        line = IDENTITY
    return line, line


def _changed(
    state: _State, operator: bytes, operands: list[Operand], numbers: list[float], resources: Any
) -> _State:
    """The state after an operator that may set matrix, colour or overprint."""
    if operator == b"cm" and len(numbers) == 6:
        return replace(state, matrix=Affine(*numbers).then(state.matrix))
    if operator in _WHITE:
        return replace(state, is_white=tuple(numbers) == _WHITE[operator], space="")
    if operator == b"cs" and operands and isinstance(operands[0], Name):
        return replace(state, is_white=False, space=operands[0].decode("latin-1"))
    if operator in (b"sc", b"scn"):
        return replace(state, is_white=_is_white(state.space, numbers, resources))
    if operator == b"gs" and operands and isinstance(operands[0], Name):
        settings = _resource(resources, "/ExtGState", operands[0])
        if isinstance(settings, DictionaryObject) and ("/op" in settings or "/OP" in settings):
            return replace(state, overprints=has_overprint(settings))
    return state


def _is_white(space: str, numbers: list[float], resources: Any) -> bool:
    """True for the colour that leaves paper in a colour space, as far as its family tells."""
    family = space
    if not space.startswith("Device"):
        entry = _resource(resources, "/ColorSpace", Name(space.encode("latin-1")))
        family = str(entry[0]).removeprefix("/") if isinstance(entry, list) and entry else str(entry)
        if family == "ICCBased" and isinstance(entry, list) and len(entry) > 1:
            profile = entry[1].get_object()
            count = profile.get("/N") if isinstance(profile, DictionaryObject) else 0
            family = {"1": "DeviceGray", "3": "DeviceRGB", "4": "DeviceCMYK"}.get(str(count), "")
    if family in ("DeviceGray", "DeviceRGB", "CalGray", "CalRGB"):
        return bool(numbers) and all(value == 1 for value in numbers)
    if family in ("DeviceCMYK", "Separation", "DeviceN"):
        return bool(numbers) and all(value == 0 for value in numbers)
    return False


def _is_hidden(operands: list[Operand], resources: Any, hidden: Collection[Key]) -> bool:
    """True for marked content of a layer that does not print."""
    if len(operands) < 2 or operands[0] != b"OC" or not isinstance(operands[1], Name):
        return False
    group = resources.get("/Properties") if isinstance(resources, DictionaryObject) else None
    group = group.get_object() if group is not None else None
    key = "/" + operands[1].decode("latin-1")
    if not isinstance(group, DictionaryObject) or key not in group:
        return False
    return _key(group.raw_get(key)) in hidden


def _key(value: object) -> Key | None:
    """The key of a layer by its reference."""
    return (value.idnum, value.generation) if isinstance(value, IndirectObject) else None


def _resource(resources: Any, kind: str, name: Name) -> Any:
    """One named resource."""
    group = resources.get(kind) if isinstance(resources, DictionaryObject) else None
    group = group.get_object() if group is not None else None
    value = group.get("/" + name.decode("latin-1")) if isinstance(group, DictionaryObject) else None
    return value.get_object() if value is not None else None
