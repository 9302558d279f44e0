"""pypdf's safety limits, raised on purpose and in this one place.

Real print files are larger than its defaults (75 MB a stream, 100,000 entries an array). What a limit has to
stop is a small file that grows without bound: counts are held to the size of the file that is read, decoded
data to what a page can sensibly have.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from pypdf import apply_configuration
from pypdf.errors import LimitReachedError

from tiler.errors import FlatError, TilerError
from tiler.flat.names import read_exactly

LARGEST_DECODED = 200_000_000
"""Bytes that the decoded content of a page, or any one stream that is decoded, may have at most. Pictures are
never decoded here; drawings of two million paths have some 100 MB."""

RESAVE = "save it anew from the design program"
"""The remedy for a file that is not what it should be."""

_PDFIUM = threading.Lock()


@contextmanager
def raised_limits(file_size: int) -> Iterator[None]:
    """Read a PDF of ``file_size`` bytes under limits that fit it."""
    read_exactly()
    decoded = LARGEST_DECODED
    entries = max(100_000, file_size)
    with apply_configuration(
        maximum_declared_stream_length=max(75_000_000, file_size),
        array_based_stream_maximum_output_length=decoded,
        zlib_maximum_output_length=decoded,
        lzw_maximum_output_length=decoded,
        run_length_maximum_output_length=decoded,
        stream_decoding_work_maximum_length=max(300_000_000, decoded),
        array_maximum_element_count=entries,
        dictionary_maximum_element_count=entries,
        jbig2dec_binary=None,  # a flat never starts another program
    ):
        yield


@contextmanager
def readable(name: str) -> Iterator[None]:
    """Turn whatever a parser throws at a broken file into one sentence.

    Parsers of foreign files fail in ways that nobody lists, so this one boundary catches every ``Exception``.

    Args:
        name: The file, as the sentence shall call it.

    Raises:
        FlatError: The file is broken.
    """
    try:
        yield
    except (TilerError, MemoryError):
        raise
    except LimitReachedError as problem:
        raise _beyond(name, problem) from problem
    except RecursionError:
        raise FlatError(f"{name}: its objects are nested without end", RESAVE) from None
    except OSError as problem:
        raise FlatError(f"{name}: cannot be read ({problem.strerror or problem})") from problem
    except Exception as problem:
        raise FlatError(f"{name}: is damaged ({_first_line(problem)})", RESAVE) from problem


def _beyond(name: str, problem: LimitReachedError) -> FlatError:
    """One sentence for a file that breaks a limit of the parser."""
    words = _first_line(problem)
    if any(word in words.lower() for word in ("decompress", "decod", "content", "output")):
        unpacked = f"unpacks to more than {LARGEST_DECODED // 10**6} MB"
        return FlatError(f"{name}: {unpacked}", "flatten or simplify its artwork")
    return FlatError(f"{name}: is built beyond measure ({words})", RESAVE)


def _first_line(problem: Exception) -> str:
    """What an exception says, or else its kind."""
    return (str(problem).splitlines() or [""])[0][:120].rstrip(".") or type(problem).__name__


@contextmanager
def pdfium() -> Iterator[None]:
    """Hold PDFium for one thread: it is not safe for two at once."""
    with _PDFIUM:
        yield
