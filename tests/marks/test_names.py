"""Names of strips on paper."""

from __future__ import annotations

from dataclasses import replace

from tests.sample_plans import columns, grid_2x3
from tiler.marks.names import size_words, strip_tag


def test_rows_go_by_their_letter_and_columns_by_their_number() -> None:
    assert [strip_tag(grid_2x3(), i) for i in range(2)] == ["A", "B"]
    assert [strip_tag(columns(), i) for i in range(2)] == ["1", "2"]


def test_a_strip_whose_labels_share_nothing_goes_by_its_number() -> None:
    plan = columns()
    odd = replace(plan, tiles=tuple(replace(t, label=f"{t.label}{n}") for n, t in enumerate(plan.tiles)))
    assert [strip_tag(odd, i) for i in range(2)] == ["1", "2"]
    assert strip_tag(replace(odd, direction="across"), 1) == "2"


def test_sizes_are_written_with_their_unit_once() -> None:
    assert size_words(506.0, 426.25, 60) == "506 × 426.2 × 60 mm"
