"""Names of meetings beside their edges."""

from __future__ import annotations

import pytest
import shapely

from tests.fold.flats import BY_NAME, boxed, structure
from tiler.fold.edge_names import edge_names


@pytest.mark.parametrize("name", [name for name in BY_NAME if boxed(name).meetings])
def test_every_meeting_is_named_at_both_edges_and_only_the_waste_counts_as_waste(name: str) -> None:
    found = boxed(name)
    names = edge_names(found)
    assert [each.text for each in names] == [m.id for m in found.meetings for _ in range(2)]
    board = shapely.union_all([panel.shape for panel in structure(name).panels])
    for each in names:
        assert board.contains(shapely.Point(*each.at)) != each.in_waste
        assert -90 <= each.turn < 90


def test_a_cut_edge_is_named_in_the_waste_and_a_crease_on_its_panel() -> None:
    # The sleeve's free edge is at x 10; its glue flap hangs on the crease at x 280, on panel P4.
    first, second = edge_names(boxed("sleeve"))
    assert (*first.at, first.in_waste) == pytest.approx((6.5, 40, True))
    assert (*second.at, second.in_waste) == pytest.approx((276.5, 40, False))
