"""Follow a content stream's graphics state and note every line painted as structure.

Only what decides *where* and *as what* is followed: the matrix, marked content, colour spaces, dashes and
paths. Text, images, shadings and patterns never make lines; clip paths that are not painted do not either.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from tiler.errors import FlatError
from tiler.flat.content import Name, Operand, operations, stream_data
from tiler.geometry import Affine, Point
from tiler.structure.operands import key_of, matrix_of, numbers_of, tints_of
from tiler.structure.paths import Path, Subpath, centre_line
from tiler.structure.scope import Ink, Scope, Taken
from tiler.structure.sink import Sink

_DEEPEST_FORMS = 24


class State(NamedTuple):
    """The part of the graphics state that matters here."""

    matrix: Affine
    """From the current user space to the flat, mm."""
    stroke: Ink | None = None
    stroke_taken: Taken | None = None
    """What the present stroke colour is taken for."""
    fill: Ink | None = None
    fill_taken: Taken | None = None
    is_dashed: bool = False


class Walker:
    """Follows one content stream; forms get a walker of their own."""

    def __init__(
        self,
        sink: Sink,
        scope: Scope,
        state: State,
        outer: tuple[Taken, ...] = (),
        parents: tuple[int, ...] = (),
    ) -> None:
        self.sink = sink
        self.scope = scope
        self.state = state
        self.stack: list[State] = []
        self._outer = outer
        self._parents = parents
        self._marks: list[Taken | None] = []
        self._path = Path()

    def run(self, data: bytes, start: int = 0, until_idle: bool = False) -> int:
        """Follow the operations from ``start``; returns where it stopped.

        With ``until_idle`` it stops as soon as nothing that is open can make lines.
        """
        actions, spend = _ACTIONS, self.sink.spend
        for operation in operations(data, start):
            spend()
            action = actions.get(operation.operator)
            if action is None:
                continue
            try:
                action(self, operation.operands)
            except (TypeError, ValueError, IndexError, OverflowError):
                continue  # wrong operands: viewers skip the operation
            if until_idle and operation.operator in _MAY_END and self._is_idle():
                self._marks.clear()
                return operation.end
        return len(data)

    def _is_idle(self) -> bool:
        """True when neither marked content nor a colour, present or saved, is structural."""
        if any(self._marks) or self.state.stroke or self.state.fill:
            return False
        return not any(state.stroke or state.fill for state in self.stack)

    # --- graphics state -------------------------------------------------------------------------------------

    def save(self, _: list[Operand]) -> None:
        """The operator ``q``."""
        self.stack.append(self.state)

    def restore(self, _: list[Operand]) -> None:
        """The operator ``Q``; one too many is ignored."""
        if self.stack:
            self.state = self.stack.pop()

    def concatenate(self, operands: list[Operand]) -> None:
        """The operator ``cm``."""
        a, b, c, d, e, f = numbers_of(operands, 6)
        self.state = self.state._replace(matrix=Affine(a, b, c, d, e, f).then(self.state.matrix))

    def dash(self, operands: list[Operand]) -> None:
        """The operator ``d``."""
        pattern = operands[-2]
        is_dashed = isinstance(pattern, list) and any(isinstance(n, float) and n > 0 for n in pattern)
        self.state = self.state._replace(is_dashed=is_dashed)

    def stroke_space(self, operands: list[Operand]) -> None:
        """The operator ``CS``: all tints begin at 1 (ISO 32000-2, 8.6.6.4)."""
        ink = self.scope.inks.get(key_of(operands[-1]))
        self.state = self.state._replace(stroke=ink, stroke_taken=ink.painted(()) if ink else None)

    def fill_space(self, operands: list[Operand]) -> None:
        """The operator ``cs``."""
        ink = self.scope.inks.get(key_of(operands[-1]))
        self.state = self.state._replace(fill=ink, fill_taken=ink.painted(()) if ink else None)

    def stroke_tints(self, operands: list[Operand]) -> None:
        """The operators ``SC`` and ``SCN``."""
        if self.state.stroke is not None:
            taken = self.state.stroke.painted(tints_of(operands))
            self.state = self.state._replace(stroke_taken=taken)

    def fill_tints(self, operands: list[Operand]) -> None:
        """The operators ``sc`` and ``scn``."""
        if self.state.fill is not None:
            self.state = self.state._replace(fill_taken=self.state.fill.painted(tints_of(operands)))

    def stroke_process(self, _: list[Operand]) -> None:
        """The operators ``G``, ``RG`` and ``K``."""
        if self.state.stroke is not None:
            self.state = self.state._replace(stroke=None, stroke_taken=None)

    def fill_process(self, _: list[Operand]) -> None:
        """The operators ``g``, ``rg`` and ``k``."""
        if self.state.fill is not None:
            self.state = self.state._replace(fill=None, fill_taken=None)

    # --- marked content -------------------------------------------------------------------------------------

    def begin_marked(self, operands: list[Operand]) -> None:
        """The operators ``BDC`` and ``BMC``; every one needs its ``EMC``, a layer's or not."""
        is_layer = len(operands) >= 2 and operands[-2] == b"OC" and isinstance(operands[-1], Name)
        self._marks.append(self.scope.layers.get(key_of(operands[-1])) if is_layer else None)

    def end_marked(self, _: list[Operand]) -> None:
        """The operator ``EMC``."""
        if self._marks:
            self._marks.pop()

    # --- paths ----------------------------------------------------------------------------------------------

    def move(self, operands: list[Operand]) -> None:
        """The operator ``m``."""
        x, y = numbers_of(operands, 2)
        self._path.move(self.state.matrix.apply(x, y))

    def line(self, operands: list[Operand]) -> None:
        """The operator ``l``."""
        x, y = numbers_of(operands, 2)
        self._path.line(self.state.matrix.apply(x, y))

    def curve(self, operands: list[Operand]) -> None:
        """The operator ``c``."""
        x1, y1, x2, y2, x3, y3 = numbers_of(operands, 6)
        at = self.state.matrix.apply
        self._path.curve(at(x1, y1), at(x2, y2), at(x3, y3))

    def curve_from_here(self, operands: list[Operand]) -> None:
        """The operator ``v``: the first control point is the current point."""
        x2, y2, x3, y3 = numbers_of(operands, 4)
        second = self.state.matrix.apply(x2, y2)
        self._path.curve(self._path.current or second, second, self.state.matrix.apply(x3, y3))

    def curve_to_end(self, operands: list[Operand]) -> None:
        """The operator ``y``: the second control point is the end."""
        x1, y1, x3, y3 = numbers_of(operands, 4)
        end = self.state.matrix.apply(x3, y3)
        self._path.curve(self.state.matrix.apply(x1, y1), end, end)

    def close(self, _: list[Operand]) -> None:
        """The operator ``h``."""
        self._path.close()

    def rectangle(self, operands: list[Operand]) -> None:
        """The operator ``re``."""
        x, y, width, height = numbers_of(operands, 4)
        self._path.rectangle(x, y, width, height, self.state.matrix)

    def discard(self, _: list[Operand]) -> None:
        """The operator ``n``: a clip path or nothing at all."""
        self._path.take()

    def stroke_path(self, _: list[Operand]) -> None:
        """The operators ``S``, ``B`` and ``B*``."""
        taken = self._taken(self.state.stroke_taken)
        for subpath in self._path.take():
            if taken is not None:
                self.sink.add(subpath.points, taken, self.state.is_dashed)

    def close_and_stroke(self, operands: list[Operand]) -> None:
        """The operators ``s``, ``b`` and ``b*``."""
        self._path.close()
        self.stroke_path(operands)

    def fill_path(self, _: list[Operand]) -> None:
        """The operators ``f``, ``F`` and ``f*``: only thin rectangles are lines."""
        taken = self._taken(self.state.fill_taken)
        for subpath in self._path.take():
            middle = self._centre(subpath, taken)
            if middle is not None and taken is not None:
                self.sink.add(middle, taken, is_dashed=False)

    @staticmethod
    def _centre(subpath: Subpath, taken: Taken | None) -> tuple[Point, Point] | None:
        return None if taken is None or taken.kind is None else centre_line(subpath)

    def _taken(self, colour: Taken | None) -> Taken | None:
        """What a path painted now is, by the most trusted of its colour and all layers around it.

        Of layers equally trusted the innermost wins.
        """
        known = [*self._outer, *(mark for mark in self._marks if mark is not None)][::-1]
        if colour is not None:
            known.append(colour)
        return min(known, key=lambda taken: taken.rank, default=self.sink.default)

    # --- forms ----------------------------------------------------------------------------------------------

    def paint_object(self, operands: list[Operand]) -> None:
        """The operator ``Do``: forms are followed when structure may be in them."""
        key = key_of(operands[-1])
        form = self.scope.forms.get(key)
        if form is None or id(form) in self._parents or len(self._parents) >= _DEEPEST_FORMS:
            return
        own = self.scope.own_layers.get(key)
        layers = tuple(mark for mark in self._marks if mark is not None)
        outer = (*self._outer, *layers, *((own,) if own is not None else ()))
        is_inked = self.state.stroke is not None or self.state.fill is not None
        if not (outer or is_inked or key in self.scope.worth or self.sink.default is not None):
            return
        self._follow(form, outer, self.sink.enter if not (outer or is_inked) else None)

    def _follow(
        self, form: Any, outer: tuple[Taken, ...], enter: Callable[[Walker, bytes], object] | None
    ) -> None:
        """Read a form."""
        matrix = matrix_of(form.get("/Matrix"))
        resources = form.get("/Resources")
        scope = self.scope if resources is None else self.sink.scopes.of(resources)
        state = self.state._replace(matrix=matrix.then(self.state.matrix))
        inner = Walker(self.sink, scope, state, outer, (*self._parents, id(form)))
        try:
            (enter or Walker.run)(inner, stream_data(form))
        except FlatError as fault:
            if fault.message not in self.sink.faults:
                self.sink.faults.append(fault.message)


_Action = Callable[[Walker, list[Operand]], None]
_ACTIONS: dict[bytes, _Action] = {
    b"q": Walker.save,
    b"Q": Walker.restore,
    b"cm": Walker.concatenate,
    b"d": Walker.dash,
    b"CS": Walker.stroke_space,
    b"cs": Walker.fill_space,
    b"BDC": Walker.begin_marked,
    b"BMC": Walker.begin_marked,
    b"EMC": Walker.end_marked,
    b"m": Walker.move,
    b"l": Walker.line,
    b"c": Walker.curve,
    b"v": Walker.curve_from_here,
    b"y": Walker.curve_to_end,
    b"h": Walker.close,
    b"re": Walker.rectangle,
    b"n": Walker.discard,
    b"Do": Walker.paint_object,
    **dict.fromkeys((b"SC", b"SCN"), Walker.stroke_tints),
    **dict.fromkeys((b"sc", b"scn"), Walker.fill_tints),
    **dict.fromkeys((b"G", b"RG", b"K"), Walker.stroke_process),
    **dict.fromkeys((b"g", b"rg", b"k"), Walker.fill_process),
    **dict.fromkeys((b"S", b"B", b"B*"), Walker.stroke_path),
    **dict.fromkeys((b"s", b"b", b"b*"), Walker.close_and_stroke),
    **dict.fromkeys((b"f", b"F", b"f*"), Walker.fill_path),
}
_MAY_END = frozenset((b"Q", b"EMC", b"CS", b"cs", b"G", b"RG", b"K", b"g", b"rg", b"k", b"Do"))
