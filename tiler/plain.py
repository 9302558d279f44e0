"""Words from files and file names made fit to be shown: nothing in them steers a terminal."""

from __future__ import annotations

import codecs
import unicodedata

STAND_IN = "\ufffd"
"""The replacement character of Unicode."""


UNFIT = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""Unicode categories: control and format characters, surrogates, separators of lines and paragraphs."""


def plain(text: str) -> str:
    r"""The text in one line, without control characters or halves of surrogate pairs.

    >>> plain("a\x1b[31m\nb\udcff")
    'a�[31m�b�'
    """
    if text.isprintable():
        return text
    return "".join(STAND_IN if unicodedata.category(char) in UNFIT else char for char in text)


def _escaped(problem: UnicodeError) -> tuple[str, int]:
    r"""Characters that an output cannot hold as ``\uXXXX``, which JSON (RFC 8259, 7) reads back."""
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    units = problem.object[problem.start : problem.end].encode("utf-16-be", "surrogatepass")
    pairs = (units[i : i + 2] for i in range(0, len(units), 2))
    return "".join(f"\\u{pair.hex()}" for pair in pairs), problem.end


ESCAPED = "tiler_escaped"
"""Error handler for outputs whose encoding does not know every character."""

codecs.register_error(ESCAPED, _escaped)
