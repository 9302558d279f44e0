"""Names of a PDF kept to the byte (ISO 32000-2, 7.3.5), whatever encoding their author had in mind.

Content streams are copied as they are and call resources by the bytes of their names. So a name must leave
the copier with the bytes it came with, even when these are no UTF-8.
"""

from __future__ import annotations

import codecs
import re

from pypdf.generic import NameObject

_CODEC = "tiler_pdf_name"

_STAND_INS = range(0xF780, 0xF800)
"""Code points (private use) that stand for the bytes 128 to 255 of a name that is no UTF-8."""

_SHIFT = 0xF700

_DELIMITERS = re.compile(rb"[\x00\t\n\f\r ]+|[()<>\[\]{}/%]")
"""What ends a name: white space, to which the null byte belongs, and delimiters (ISO 32000-2, 7.2.3)."""


class ExactName(NameObject):
    """A name that is written with the very bytes with which it was read."""

    def renumber(self) -> bytes:
        """The name as it stands in a file."""
        raw = encoded(self[1:])
        return b"/" + b"".join(
            bytes([c]) if 33 <= c <= 126 and c not in b"#()<>[]{}/%" else b"#%02X" % c for c in raw
        )


def encoded(name: str) -> bytes:
    """The bytes of a name that has been read under ``read_exactly``."""
    if not any(ord(char) in _STAND_INS for char in name):
        return name.encode("utf-8", "surrogatepass")
    return bytes(ord(char) - _SHIFT if ord(char) in _STAND_INS else ord(char) for char in name)


def decoded(raw: bytes) -> str:
    """UTF-8 where the bytes are that, else one character for each byte; reversed by ``encoded``."""
    try:
        name = raw.decode("utf-8")
    except UnicodeDecodeError:
        name = None
    if name is not None and not any(ord(char) in _STAND_INS for char in name):
        return name
    return "".join(chr(byte + _SHIFT if byte > 127 else byte) for byte in raw)


def readable(name: str) -> str:
    """A name for people: bytes that are no UTF-8 are most often Windows' Western letters."""
    raw = encoded(name)
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")
    return name


def read_exactly() -> None:
    """Make pypdf read names so; it offers its list of encodings for that."""
    NameObject.CHARSETS = (_CODEC,)  # type: ignore[assignment]
    NameObject.delimiter_pattern = _DELIMITERS


def _find(name: str) -> codecs.CodecInfo | None:
    """Python's way to a codec."""
    if name != _CODEC:
        return None
    return codecs.CodecInfo(
        encode=lambda text, errors="strict": (encoded(text), len(text)),
        decode=lambda raw, errors="strict": (decoded(bytes(raw)), len(raw)),
        name=_CODEC,
    )


codecs.register(_find)
