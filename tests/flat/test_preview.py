"""A flat kept ready for rendering."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from tests.flats import add_layer, flat_pdf
from tiler.flat.raster import Preview
from tiler.flat.read import Wanted, read_flat
from tiler.geometry import Rect


def test_a_page_kept_open_draws_what_one_opened_each_time_draws(tmp_path: Path) -> None:
    preview = Preview(read_flat(flat_pdf(tmp_path / "flat.pdf"), Wanted()))
    windows = [Rect(10, 10, 60, 40), Rect(200, 100, 50, 50), Rect(-5, -5, 30, 30)]
    fresh = [np.asarray(preview.render(window, 4)) for window in windows]
    with preview.kept_open():
        kept = [np.asarray(preview.render(window, 4)) for window in windows]
    again = np.asarray(preview.render(windows[0], 4))
    assert all(np.array_equal(a, b) for a, b in zip(fresh, kept, strict=True))
    assert np.array_equal(again, fresh[0])


def test_only_the_same_art_comes_down_to_the_same_page(tmp_path: Path) -> None:
    plain = flat_pdf(tmp_path / "plain.pdf")
    copied = tmp_path / "copied.pdf"
    copied.write_bytes(plain.read_bytes() + b"\n% saved anew\n")
    noted = flat_pdf(
        tmp_path / "noted.pdf", change=lambda writer: add_layer(writer, "Notes", b"0 0 99 99 re f", "on")
    )
    one, other, third = (Preview(read_flat(path, Wanted())) for path in (plain, copied, noted))
    assert one.draws_the_same_as(other)
    assert not one.draws_the_same_as(third)
