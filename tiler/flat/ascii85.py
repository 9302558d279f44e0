"""Data written in the letters of ASCII85 (ISO 32000-2, 7.4.3), decoded many at a time."""

from __future__ import annotations

WHITE = b"\0\t\n\f\r "
"""White space, which means nothing (ISO 32000-2, table 1)."""

FIRST, LAST = 33, 117
"""The digits: ``!`` is 0 and ``u`` is 84."""


def decoded_ascii85(text: bytes) -> bytes | None:
    """The bytes that stand in a text of five digits for four bytes; None when it is damaged.

    Args:
        text: Up to its end mark ``~>``; what follows is left out.
    """
    import numpy as np

    digits = text.translate(None, WHITE).partition(b"~")[0].replace(b"z", b"!!!!!")
    count = len(digits)
    if count % 5 == 1:
        return None  # one digit is no byte
    groups = np.frombuffer(digits + b"u" * (-count % 5), np.uint8).reshape(-1, 5)
    if count and (groups.min() < FIRST or groups.max() > LAST):
        return None
    words = groups[:, 0].astype(np.uint32) - FIRST
    for place in range(1, 5):
        words *= 85
        words += groups[:, place]
        words -= FIRST
    return words.astype(">u4").tobytes()[: count // 5 * 4 + max(0, count % 5 - 1)]
