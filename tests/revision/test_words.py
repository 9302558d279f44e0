"""Changes of text, told as words."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.geometry import Point, Rect
from tiler.revision.words import text_changes


@dataclass(frozen=True)
class Set:
    """A line of text of 2 mm letters."""

    text: str
    at: tuple[float, float] = (10.0, 10.0)
    size: float = 8.0

    @property
    def box(self) -> Rect:
        return Rect(*self.at, 1.5 * len(self.text), 2.5)

    @property
    def origin(self) -> Point:
        return Point(*self.at)


CELL = "Rechargable cell, 3.6 V"
OTHER = Set("Beech handle, oiled", (10, 40))


def told(old: list[Set], new: list[Set]) -> list[tuple[str, str]]:
    return [(change.old, change.new) for change in text_changes(old, new)]


def test_equal_text_has_not_changed() -> None:
    assert told([Set(CELL), OTHER], [OTHER, Set(CELL)]) == []


def test_only_the_word_that_differs_is_told() -> None:
    after = Set("Rechargeable cell, 3.6 V")
    assert told([Set(CELL), OTHER], [after, OTHER]) == [("Rechargable", "Rechargeable")]


def test_every_changed_stretch_of_a_line_is_told_by_itself() -> None:
    pairs = told([Set("Run time at 40 lm and 20 °C")], [Set("Run time at 60 lm and 25 °C")])
    assert pairs == [("40", "60"), ("20", "25")]


def test_text_that_comes_or_goes_has_an_empty_side() -> None:
    assert told([OTHER], [OTHER, Set("new", (80, 5))]) == [("", "new")]
    assert told([OTHER, Set("old", (80, 5))], [OTHER]) == [("old", "")]


def test_unlike_text_far_away_is_not_taken_for_the_successor() -> None:
    assert told([Set("Lot HW3")], [Set("Light", (200, 90))]) == [("Lot HW3", ""), ("", "Light")]


def test_moved_text_is_told_with_its_distance() -> None:
    (change,) = text_changes([Set("Lot")], [Set("Lot", (13, 14))])
    assert (change.old, change.new, change.distance) == ("Lot", "Lot", 4)


def test_rounded_coordinates_are_no_move() -> None:
    assert told([Set("Lot")], [Set("Lot", (10.03, 9.98))]) == []


def test_equal_words_in_many_places_are_matched_by_place() -> None:
    old = [Set("Heronwick", (10, y)) for y in (10, 20, 30)]
    new = [Set("Heronwick", (10, y)) for y in (30, 10)]
    (change,) = text_changes(old, new)
    assert (change.old, change.new, change.box.y) == ("Heronwick", "", 20)


def test_changes_come_from_top_to_bottom() -> None:
    old = [Set("lower", (10, 90)), Set("upper", (10, 10))]
    assert told(old, []) == [("upper", ""), ("lower", "")]
