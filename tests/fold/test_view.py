"""Pictures of folded boxes."""

from __future__ import annotations

import pytest
from PIL import Image, ImageDraw

from tests.fold.flats import boxed
from tiler.fold.camera import CORNERS, Corner
from tiler.fold.view import BOARD, PAPER, Texture, Textures, view

# The sleeve: panels 100, 35, 100, 35 and a flap 15 from (10, 10), 60 tall; each in a colour of its own.
COLOURS = ((10, (200, 30, 30)), (110, (30, 160, 60)), (145, (40, 60, 200)), (245, (220, 180, 20)))


def painted(pixels_per_mm: float = 2.0) -> Texture:
    """The sleeve's flat with a white square in the upper left of its first panel."""
    picture = Image.new("RGB", (round(305 * pixels_per_mm), round(80 * pixels_per_mm)), "white")
    pen = ImageDraw.Draw(picture)
    for left, colour in COLOURS:
        pen.rectangle([v * pixels_per_mm for v in (left, 10, 400, 70)], colour)
    pen.rectangle([v * pixels_per_mm for v in (20, 20, 40, 30)], "white")
    return Texture(picture, pixels_per_mm)


def share(picture: Image.Image, colour: tuple[int, int, int], slack: int = 3) -> float:
    """Share of the pixels that have a colour, whatever its brightness between 0.7 and 1."""
    total = picture.width * picture.height
    count = 0
    for number, seen in picture.getcolors(total) or []:
        assert isinstance(seen, tuple)
        light = max(seen) / max(colour)
        near = all(abs(s - c * light) <= slack for s, c in zip(seen, colour, strict=True))
        count += number if near and 0.68 <= light <= 1.01 else 0
    return count / total


def test_a_box_seen_from_its_front_shows_its_first_panel_as_it_lies() -> None:
    picture = view(boxed("sleeve"), Textures(painted()), Corner(0, 0), size=(220, 140))
    red, white = picture.getpixel((110, 100)), picture.getpixel((52, 48))
    assert isinstance(red, tuple)
    assert red[0] > 3 * max(red[1:])
    assert isinstance(white, tuple)
    assert min(white) > 150
    mirrored = picture.getpixel((220 - 52, 48))
    assert isinstance(mirrored, tuple)
    assert mirrored[0] > 3 * mirrored[1]


@pytest.mark.parametrize(
    ("corner", "seen", "hidden"),
    [("front-right", (0, 1), (2, 3)), ("front-left", (0, 3), (1, 2)), ("back-right", (2, 1), (0, 3))],
)
def test_each_corner_shows_the_two_panels_that_face_it(
    corner: str, seen: tuple[int, ...], hidden: tuple[int, ...]
) -> None:
    picture = view(boxed("sleeve"), Textures(painted()), CORNERS[corner], size=(200, 160))
    assert all(share(picture, COLOURS[index][1]) > 0.03 for index in seen)
    assert all(share(picture, COLOURS[index][1]) < 0.001 for index in hidden)


def test_the_inside_is_board_without_an_inside_print_and_the_print_with_one() -> None:
    corner = Corner(20, 40)
    plain = view(boxed("telescoping tray"), Textures(), corner, size=(200, 150))
    assert share(plain, BOARD) > 0.2
    blue = Texture(Image.new("RGB", (200, 160), (40, 60, 200)), 1.0)
    printed = view(boxed("telescoping tray"), Textures(inside=blue), corner, size=(200, 150))
    assert share(printed, (40, 60, 200)) > 0.15


def test_an_inside_print_is_read_from_inside() -> None:
    # Seen from inside, the left half of the inside file is the right half of the outside: x 80 to 160 here.
    picture = Image.new("RGB", (200, 160), "white")
    ImageDraw.Draw(picture).rectangle([0, 0, 99, 160], (40, 60, 200))
    seen = view(
        boxed("telescoping tray"), Textures(inside=Texture(picture, 1.0)), Corner(0, 90), size=(200, 160)
    )
    # From above into a tray that stands on its base, the flat's right is at the viewer's left.
    left, right = seen.getpixel((80, 80)), seen.getpixel((120, 80))
    assert isinstance(left, tuple)
    assert isinstance(right, tuple)
    assert left[2] > 2 * left[0]
    assert min(right) > 150


def test_a_picture_is_as_large_as_it_was_asked_and_white_round_the_box() -> None:
    picture = view(boxed("pyramid"), Textures(), CORNERS["front-right"], 0.5, (180, 120))
    assert picture.size == (180, 120)
    assert {picture.getpixel(place) for place in ((0, 0), (179, 0), (0, 119), (179, 119))} == {PAPER}
