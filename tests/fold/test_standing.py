"""What is up when a box stands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from tests.fold.flats import chosen, structure
from tiler.fold.box import FoldedBox, fold_flat
from tiler.fold.choices import FoldChoices
from tiler.geometry import Rect


@dataclass(frozen=True)
class Run:
    text: str
    box: Rect
    angle: float
    size: float = 12.0


# The tray's base is 120 × 80 at (40, 40); its walls are P1 above, P2 left, P4 right, P5 below.
WALLS = {"P1": (100, 25), "P2": (25, 80), "P4": (175, 80), "P5": (100, 135)}
OUTWARDS = {"P1": 0.0, "P2": -90.0, "P4": 90.0, "P5": 180.0}
"""Base lines of text whose top is away from the base: upright in a tray that stands on its base."""


def walls_written(turn: float, but: str = "") -> FoldedBox:
    runs = [
        Run("Heronwick", Rect(x - 5, y - 5, 10, 10), OUTWARDS[name] + turn + (180 if name == but else 0))
        for name, (x, y) in WALLS.items()
    ]
    return fold_flat(structure("telescoping tray"), [*runs, Run("Lamp", Rect(90, 70, 20, 10), 0.0, 60)])


@pytest.mark.parametrize(("turn", "stands"), [(0, "root"), (180, "rim")])
def test_the_text_on_the_walls_tells_which_way_a_tray_stands(turn: float, stands: str) -> None:
    standing = walls_written(turn).standing
    assert standing.stands == stands
    assert standing.upside_down == ()
    reads = {panel.panel: panel.reads for panel in standing.panels}
    assert reads == {"P3": "level", **dict.fromkeys(WALLS, "upright")}


def test_the_wall_that_reads_against_the_others_stands_on_its_head() -> None:
    assert walls_written(180, but="P4").standing.upside_down == ("P4",)


def test_without_text_a_tray_stands_on_its_base_and_a_sleeve_as_it_is_drawn() -> None:
    assert chosen("telescoping tray").standing.stands == "root"
    standing = chosen("sleeve").standing
    assert standing.stands == "bottom"
    assert {panel.reads for panel in standing.panels} == {"unknown"}
    assert [panel.turn for panel in standing.panels] == pytest.approx([0.0] * 5)


def test_the_user_has_the_last_word() -> None:
    standing = chosen("sleeve", stands="right").standing
    assert [panel.turn for panel in standing.panels if panel.panel == "P1"] == pytest.approx([-90.0])
    told = fold_flat(structure("telescoping tray"), (), FoldChoices(stands="rim")).standing
    turns = {panel.panel: panel.turn for panel in told.panels}
    # On its rim, the way up of every wall is towards the base.
    assert turns["P1"] == pytest.approx(180)
    assert turns["P2"] == pytest.approx(90)
    assert turns["P4"] == pytest.approx(-90)
    assert turns["P5"] == pytest.approx(0)


@pytest.mark.parametrize("stands", ["root", "rim", "bottom", "top", "left", "right"])
def test_right_up_and_front_make_a_right_handed_frame(stands: str) -> None:
    standing = chosen("telescoping tray", stands=stands).standing
    frame = np.array([standing.right, standing.up, standing.front])
    assert frame @ frame.T == pytest.approx(np.eye(3))
    assert np.linalg.det(frame) == pytest.approx(1)
