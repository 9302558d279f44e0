"""Spoil flats at random, but always the same way for the same number.

``python -m tests.fuzz FIRST COUNT`` tries that many cases and prints what came of them.
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

from PIL import Image

from tests.bounded import MEMORY, Ended, run_tiler
from tests.flats import add_layer, flat_pdf

SAMPLES = Path(__file__).parent.parent / "sample_art"

NUMBER = re.compile(rb"-?\d+\.?\d*")
KEY = re.compile(rb"/[A-Za-z]{2,}")
OBJECT = re.compile(rb"\d+ \d+ R")

STRANGE = (
    b"-1",
    b"0",
    b"4294967296",
    b"99999999999999999999",
    b"1e9",
    b"nan",
    b"null",
    b"[]",
    b"<<>>",
    b"()",
    b"/X",
)
"""What is put in the place of a number, key or reference."""


@cache
def seeds(large: bool) -> tuple[tuple[str, bytes], ...]:
    """Sound flats by name: small ones of every kind, and the sample art."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        flat_pdf(folder / "plain.pdf", size=(300, 200))
        boxes = {"MediaBox": (-20.0, -10.0, 280.0, 190.0), "TrimBox": (0.0, 0.0, 250.0, 150.0)}
        flat_pdf(folder / "boxes.pdf", size=(300, 200), boxes=boxes, rotate=90, user_unit=2)
        flat_pdf(folder / "locked.pdf", size=(300, 200), password="")
        flat_pdf(
            folder / "layers.pdf",
            size=(300, 200),
            change=lambda w: add_layer(w, "A", b"0 0 99 99 re f", "off"),
        )
        _compact(folder / "plain.pdf", folder / "compact.pdf")
        picture = Image.linear_gradient("L").resize((90, 60)).convert("RGB")
        for kind, options in (("png", {}), ("jpg", {}), ("tif", {"compression": "tiff_lzw"}), ("webp", {})):
            picture.save(folder / f"picture.{kind}", dpi=(100, 100), **options)
        picture.convert("CMYK").save(folder / "ink.jpg", dpi=(100, 100))
        picture.convert("P").save(folder / "palette.png", dpi=(100, 100))
        picture.convert("1").save(folder / "fax.tif", dpi=(100, 100), compression="group4")
        paths = sorted(folder.iterdir())
        if large:
            paths += [SAMPLES / name for name in ("lid.pdf", "tray.pdf", "lid_lines.pdf", "sleeve.jpg")]
        return tuple((path.name, path.read_bytes()) for path in paths)


def _compact(source: Path, target: Path) -> None:
    """The same with object streams and a cross-reference stream."""
    import pikepdf

    with pikepdf.open(source) as pdf:
        pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate)


def case(number: int, large: bool = False) -> tuple[str, bytes]:
    """Name and content of a spoiled flat."""
    dice = random.Random(number)
    name, data = dice.choice(seeds(large))
    changed = bytearray(data)
    for _ in range(dice.choice((1, 1, 2, 5))):
        changed = bytearray(dice.choice(WAYS)(dice, bytes(changed)))
    return name, bytes(changed)


def _flip(dice: random.Random, data: bytes) -> bytes:
    """Some bytes anywhere become others."""
    changed = bytearray(data)
    for _ in range(dice.choice((1, 3, 30))):
        if changed:
            changed[dice.randrange(len(changed))] = dice.randrange(256)
    return bytes(changed)


def _cut(dice: random.Random, data: bytes) -> bytes:
    """The end is missing."""
    return data[: dice.randrange(len(data) + 1)]


def _lose(dice: random.Random, data: bytes) -> bytes:
    """A piece is missing."""
    start = dice.randrange(len(data) + 1)
    return data[:start] + data[start + dice.choice((1, 20, 1000)) :]


def _double(dice: random.Random, data: bytes) -> bytes:
    """A piece stands somewhere else as well."""
    start, place = dice.randrange(len(data) + 1), dice.randrange(len(data) + 1)
    return data[:place] + data[start : start + dice.choice((4, 200, 3000))] + data[place:]


def _swap(pattern: re.Pattern[bytes]) -> Callable[[random.Random, bytes], bytes]:
    """Replaces one match by another one of the file, or by something strange."""

    def way(dice: random.Random, data: bytes) -> bytes:
        found = list(pattern.finditer(data))
        if not found:
            return _flip(dice, data)
        one, other = dice.choice(found), dice.choice(found)
        value = dice.choice((other.group(), dice.choice(STRANGE)))
        if dice.random() < 0.5:  # keep the length, so that the table of objects stays right
            value = value[: len(one.group())].ljust(len(one.group()))
        return data[: one.start()] + value + data[one.end() :]

    return way


WAYS = (_flip, _cut, _lose, _double, _swap(NUMBER), _swap(KEY), _swap(OBJECT), _swap(NUMBER), _swap(KEY))


def fault(done: Ended, folder: Path) -> str:
    """What is wrong with how a run ended; empty when nothing is."""
    left = [entry.name for entry in folder.iterdir() if entry.name not in ("flat", "pack.pdf")]
    if left:
        return f"left {left}"
    if done.code not in (0, 1):
        return f"exit {done.code}: {done.err[-300:]}"
    if done.memory > MEMORY:
        return f"took {done.memory / 1e6:.0f} MB"
    if done.code and (len(done.err.splitlines()) != 1 or (folder / "pack.pdf").exists()):
        return f"said {done.err[:300]}"
    if done.code and not re.match(r"tiler: .*flat", done.err):
        return f"does not name the file: {done.err[:300]}"
    if done.code == 0 and "Traceback" in done.err:
        return done.err[-300:]
    return ""


def tried(number: int, large: bool = False) -> tuple[str, Ended, str]:
    """Run one case: the seed's name, how it ended, and what is wrong with that."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        seed, data = case(number, large)
        (folder / "flat").write_bytes(data)
        done = run_tiler(["mock", str(folder / "flat"), "-o", str(folder / "pack.pdf"), "--sheet", "A4"])
        return seed, done, fault(done, folder)


def main(first: int, count: int) -> int:
    """Try many cases."""
    import tiler.run  # noqa: F401 - loaded before the forks

    tally: Counter[str] = Counter()
    slowest, largest = 0.0, 0
    for number in range(first, first + count):
        seed, done, wrong = tried(number, large=True)
        tally["fault" if wrong else "refused" if done.code else "pack"] += 1
        slowest, largest = max(slowest, done.seconds), max(largest, done.memory)
        if wrong:
            print(number, seed, wrong, flush=True)
    print(dict(tally), f"slowest {slowest:.1f} s, largest {largest / 1e6:.0f} MB")
    return int(bool(tally["fault"]))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
