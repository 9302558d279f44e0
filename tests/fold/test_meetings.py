"""Meeting edges against tables made by hand from the dimensions of each flat."""

from __future__ import annotations

import pytest

from tests.fold.flats import boxed, chosen
from tests.structure.cartons import Pair

Ends = tuple[Pair, Pair]
HAND_MADE: dict[str, tuple[tuple[Ends, Ends], ...]] = {
    # Base 120 × 80 with its corners at (40, 40) and (160, 120), walls 30.
    "telescoping tray": (
        (((40, 10), (40, 40)), ((10, 40), (40, 40))),
        (((160, 10), (160, 40)), ((190, 40), (160, 40))),
        (((10, 120), (40, 120)), ((40, 150), (40, 120))),
        (((190, 120), (160, 120)), ((160, 150), (160, 120))),
    ),
    # The same with base 160 × 110 and walls 40; the flaps of the long walls lie under the short ones.
    "lid with glue flaps": (
        (((50, 10), (50, 50)), ((10, 50), (50, 50))),
        (((210, 10), (210, 50)), ((250, 50), (210, 50))),
        (((10, 160), (50, 160)), ((50, 200), (50, 160))),
        (((250, 160), (210, 160)), ((210, 200), (210, 160))),
    ),
    # Panels 80, 40, 80, 40 from x 25, y 62 to 192; lids 40 deep over and under the first.
    "straight tuck": (
        (((25, 62), (25, 192)), ((265, 62), (265, 192))),
        (((25, 62), (25, 22)), ((265, 62), (225, 62))),
        (((105, 62), (105, 22)), ((105, 62), (145, 62))),
        (((25, 22), (105, 22)), ((225, 62), (145, 62))),
        (((25, 192), (25, 232)), ((265, 192), (225, 192))),
        (((105, 192), (105, 232)), ((105, 192), (145, 192))),
        (((25, 232), (105, 232)), ((225, 192), (145, 192))),
    ),
    "sleeve": ((((10, 10), (10, 70)), ((280, 10), (280, 70))),),
    "hexagonal sleeve": ((((10, 10), (10, 100)), ((250, 10), (250, 100))),),
    # Base corners (85, 85) to (165, 165), apexes 75 outside the middles of its sides.
    "pyramid": (
        (((85, 85), (125, 10)), ((85, 85), (10, 125))),
        (((165, 85), (125, 10)), ((165, 85), (240, 125))),
        (((85, 165), (10, 125)), ((85, 165), (125, 240))),
        (((165, 165), (240, 125)), ((165, 165), (125, 240))),
    ),
}


def as_pairs(table: tuple[tuple[Ends, Ends], ...]) -> set[frozenset[frozenset[Pair]]]:
    """Each meeting as two pairs of places that come together, in no order."""
    return {
        frozenset(frozenset((a[i], b[i])) if a[i] != b[i] else frozenset((a[i],)) for i in (0, 1))
        for a, b in table
    }


@pytest.mark.parametrize("name", HAND_MADE)
def test_edges_meet_as_the_table_made_by_hand_says(name: str) -> None:
    found = []
    for meeting in boxed(name).meetings:
        a, b = (
            tuple((round(p.x, 1), round(p.y, 1)) for p in (side.start, side.end))
            for side in (meeting.a, meeting.b)
        )
        found.append((a, b))
    assert as_pairs(tuple(found)) == as_pairs(HAND_MADE[name])  # type: ignore[arg-type]
    assert len(found) == len(HAND_MADE[name])


def test_meetings_are_numbered_in_reading_order() -> None:
    found = boxed("straight tuck").meetings
    assert [meeting.id for meeting in found] == [f"m{n}" for n in range(1, 8)]
    firsts = [int(meeting.a.panel[1:]) for meeting in found]
    assert firsts == sorted(firsts)
    assert all(int(meeting.a.panel[1:]) < int(meeting.b.panel[1:]) for meeting in found)


def test_ears_under_a_wall_meet_nothing() -> None:
    assert [m.panels for m in boxed("cross with ears").meetings] == [
        ("P1", "P4"), ("P1", "P6"), ("P4", "P9"), ("P6", "P9"),
    ]  # fmt: skip


def test_an_open_box_has_no_meetings() -> None:
    assert chosen("sleeve", angles=(("P2", "P3", 20.0),)).meetings == ()
