"""Art looked at along meetings whose lines the file draws in spot colours."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, StreamObject

from tests.sample_plans import A4
from tiler.fold.of_flat import fold_loaded, line_spots, verdicts_of
from tiler.job import Job
from tiler.load import Loaded, load

TRAY = Path(__file__).parents[2] / "sample_art" / "tray.pdf"


def with_lines_of(width: float, path: Path) -> Loaded:
    """The sample tray, its cuts and creases drawn ``width`` mm wide."""
    writer = PdfWriter(clone_from=PdfReader(TRAY))
    page, body = writer.pages[0], StreamObject()
    content = page.get_contents()
    assert content is not None
    art, mark, lines = content.get_data().partition(b"/Cutting#20Line CS")
    assert lines.count(b".25 w") > 20, "the page ends with its lines"
    body.set_data(art + mark + lines.replace(b".25 w", b"%.2f w" % width))
    page[NameObject("/Contents")] = writer._add_object(body)
    writer.write(path)
    return load(Job(path, A4))


def test_lines_in_spot_colours_do_not_disturb_the_verdict(tmp_path: Path) -> None:
    loaded = load(Job(TRAY, A4))
    assert line_spots(loaded) == {"Cutting Line", "Creasing Line"}
    box = fold_loaded(loaded)
    thin, thick = verdicts_of(loaded, box), verdicts_of(with_lines_of(1.0, tmp_path / "thick.pdf"), box)
    assert len(thin) == 4
    assert thick == thin
