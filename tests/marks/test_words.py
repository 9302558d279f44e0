"""Texts that must fit, and words for scales."""

from __future__ import annotations

import pytest

from tiler.marks.facts import scale_words
from tiler.marks.metrics import shorten, wrap


def ten_a_letter(text: str, size: float, bold: bool) -> float:
    return 10.0 * len(text)


def test_a_text_that_fits_is_left_alone() -> None:
    assert shorten("lid.pdf", 70, 6, ten_a_letter) == "lid.pdf"


def test_a_long_name_keeps_both_its_ends() -> None:
    short = shorten("heronwick-field-lamp-lid-outside-v12.pdf", 150, 6, ten_a_letter)
    assert len(short) <= 15
    assert short.startswith("heron")
    assert short.endswith("v12.pdf"[-5:])
    assert "…" in short


def test_wrapped_lines_fit_and_lose_no_word() -> None:
    text = "Cut on a firm surface with a cutting mat"
    lines = wrap(text, 120, 7, ten_a_letter)
    assert all(len(line) <= 12 for line in lines)
    assert " ".join(lines) == text


def test_a_word_longer_than_the_line_is_shortened_and_not_lost() -> None:
    assert wrap("an incomprehensibilities case", 100, 7, ten_a_letter) == ("an", "incom…ties", "case")


def test_no_words_make_no_lines() -> None:
    assert wrap("  ", 100, 7, ten_a_letter) == ()


@pytest.mark.parametrize(
    ("scale", "words"),
    [(1, "true size"), (0.5, "scale 1:2"), (0.1, "scale 1:10"), (3, "scale 3:1"), (0.75, "scale 75 %")],
)
def test_scales_are_told_as_people_write_them(scale: float, words: str) -> None:
    assert scale_words(scale) == words
