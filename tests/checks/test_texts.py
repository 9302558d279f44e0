"""The proof list: reading order, facts set apart, spelling."""

from __future__ import annotations

import pytest

from tiler.checks.texts import _unknown_words, facts_in, reading_order, says_something
from tiler.flat.text import TextRun
from tiler.geometry import Point, Rect


def run(text: str, x: float, y: float, angle: float = 0, size: float = 10) -> TextRun:
    """A run whose base line begins at x, y."""
    long, high = 0.5 * size * len(text) * 25.4 / 72, 0.7 * size * 25.4 / 72
    boxes = {
        0: Rect(x, y - high, long, high),
        90: Rect(x, y, high, long),
        180: Rect(x - long, y, long, high),
        -90: Rect(x - high, y - long, high, long),
    }
    return TextRun(text, boxes[int(angle)], size, angle, "Sans", True, (0, 0, 0), 0, Point(x, y))


def test_columns_are_read_one_after_the_other() -> None:
    runs = [
        run("left one", 10, 20),
        run("right one", 80, 20),
        run("left two", 10, 25),
        run("right two", 80, 25),
    ]
    assert [r.text for r in reading_order(runs)] == ["left one", "left two", "right one", "right two"]


@pytest.mark.parametrize(("angle", "step"), [(0, (0, 5)), (90, (-5, 0)), (180, (0, -5)), (-90, (5, 0))])
def test_lines_follow_each_other_in_every_direction(angle: float, step: tuple[float, float]) -> None:
    lines = [run(word, 100 + i * step[0], 100 + i * step[1], angle) for i, word in enumerate("abc")]
    assert [r.text for r in reading_order([lines[2], lines[0], lines[1]])] == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("Best before 03/2027", (("number", "03/2027"),)),
        ("Packed 2027-05-03 at 14:30", (("date", "2027-05-03"), ("number", "14:30"))),
        ("on 3.5.2027", (("date", "3.5.2027"),)),
        ("See www.heronwick.example/lamp, please", (("address", "www.heronwick.example/lamp"),)),
        ("lamp@heronwick.example", (("address", "lamp@heronwick.example"),)),
        ("10 °C to 25 °C, 1,5 l ℮", (("number", "10 °C"), ("number", "25 °C"), ("number", "1,5 l"))),
        ("Field lamp in brass", ()),
    ],
)
def test_numbers_dates_and_addresses_are_set_apart(text: str, facts: tuple[tuple[str, str], ...]) -> None:
    assert facts_in(text) == facts


WORDS = frozenset(
    [
        "the",
        "lamp",
        "is",
        "made",
        "of",
        "brass",
        "and",
        "glass",
        "it",
        "burns",
        "oil",
        "for",
        "many",
        "hours",
        "carry",
        "low",
    ]
)


def test_words_that_the_list_lacks_are_named() -> None:
    texts = ["The lamp is mode of bras", "and glass. It burns oil", "lamps burn for many hours"]
    assert _unknown_words(texts, WORDS) == {"mode", "bras", "burn"}


def test_text_in_another_language_is_left_alone() -> None:
    assert _unknown_words(["Die Lampe ist aus Messing und Glas gemacht, brennt Stunden"], WORDS) == set()


def test_without_a_list_nothing_is_marked() -> None:
    assert _unknown_words(["qqqq"], None) == set()


@pytest.mark.parametrize("text", ["·", "•  •", "–", "|", "…", " "])
def test_ornaments_between_words_are_no_texts_to_read(text: str) -> None:
    assert not says_something(run(text, 0, 0))


@pytest.mark.parametrize("text", ["A", "7", "· 3 ·", "℮", "©", "€", "\ufffd", "\ue001", "é", "茶"])
def test_all_that_may_say_something_stays_in_the_list(text: str) -> None:
    assert says_something(run(text, 0, 0))
