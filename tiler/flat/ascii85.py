"""Data written in the letters of ASCII85 (ISO 32000-2, 7.4.3), decoded many at a time."""

from __future__ import annotations

WHITE = b"\0\t\n\f\r "
"""White space, which means nothing (ISO 32000-2, table 1)."""

DIGITS = bytes(range(33, 118))
"""``!`` is 0 and ``u`` is 84."""

PLACES = [85**place for place in (4, 3, 2, 1, 0)]
"""What a digit counts in each place of a group."""


def decoded_ascii85(text: bytes) -> bytes | None:
    """The bytes that stand in a text of five digits for four bytes; None when it is damaged.

    Written with few steps on large data: after each of them a thread may have to wait for others.

    Args:
        text: Up to its end mark ``~>``; what follows is left out.
    """
    import numpy as np

    digits = text.translate(None, WHITE).partition(b"~")[0].replace(b"z", b"!!!!!")
    count = len(digits)
    if count % 5 == 1 or digits.translate(None, DIGITS):
        return None  # one digit is no byte
    groups = np.frombuffer(digits + b"u" * (-count % 5), np.uint8).reshape(-1, 5)
    words = groups.astype(np.uint32) @ np.array(PLACES, np.uint32)
    words -= np.uint32(DIGITS[0] * sum(PLACES) % 2**32)
    return words.astype(">u4").tobytes()[: count // 5 * 4 + max(0, count % 5 - 1)]
