"""One flat written in each of the five ways in which files tell their structure."""

from __future__ import annotations

from collections.abc import Callable

from tests.structure.cartons import Carton
from tests.structure.files import PageMaker, drawn
from tiler.geometry import Point, Size
from tiler.structure.find import lines_from_other
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Found, Line

ART = b"0 0 0 1 K 30 30 m 90 90 l S 0 1 1 0 k 40 40 30 30 re f\n"
"""Artwork, which is no structure."""


def lines_of(carton: Carton) -> dict[LineKind, list[Line]]:
    """The carton's lines by kind."""
    groups = {
        LineKind.CUT: carton.cuts,
        LineKind.CREASE: carton.creases,
        LineKind.PERFORATION: carton.perforations,
    }
    return {
        kind: [Line(tuple(Point(*place) for place in chain), kind) for chain in chains]
        for kind, chains in groups.items()
    }


def by_steps(carton: Carton) -> Found:
    """Layers with processing steps, off by name and drawn in process colours."""
    maker = PageMaker(Size(*carton.extent))
    content = ART
    steps = {LineKind.CUT: "Cutting", LineKind.CREASE: "Creasing", LineKind.PERFORATION: "Perforating"}
    for kind, lines in lines_of(carton).items():
        key = f"/MC{len(content)}"
        maker.layer(key, f"Layer {kind.name[0]}", steps[kind])
        content += b"/OC %b BDC 1 0 1 0 K " % key.encode() + drawn(lines, maker.size) + b"EMC\n"
    return maker.finish(content, ART).find()


def by_spots(carton: Carton) -> Found:
    """Spot colours with trade names, inside a shifted and scaled form."""
    maker = PageMaker(Size(*carton.extent))
    content = b""
    names = {LineKind.CUT: "Stanzkontur", LineKind.CREASE: "Rilllinie", LineKind.PERFORATION: "PerfLine"}
    for kind, lines in lines_of(carton).items():
        maker.spot(f"/{kind.name}", names[kind])
        content += b"/%b CS 1 SCN q 2 0 0 2 7 7 cm 0.5 0 0 0.5 -3.5 -3.5 cm " % kind.name.encode()
        content += drawn(lines, maker.size) + b"Q\n"
    maker.form("/Fm0", content, resources=maker.resources, matrix=(1, 0, 0, 1, 36, -18))
    return maker.finish(ART + b"q 1 0 0 1 -36 18 cm /Fm0 Do Q", ART).find()


def by_layers(carton: Carton) -> Found:
    """Layers told by their names alone."""
    maker = PageMaker(Size(*carton.extent))
    content = ART
    names = {LineKind.CUT: "CutLines", LineKind.CREASE: "crease_01", LineKind.PERFORATION: "Perforación"}
    for kind, lines in lines_of(carton).items():
        key = f"/L{len(content)}"
        maker.layer(key, names[kind])
        content += b"q /OC %b BDC\n" % key.encode() + drawn(lines, maker.size) + b"EMC Q\n"
    return maker.finish(content).find()


def by_line_file(carton: Carton) -> Found:
    """A separate file: cuts solid and nameless, creases dashed, perforations in a named layer."""
    maker = PageMaker(Size(*carton.extent))
    maker.layer("/P", "Perforation")
    groups = lines_of(carton)
    content = b"0 K " + drawn(groups[LineKind.CUT], maker.size)
    content += b"[6 3] 0 d " + drawn(groups[LineKind.CREASE], maker.size)
    content += b"/OC /P BDC " + drawn(groups[LineKind.PERFORATION], maker.size) + b"EMC"
    made = maker.finish(content)
    return lines_from_other(made.page, made.to_flat, made.size, made.size)


def by_hand(carton: Carton) -> Found:
    """Lines told by the user."""
    return Found(tuple(line for lines in lines_of(carton).values() for line in lines))


ENCODINGS: dict[str, Callable[[Carton], Found]] = {
    "processing steps": by_steps,
    "spot colours": by_spots,
    "layers": by_layers,
    "separate line file": by_line_file,
    "told by the user": by_hand,
}
