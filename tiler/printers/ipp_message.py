"""Messages of the Internet Printing Protocol (RFC 8010): one request written, any response read. Pure.

::

    version 2 | operation or status 2 | request id 4 | groups | 03
    group:      tag 1 (01 operation, 04 printer, ...) then attributes
    attribute:  value tag 1 | name length 2 | name | value length 2 | value
                a name length of 0 adds a value to the attribute before it
    collection: 34 opens, members follow as (4a name) (value), 37 closes (RFC 8010, 3.1.6)
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass

GET_PRINTER_ATTRIBUTES = 0x000B
"""Operation (RFC 8011, 4.2.5)."""

DEEPEST = 16
"""Nested collections; ``media-col`` holds ``media-size``, so a printer needs two."""

_OPERATION_GROUP, _END = 0x01, 0x03
_INTEGER, _BOOLEAN, _ENUM, _RANGE = 0x21, 0x22, 0x23, 0x33
_BEGIN, _END_COLLECTION, _MEMBER = 0x34, 0x37, 0x4A
_CHARSET, _LANGUAGE, _URI, _KEYWORD = 0x47, 0x48, 0x45, 0x44
_TEXT_WITH_LANGUAGE, _NAME_WITH_LANGUAGE = 0x35, 0x36
_TEXTS = range(0x40, 0x60)

Value = int | bool | str | bytes | tuple[int, int] | dict[str, "list[Value]"] | None
"""Integer or enum, boolean, text, raw octets, range, collection; None stands for the out-of-band values."""

Attributes = dict[str, list[Value]]
"""Values by attribute name."""


class BrokenMessage(ValueError):
    """The octets are no IPP message."""


@dataclass(frozen=True)
class Response:
    """What a printer answers."""

    status: int
    """Status code (RFC 8011, appendix B); below 0x0100 is success."""
    groups: tuple[tuple[int, Attributes], ...]
    """Group tag and attributes, in order."""

    def attributes(self, group: int) -> Attributes:
        """All attributes of the groups with that tag."""
        found: Attributes = {}
        for tag, attributes in self.groups:
            if tag == group:
                found.update(attributes)
        return found


def get_printer_attributes(uri: str, wanted: Sequence[str], version: tuple[int, int] = (2, 0)) -> bytes:
    """A Get-Printer-Attributes request.

    Args:
        uri: The printer's ``ipp:`` or ``ipps:`` address.
        wanted: Names of the attributes to ask for.
        version: Of the protocol.
    """
    parts = [struct.pack(">BBHIB", *version, GET_PRINTER_ATTRIBUTES, 1, _OPERATION_GROUP)]
    parts.append(_attribute(_CHARSET, "attributes-charset", "utf-8"))
    parts.append(_attribute(_LANGUAGE, "attributes-natural-language", "en"))
    parts.append(_attribute(_URI, "printer-uri", uri))
    for index, name in enumerate(wanted):
        parts.append(_attribute(_KEYWORD, "" if index else "requested-attributes", name))
    return b"".join([*parts, bytes([_END])])


def _attribute(tag: int, name: str, text: str) -> bytes:
    key, value = name.encode("ascii"), text.encode("utf-8")
    return struct.pack(">BH", tag, len(key)) + key + struct.pack(">H", len(value)) + value


def read_response(octets: bytes) -> Response:
    """Take a response apart.

    Raises:
        BrokenMessage: It ends too early, nests too deep or breaks the order of RFC 8010.
    """
    if len(octets) < 8:
        raise BrokenMessage("too short")
    _, status, _ = struct.unpack_from(">HHI", octets)
    reader = _Reader(octets, 8)
    groups: list[tuple[int, Attributes]] = []
    name = ""
    while (tag := reader.octet()) != _END:
        if tag < 0x10:
            groups.append((tag, {}))
            name = ""
            continue
        if not groups:
            raise BrokenMessage("an attribute outside of any group")
        key = reader.field().decode("utf-8", "replace")
        name = key or name
        if not name:
            raise BrokenMessage("a value without an attribute")
        groups[-1][1].setdefault(name, []).append(reader.value(tag, 0))
    return Response(status, tuple(groups))


class _Reader:
    """Walks over the octets of one message."""

    def __init__(self, octets: bytes, at: int) -> None:
        self._octets = octets
        self._at = at

    def octet(self) -> int:
        return self._take(1)[0]

    def field(self) -> bytes:
        """A two-octet length and so many octets."""
        return self._take(int.from_bytes(self._take(2), "big"))

    def value(self, tag: int, depth: int) -> Value:
        octets = self.field()
        if tag == _BEGIN:
            return self._collection(depth + 1)
        return _plain(tag, octets)

    def _take(self, count: int) -> bytes:
        end = self._at + count
        if end > len(self._octets):
            raise BrokenMessage("it ends too early")
        found = self._octets[self._at : end]
        self._at = end
        return found

    def _collection(self, depth: int) -> dict[str, list[Value]]:
        if depth > DEEPEST:
            raise BrokenMessage("collections nested too deep")
        members: dict[str, list[Value]] = {}
        name: str | None = None
        while True:
            tag = self.octet()
            self.field()  # members have no name of their own here
            if tag == _END_COLLECTION:
                self.field()
                return members
            if tag == _MEMBER:
                name = self.field().decode("utf-8", "replace")
                members[name] = []
            elif name is None or tag < 0x10:
                raise BrokenMessage("a value without a member")
            else:
                members[name].append(self.value(tag, depth))


def _plain(tag: int, octets: bytes) -> Value:
    """One value that is no collection (RFC 8010, 3.9)."""
    if tag < 0x20:
        return None
    if tag in (_INTEGER, _ENUM) and len(octets) == 4:
        return int.from_bytes(octets, "big", signed=True)
    if tag == _BOOLEAN and len(octets) == 1:
        return octets != b"\0"
    if tag == _RANGE and len(octets) == 8:
        low, high = struct.unpack(">ii", octets)
        return low, high
    if tag in (_TEXT_WITH_LANGUAGE, _NAME_WITH_LANGUAGE):
        reader = _Reader(octets, 0)
        reader.field()  # the language
        return reader.field().decode("utf-8", "replace")
    if tag in (_INTEGER, _ENUM, _BOOLEAN, _RANGE):
        raise BrokenMessage("a value of the wrong length")
    return octets.decode("utf-8", "replace") if tag in _TEXTS else octets
