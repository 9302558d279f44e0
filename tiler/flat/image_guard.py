"""The one place where foreign picture data may fail: every failure becomes a sentence."""

from __future__ import annotations

import contextlib
import functools
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager

from PIL import Image

from tiler.errors import FlatError

MAX_PIXELS = 1_000_000_000
"""Largest picture read. A sheet of 2 x 1.4 m at 450 ppi has 0.88 thousand million pixels, more than print
artwork needs, and that many take up to 4 GB while they are decoded (Pillow stores 4 bytes a pixel)."""

MAX_MEMORY = 800_000_000
"""Bytes that a picture may take while it is decoded: 200 million pixels in colour, a sheet of 1.4 x 1 m at
300 ppi. Ordinary (baseline) JPEGs are read in strips and need not keep to it."""

_FAILURES = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    KeyError,
    IndexError,
    TypeError,
    AttributeError,
    ArithmeticError,
    AssertionError,
    RuntimeError,
    struct.error,
    zlib.error,
    Image.DecompressionBombError,
)
"""What Pillow's readers raise on damaged files (seen or found in their code)."""

_LOCK = threading.RLock()
"""Pillow's pixel limit and Python's warning filters are global: one reader at a time changes them."""


class CutShortError(ValueError):
    """The data end before the picture does."""


@functools.cache
def _hush() -> None:
    """Keep libtiff and Pillow's log off stderr; what they find comes as an exception all the same."""
    import ctypes
    import logging

    from PIL import _imaging

    logging.getLogger("PIL").addHandler(logging.NullHandler())
    with contextlib.suppress(OSError, AttributeError):  # a Pillow without libtiff, or one linked otherwise
        library = ctypes.CDLL(_imaging.__file__)
        library.TIFFSetErrorHandler(None)
        library.TIFFSetWarningHandler(None)


@contextmanager
def reading(name: str) -> Iterator[None]:
    """Run foreign decoding: Pillow's own pixel limit lifted (ours holds), failures told as a sentence.

    Args:
        name: File name for the message.

    Raises:
        FlatError: The picture is damaged, cut short, or too large for the memory there is.
    """
    _hush()
    with _LOCK, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
        try:
            yield
        except MemoryError as problem:
            raise FlatError(
                f"{name} needs more memory than this computer can give",
                "close other programs, or save the picture with fewer pixels",
            ) from problem
        except _FAILURES as problem:
            raise _told(name, problem) from problem
        finally:
            Image.MAX_IMAGE_PIXELS = limit


def _told(name: str, problem: BaseException) -> FlatError:
    words = str(problem).lower()
    if isinstance(problem, (CutShortError, EOFError)) or "truncated" in words:
        return FlatError(f"{name} is cut short", "copy or save the file again")
    return FlatError(
        f"{name} is damaged or of an unusual kind ({str(problem) or type(problem).__name__})",
        "open it in the program that made it and save it again as PNG or TIFF",
    )


def check_memory(name: str, stored: tuple[int, int], bytes_a_pixel: int) -> None:
    """Hold the picture against the memory that decoding it takes.

    Args:
        name: File name for the message.
        stored: Columns and rows.
        bytes_a_pixel: What the decoder keeps for a pixel.

    Raises:
        FlatError: It is more than ``MAX_MEMORY``.
    """
    needed = stored[0] * stored[1] * bytes_a_pixel
    if needed > MAX_MEMORY:
        raise FlatError(
            f"{name} takes {needed / 1e6:.0f} MB unpacked ({stored[0]} × {stored[1]} pixels), more than "
            f"{MAX_MEMORY / 1e6:.0f} MB",
            "save it with a lower resolution, or as an ordinary (baseline) JPEG",
        )


def check_pixels(name: str, stored: tuple[int, int]) -> None:
    """Hold the picture against the bound.

    Raises:
        FlatError: It has no pixels, or more than ``MAX_PIXELS``.
    """
    across, down = stored
    if across < 1 or down < 1:
        raise FlatError(
            f"{name} has no pixels ({across} × {down})", "save it again from the program that made it"
        )
    if across * down > MAX_PIXELS:
        raise FlatError(
            f"{name} has {across} × {down} pixels, {across * down / 1e6:.0f} million of at most "
            f"{MAX_PIXELS / 1e6:.0f} million",
            "save it with a lower resolution",
        )
