"""Find structure in a long content stream without following all of it.

Artwork can have hundreds of thousands of paths while its structure sits in one layer or spot colour. A
regular expression leaps from one operator that moves the matrix to the next, and to the places where a
structural layer, colour or form begins; only from there on the stream is followed operator by operator,
until nothing structural is open any more.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from pypdf.generic import NameObject

from tiler.flat.content import DELIMITER, NUMBER, WHITE, skip_inline_image, skip_string
from tiler.geometry import Affine
from tiler.structure.scope import Scope
from tiler.structure.walk import Walker

_ENDS = rb"(?=[%b%b]|$)" % (WHITE, DELIMITER)
_AFTER = rb"[%b)\]>]" % WHITE
"""What may stand before an operator (names begin with a slash, so a /q is none)."""
_ESCAPED_NAME = re.compile(rb"/[^%b%b]*#[0-9A-Fa-f]{2}" % (WHITE, DELIMITER))
_REGULAR = re.compile(rb"[^%b%b#]" % (WHITE, DELIMITER))
_STATE = (
    rb"[qQcB(%%\[/](?:(?<=%(after)b[qQ])%(ends)b"
    rb"|(?<=%(after)bc)m%(ends)b"
    rb"|(?<=%(after)bB)I%(ends)b"
    rb"|(?<=\()"
    rb"|(?<=%%)[^\r\n]*+"
    rb"|(?<=\[)[^\]\[()]*+\][%(white)b]*+%(number)b[%(white)b]++d%(ends)b"
    rb"|(?<=/)(?:%(starts)b))"
)
"""One byte out of few comes first, so that the search runs at the speed of a byte search; it tells the
kind."""
_DASHES = re.compile(rb"\[[^\]]*[1-9]")
_MATRIX_REACH = 400
"""Bytes before ``cm`` in which its six numbers are looked for."""


_Write = Callable[[bytes], bytes]


class DoubtError(Exception):
    """The leaps cannot be trusted on this stream."""


def skim(walker: Walker, data: bytes) -> None:
    """Note all structure of a page's content, following as little of it as is safe."""
    scope = walker.scope
    if scope.is_empty:
        return
    data = b"\n" + data
    write = _with_escapes if _ESCAPED_NAME.search(data) else _plainly
    starts = _starts(scope, write)
    names = _either([*scope.layers, *scope.inks, *scope.worth], write)
    used = len(re.findall(rb"/(?:%b)%b" % (names, _ENDS), data))
    if used == 0:
        return
    if used != len(re.findall(rb"/(?:%b)" % starts, data)):
        walker.run(data)
        return
    words = {b"after": _AFTER, b"ends": _ENDS, b"white": WHITE, b"number": NUMBER, b"starts": starts}
    first, lines, counts = walker.state, len(walker.sink.lines), dict(walker.sink.counts)
    try:
        _leap(walker, data, re.compile(_STATE % words))
    except DoubtError:
        del walker.sink.lines[lines:]
        walker.sink.counts = counts
        walker.state, walker.stack = first, []
        walker.run(data)


def _leap(walker: Walker, data: bytes, pattern: re.Pattern[bytes]) -> None:
    """Leap over what is no structure, walk through what is.

    Raises:
        DoubtError: A matrix could not be read.
    """
    position = 0
    stack = walker.stack
    while position < len(data):
        for match in pattern.finditer(data, position):
            found = match[0]
            if found == b"q":
                stack.append(walker.state)
            elif found == b"Q":
                walker.restore([])
            elif found == b"cm":
                matrix = _matrix_before(data, match.start()).then(walker.state.matrix)
                walker.state = walker.state._replace(matrix=matrix)
            elif found.startswith(b"["):
                walker.state = walker.state._replace(is_dashed=_DASHES.match(found) is not None)
            elif not found.startswith(b"%"):
                position = _after(walker, data, match)
                break
        else:
            return


def _after(walker: Walker, data: bytes, match: re.Match[bytes]) -> int:
    """Deal with what no single match covers; returns where to go on."""
    if match[0] == b"(":
        return skip_string(data, match.start())
    if match[0] == b"BI":
        return max(skip_inline_image(data, match.end()), match.end())
    return walker.run(data, match.start(), until_idle=True)


def _matrix_before(data: bytes, end: int) -> Affine:
    """The six numbers before a ``cm`` at ``end``.

    Raises:
        DoubtError: They are not there in plain form.
    """
    try:
        a, b, c, d, e, f = map(float, data[max(0, end - _MATRIX_REACH) : end].split()[-6:])
    except ValueError:
        raise DoubtError from None
    return Affine(a, b, c, d, e, f)


def _starts(scope: Scope, write: _Write) -> bytes:
    """The expression for every place where structure may begin, without its first slash."""
    parts = []
    if scope.layers:
        parts.append(rb"OC[%b]*+/(?:%b)[%b]*+BDC%b" % (WHITE, _either(scope.layers, write), WHITE, _ENDS))
    if scope.inks:
        parts.append(rb"(?:%b)[%b]++(?:CS|cs)%b" % (_either(scope.inks, write), WHITE, _ENDS))
    if scope.worth:
        parts.append(rb"(?:%b)[%b]++Do%b" % (_either(scope.worth, write), WHITE, _ENDS))
    return b"|".join(parts)


def _either(names: Iterable[str], write: _Write) -> bytes:
    """Any of the names, without their slashes, the longest first."""
    written = {raw for name in names for raw in _raw(name[1:])}
    return b"|".join(write(raw) for raw in sorted(written, key=lambda raw: (-len(raw), raw)))


def _raw(name: str) -> Iterator[bytes]:
    """The bytes that a name may have in the file; pypdf decodes names by the first of these that fits."""
    for encoding in NameObject.CHARSETS:
        try:
            yield name.encode(encoding)
        except UnicodeEncodeError:
            continue


def _plainly(raw: bytes) -> bytes:
    """The expression for a name in a stream without escapes."""
    return re.escape(raw)


def _with_escapes(raw: bytes) -> bytes:
    """The expression for a name of which any byte may be written as # and two digits."""
    parts = []
    for byte in raw:
        sign = bytes([byte])
        digits = b"".join(
            b"[%c%c]" % (digit, digit ^ 32) if digit > 57 else b"%c" % digit for digit in b"%02X" % byte
        )
        plain = re.escape(sign) + b"|" if _REGULAR.match(sign) else b""
        parts.append(b"(?:%b#%b)" % (plain, digits))
    return b"".join(parts)
