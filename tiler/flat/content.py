"""Content streams as operations: each operator with the operands before it (ISO 32000-2, 7.8.2).

Most of a page is plain numbers and a short operator, so one regular expression takes such an operation whole;
all else (names, strings, arrays, dictionaries, inline images) is read token by token. Garbage never raises:
what cannot be read is stepped over, as viewers do.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from tiler.errors import FlatError

if TYPE_CHECKING:
    from pypdf import PageObject
    from pypdf.generic import StreamObject

WHITE = rb"\x00\t\n\x0c\r "
"""White space (ISO 32000-2, table 1), for use within a character class."""
DELIMITER = rb"()<>\[\]{}/%"
"""Delimiters (table 2), for use within a character class."""
NUMBER = rb"[+-]*(?:\d+(?:\.\d*)?|\.\d+)"
"""A number; doubled signs occur in the wild."""
_MOST_OPERANDS = 512
"""More operands than any operator takes; older ones are dropped so that garbage stays small."""
_HUGE = 1_000_000
"""No inline image has more pixels a side or more bytes; they are meant to stay below 4 KB."""
_DEEPEST_NEST = 64
"""Arrays and dictionaries within each other; deeper ones are garbage."""


class Name(bytes):
    """A name without its slash, with its # escapes undone."""


Operand = float | bool | None | bytes | list["Operand"] | dict[bytes, "Operand"]
"""Numbers, ``Name``, strings (bytes), arrays and dictionaries."""


class Operation(NamedTuple):
    """One operator and what it works on."""

    operator: bytes
    """As written; an inline image is one operation ``BI`` with its dictionary as operand."""
    operands: list[Operand]
    """In the order written."""
    start: int
    """Offset of the first byte of the operation."""
    end: int
    """Offset after its last byte."""


_PLAIN = re.compile(
    rb"[%b]*+((?:%b[\t\n\x0c\r ]++){0,8}+)([A-Za-z'\"][A-Za-z0-9*]*+)(?=[%b%b]|$)"
    % (WHITE, NUMBER, WHITE, DELIMITER)
)
"""Null bytes are white space too, but ``bytes.split`` does not know it."""
_TOKEN = re.compile(
    rb"(?P<skip>[%b]++|%%[^\r\n]*+)"
    rb"|(?P<number>%b(?=[%b%b]|$))"
    rb"|(?P<name>/[^%b%b]*+)"
    rb"|(?P<string>\()"
    rb"|(?P<open><<|\[)"
    rb"|(?P<close>>>|\])"
    rb"|(?P<hex><[^>]*+>?)"
    rb"|(?P<word>[^%b%b]++)"
    rb"|(?P<junk>.)" % (WHITE, NUMBER, WHITE, DELIMITER, WHITE, DELIMITER, WHITE, DELIMITER),
    re.DOTALL,
)
_WORDS: dict[bytes, bool | None] = {b"true": True, b"false": False, b"null": None}
_PAREN = re.compile(rb"[()\\]")
_ESCAPE = re.compile(rb"\\(?:([0-7]{1,3})|(\r\n|[\r\n])|(.)|$)", re.DOTALL)
_ESCAPED = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}
_HASH = re.compile(rb"#([0-9A-Fa-f]{2})")
_NOT_HEX = re.compile(rb"[^0-9A-Fa-f]")
_IMAGE_DATA = re.compile(rb"(?<=[%b])ID(?:\r\n|[%b]|$)|[%b]EI(?=[%b]|$)" % (WHITE, WHITE, WHITE, WHITE))
_IMAGE_END = re.compile(rb"[%b]?EI(?=[%b]|$)" % (WHITE, WHITE))
_SPECIAL_WORDS = (b"true", b"false", b"null", b"BI")


def page_content(page: PageObject) -> bytes:
    """The page's content, its streams joined by line breaks (ISO 32000-2, 7.8.2).

    Raises:
        FlatError: A stream cannot be decoded.
    """
    contents = page.get("/Contents")
    contents = contents.get_object() if contents is not None else None
    if contents is None:
        return b""
    streams = contents if isinstance(contents, list) else [contents]
    return b"\n".join(stream_data(item.get_object()) for item in streams)


def stream_data(stream: StreamObject | object) -> bytes:
    """The decoded bytes of a stream; empty for what is no stream.

    Raises:
        FlatError: The stream cannot be decoded.
    """
    read = getattr(stream, "get_data", None)
    if read is None:
        return b""
    try:
        return bytes(read())
    except Exception as problem:  # pypdf raises many kinds, zlib and codecs more
        raise FlatError(
            f"part of the page's content cannot be decoded ({problem})", "export the PDF again"
        ) from problem


def operations(data: bytes, start: int = 0) -> Iterator[Operation]:
    """All operations of a content stream, from the offset ``start`` on."""
    position, end = start, len(data)
    plain = _PLAIN.match
    while position < end:
        match = plain(data, position)
        if match is not None and match[2] not in _SPECIAL_WORDS:
            position = match.end()
            yield Operation(match[2], [_number(text) for text in match[1].split()], match.start(), position)
            continue
        operation = _slow_operation(data, position)
        if operation is None:
            return
        position = operation.end
        yield operation


def skip_string(data: bytes, start: int) -> int:
    """The offset after the literal string whose opening parenthesis is at ``start``."""
    depth, position = 0, start
    while match := _PAREN.search(data, position):
        position = match.end()
        if match[0] == b"\\":
            position += 1
            continue
        depth += 1 if match[0] == b"(" else -1
        if depth == 0:
            return position
    return len(data)


def skip_inline_image(data: bytes, start: int) -> int:
    """The offset after the ``EI`` of the inline image whose dictionary begins at ``start``, after ``BI``."""
    return _inline_image(data, start)[1]


def _number(text: bytes) -> float:
    """A written number; doubled minus signs count as one."""
    try:
        return float(text)
    except ValueError:
        return -float(text.lstrip(b"+-")) if b"-" in text else float(text.lstrip(b"+-"))


def _slow_operation(data: bytes, start: int) -> Operation | None:
    """The next operation, read token by token; none when the data end first."""
    operands: list[Operand] = []
    position = start
    while match := _TOKEN.match(data, position):
        position = match.end()
        kind = match.lastgroup
        if kind in ("skip", "junk", "close"):
            continue
        if kind == "word" and match[0] not in _WORDS:
            if match[0] == b"BI":
                image, position = _inline_image(data, position)
                return Operation(b"BI", [image], start, position)
            return Operation(match[0], operands, start, position)
        value, position = _value(data, match)
        operands.append(value)
        if len(operands) > _MOST_OPERANDS:
            del operands[: _MOST_OPERANDS // 2]
    return None


def _value(data: bytes, match: re.Match[bytes], depth: int = 0) -> tuple[Operand, int]:
    """The operand that a token begins, and the offset after it."""
    text, kind, end = match[0], match.lastgroup, match.end()
    if kind == "number":
        return _number(text), end
    if kind == "name":
        return name_of(text), end
    if kind == "string":
        end = skip_string(data, match.start())
        return _literal(data[match.start() + 1 : end - 1]), end
    if kind == "hex":
        digits = _NOT_HEX.sub(b"", text)
        return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")), end
    if kind == "open":
        return _collection(data, end, text == b"<<", depth)
    return _WORDS.get(text), end


def name_of(text: bytes) -> Name:
    """A name from its written form ``/Name``, # escapes undone."""
    return Name(_HASH.sub(lambda m: bytes.fromhex(m[1].decode("ascii")), text[1:]))


def _collection(data: bytes, start: int, is_dictionary: bool, depth: int) -> tuple[Operand, int]:
    """The array or dictionary whose inside begins at ``start``."""
    items: list[Operand] = []
    position = start
    while match := _TOKEN.match(data, position):
        kind = match.lastgroup
        if kind == "word" and match[0] not in _WORDS:
            break  # an operator cannot stand in here: the closing bracket is missing
        position = match.end()
        if kind == "close":
            break
        if kind in ("skip", "junk") or (kind == "open" and depth >= _DEEPEST_NEST):
            continue
        value, position = _value(data, match, depth + 1)
        items.append(value)
    return (_dictionary(items) if is_dictionary else items), position


def _dictionary(items: list[Operand]) -> dict[bytes, Operand]:
    """Pairs of name and value."""
    pairs = zip(items[::2], items[1::2], strict=False)
    return {bytes(key): value for key, value in pairs if isinstance(key, Name)}


def _literal(inside: bytes) -> bytes:
    """A literal string with its escapes undone (ISO 32000-2, 7.3.4.2)."""

    def plain(match: re.Match[bytes]) -> bytes:
        octal, newline, other = match.groups()
        if octal:
            return bytes([int(octal, 8) & 255])
        return b"" if newline or not other else _ESCAPED.get(other, other)

    return _ESCAPE.sub(plain, inside)


def _inline_image(data: bytes, start: int) -> tuple[dict[bytes, Operand], int]:
    """Dictionary and end of the inline image whose dictionary begins at ``start``."""
    found = _IMAGE_DATA.search(data, max(0, start - 1))
    if found is None or b"EI" in found[0]:
        return {}, found.end() if found else start  # no data at all: step over what is there
    items: list[Operand] = []
    position = start
    while position < found.start() and (match := _TOKEN.match(data, position)):
        position = match.end()
        if match.lastgroup not in ("skip", "junk", "close", "word") or match[0] in _WORDS:
            value, position = _value(data, match)
            items.append(value)
    image = _dictionary(items)
    return image, _image_end(data, found.end(), image)


def _image_end(data: bytes, start: int, image: dict[bytes, Operand]) -> int:
    """The offset after ``EI``: by the image's known length, else by an ``EI`` that content can follow."""
    length = _image_length(image)
    if length is not None and length <= len(data) and (match := _IMAGE_END.match(data, start + length)):
        return match.end()
    for match in _IMAGE_END.finditer(data, start):
        after = data[match.end() : match.end() + 24]
        if all(byte in b"\t\n\x0c\r" or 32 <= byte < 127 for byte in after):
            return match.end()
    return len(data)


_COMPONENTS = {b"G": 1, b"DeviceGray": 1, b"RGB": 3, b"DeviceRGB": 3, b"CMYK": 4, b"DeviceCMYK": 4}


def _image_length(image: dict[bytes, Operand]) -> int | None:
    """Bytes of the image's data when they can be told from its dictionary, else none."""
    told = _whole(image.get(b"L", image.get(b"Length")))
    if told is not None:
        return told
    width = _whole(image.get(b"W", image.get(b"Width")))
    height = _whole(image.get(b"H", image.get(b"Height")))
    is_mask = image.get(b"IM", image.get(b"ImageMask")) is True
    bits = 1 if is_mask else _whole(image.get(b"BPC", image.get(b"BitsPerComponent")))
    space = image.get(b"CS", image.get(b"ColorSpace"))
    channels = 1 if is_mask else _COMPONENTS.get(space) if isinstance(space, bytes) else None
    is_filtered = image.get(b"F", image.get(b"Filter")) is not None
    if is_filtered or width is None or height is None or bits is None or channels is None:
        return None
    return height * ((width * channels * bits + 7) // 8)


def _whole(value: Operand) -> int | None:
    """A sane count, or none."""
    return int(value) if isinstance(value, float) and 0 <= value < _HUGE else None
