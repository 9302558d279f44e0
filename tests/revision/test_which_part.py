"""The part that a later flat replaces: named, or told by what its file is called."""

from __future__ import annotations

from pathlib import Path

import pytest

from tiler.errors import UsageError
from tiler.flat.read import Wanted
from tiler.job import Job
from tiler.parts import Part
from tiler.printers.sheets import find_sheet
from tiler.revision.which_part import part_for

SHEET = find_sheet("A4")
PARTS = (
    Part("lid", Job(Path("art/heronwick_top.pdf"), SHEET)),
    Part("tray", Job(Path("art/tray.pdf"), SHEET)),
    Part("inner tray", Job(Path("art/inner.pdf"), SHEET)),
)


@pytest.mark.parametrize(
    ("new", "name", "part"),
    [
        pytest.param("new/tray.pdf", None, "tray", id="the same file name"),
        pytest.param("tray_rev2.pdf", None, "tray", id="called after the file"),
        pytest.param("Heronwick_Top 3.pdf", None, "lid", id="in other letters"),
        pytest.param("lid2.pdf", None, "lid", id="called after the part"),
        pytest.param("whatever.pdf", "Tray", "tray", id="named"),
        pytest.param("tray.pdf", "lid", "lid", id="what is named comes first"),
    ],
)
def test_a_part_is_found(new: str, name: str | None, part: str) -> None:
    assert part_for(PARTS, Path(new), name).name == part


@pytest.mark.parametrize("new", ["trays.pdf", "lidless.pdf", "sleeve.pdf"])
def test_a_file_of_another_name_is_asked_for_in_a_sentence(new: str) -> None:
    with pytest.raises(UsageError, match=r"goes by the name of none of them; .*--part lid"):
        part_for(PARTS, Path(new), where="box.toml")


def test_a_part_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(UsageError, match=r"box\.toml has no part 'sleeve'; it has lid, tray, inner tray"):
        part_for(PARTS, Path("a.pdf"), "sleeve", where="box.toml")


def test_parts_in_one_file_are_told_by_their_page() -> None:
    parts = [
        Part(name, Job(Path("box.pdf"), SHEET, Wanted(page=page))) for page, name in ((1, "lid"), (2, "tray"))
    ]
    assert part_for(parts, Path("box_rev2.pdf"), page=2).name == "tray"
    with pytest.raises(UsageError, match="more than one of them"):
        part_for(parts, Path("box_rev2.pdf"))
