"""ASCII85 against the decoder of the standard library."""

from __future__ import annotations

import base64

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.flat.ascii85 import decoded_ascii85


@given(st.binary(max_size=60))
def test_what_is_encoded_comes_back(data: bytes) -> None:
    assert decoded_ascii85(base64.a85encode(data) + b"~>") == data


def test_zeros_white_space_and_a_missing_end_are_borne() -> None:
    data = bytes(40) + b"Heronwick" + bytes(7)
    letters = base64.a85encode(data, wrapcol=8)
    assert b"z" in letters
    spaced = letters.replace(b"\n", b"\r\n\t \x0c\x00")
    assert decoded_ascii85(spaced) == data
    assert decoded_ascii85(spaced + b"~>what follows") == data


@pytest.mark.parametrize("letters", [b"87cUR{D]~>", b"87cURD]x~>", b"87cURD~>", b"\xff7cUR~>"])
def test_damaged_letters_are_told(letters: bytes) -> None:
    # ISO 32000-2, 7.4.3: digits are ! to u, and a last group of one digit alone is an error.
    assert decoded_ascii85(letters) is None
