"""Leaping through a long content stream finds exactly what following all of it finds."""

from __future__ import annotations

import random

import pytest

from tests.structure.files import Made, PageMaker, drawn
from tiler.flat import content
from tiler.flat.content import Operation, page_content
from tiler.geometry import Size
from tiler.structure import walk
from tiler.structure.kinds import LineKind
from tiler.structure.lines import Line
from tiler.structure.scope import Scopes
from tiler.structure.sink import Sink
from tiler.structure.skim import skim
from tiler.structure.walk import State, Walker

SIZE = Size(400, 300)
STROKE = drawn([Line.between(10, 20, 110, 20, LineKind.CUT)], SIZE)
TRAPS = [
    b"(q Q \\( cm /OC /MC9 BDC) Tj\n",
    b"((nested (q)) Q) Tj\n",
    b"[(q) 3 (Q)] TJ\n",
    b"BI /W 4 /H 1 /BPC 8 /CS /G ID q Q  EI\n",
    b"% q 9 0 0 9 0 0 cm\n",
    b"<71 51> Tj\n",
    b"/q gs /Q gs /cm gs\n",
    b"[2 1] 0 d\n",
    b"[] 0 d\n",
]


def page(seed: int) -> Made:
    """Artwork with structure in a layer, a spot colour and a form here and there."""
    rng = random.Random(seed)
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "Dieline")
    maker.layer("/MC1", "Legend", "", group="Legend")
    maker.spot("/CS0", "Crease")
    maker.spot("/CS1", "Brass")
    maker.spot("/Cut Line", "Cut Line")
    maker.form("/Fm0", b"/CS0 CS q 1 0 0 1 3 3 cm " + STROKE + b"Q", resources=maker.resources)
    starts = [b"/OC /MC0 BDC ", b"/OC /MC1 BDC ", b"/OC /MC9 BDC ", b"/Span BMC "]
    parts: list[bytes] = []
    for _ in range(300):
        kind = rng.randrange(10)
        if kind < 4:
            shift = b"%.3f 0 0 %.3f %d %d cm " % (
                rng.uniform(0.5, 1.1),
                1,
                rng.randrange(9),
                rng.randrange(9),
            )
            parts.append(rng.choice([b"q ", b"Q ", b"q " + shift, shift + b"0 0 0 1 k 0 0 9 9 re f "]))
        elif kind == 4:
            parts.append(rng.choice(TRAPS))
        elif kind == 5:
            parts.append(rng.choice(starts) + STROKE + rng.choice([b"EMC ", b"q EMC ", b"Q EMC "]))
        elif kind == 6:
            parts.append(
                rng.choice(
                    [b"/CS0 CS ", b"/CS0 cs ", b"/CS1 CS 1 SCN ", b"/Cut#20Line CS ", b"0 G ", b"0 g "]
                )
                + STROKE
            )
        elif kind == 7:
            parts.append(rng.choice([b"/Fm0 Do ", b"/Im0 Do "]))
        else:
            parts.append(STROKE)
    return maker.finish(b"".join(parts))


def followed(made: Made, leap: bool) -> Sink:
    scopes = Scopes({})
    scope = scopes.of(made.page["/Resources"])
    sink = Sink(scopes, enter=skim if leap else None)
    walker = Walker(sink, scope, State(made.to_flat))
    if leap:
        skim(walker, page_content(made.page))
    else:
        walker.run(page_content(made.page))
    return sink


@pytest.mark.parametrize("seed", range(30))
def test_it_finds_what_a_full_walk_finds(seed: int) -> None:
    made = page(seed)
    full, leapt = followed(made, leap=False), followed(made, leap=True)
    assert len(full.lines) > 5
    assert leapt.lines == full.lines
    assert leapt.counts == full.counts


@pytest.mark.parametrize(
    ("key", "written"),
    [
        ("/MC0", b"/MC0"),
        ("/M C", b"/M#20C"),
        ("/Ä", "/Ä".encode()),
        ("/MC0", b"/M#430"),
        ("/jö", b"/j#c3#B6"),
    ],
)
def test_artwork_is_leapt_over(key: str, written: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    maker = PageMaker(SIZE)
    maker.layer(key, "x", "Cutting")
    art = b"q 1 0 0 1 0.1 0 cm 1 0 0 0 k 5 5 m 9 9 l f Q\n" * 2000
    made = maker.finish(art + b"/OC " + written + b" BDC " + STROKE + b"EMC\n" + art)
    seen: list[Operation] = []

    def counting(data: bytes, start: int = 0) -> object:
        for operation in content.operations(data, start):
            seen.append(operation)
            yield operation

    monkeypatch.setattr(walk, "operations", counting)
    assert len(made.find().lines) == 1
    assert len(seen) < 10


@pytest.mark.parametrize(
    "trap",
    [
        pytest.param(b"/MC0 DP ", id="the name in another role"),
        pytest.param(b"1 0 0 1 0 (five) cm ", id="a matrix that is none"),
        pytest.param(b"1 0 0 1 % a comment\n 7 7 cm ", id="a comment within the operands"),
        pytest.param(b"/M#430 gs ", id="an escaped name"),
        pytest.param(b"/OC %x\n/MC0 BDC EMC ", id="a comment within a layer's beginning"),
    ],
)
def test_in_doubt_everything_is_followed(trap: bytes) -> None:
    maker = PageMaker(SIZE)
    maker.layer("/MC0", "x", "Cutting")
    made = maker.finish(b"q " + trap + b"/OC /MC0 BDC " + STROKE + b"EMC Q /OC /MC0 BDC " + STROKE + b"EMC")
    assert followed(made, leap=True).lines == followed(made, leap=False).lines
    assert len(made.find().lines) == 2
