"""Try one flat in a process of its own, under limits of time and memory, and judge what came of it."""

from __future__ import annotations

import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.bounded import MEMORY, Ended, forked, run_tiler

CLOSEST = 0.15
"""Largest shift of a face, mm. PDFium lays upright pictures on whole pixels (0.127 mm at 200 dpi), so that a
page which is one picture may seem to move by one."""

FOREIGN = 5e-3
"""Largest share of a face that may differ: the edges of a picture that moved by a pixel."""

COMPARED_TILES = 4
"""Tiles of a pack that are taped up, spread over the plan."""


@dataclass(frozen=True)
class Attempt:
    """What one flat came to."""

    name: str
    verdict: str
    """``pack``, ``refused`` or ``fault``."""
    words: str
    """The sentence of a refusal, or what is wrong."""
    seconds: float
    memory: int
    """Largest resident memory, bytes."""


def attempt(flat: Path, words: tuple[str, ...] = ()) -> Attempt:
    """Write the pack of a flat and tape it up."""
    with tempfile.TemporaryDirectory() as name:
        pack = Path(name) / "pack.pdf"
        command = ["mock", str(flat), "-o", str(pack), "--sheet", "A4", "--json", *words]
        done = run_tiler(command)
        if done.code and "--ppi N" in done.err and not words:
            return attempt(flat, ("--ppi", "150"))
        verdict, said = _judge(done, pack)
        if verdict == "pack":
            plan = json.loads(done.out) | {"ppi": float(words[1]) if words else None}
            taped = forked(lambda: _tape(flat, pack, plan))
            said = taped.out.strip()
            if taped.code:
                verdict, said = "fault", f"tape-up: {said} {taped.err.strip()[-300:]} ({taped.code})"
        return Attempt(f"{flat.parent.name}/{flat.name}", verdict, said, done.seconds, done.memory)


def _judge(done: Ended, pack: Path) -> tuple[str, str]:
    """Whether a run kept its word, before its pack is looked at."""
    left = sorted(entry.name for entry in pack.parent.iterdir())
    lines = done.err.splitlines()
    if done.code < 0:
        return "fault", f"ended by signal {-done.code} after {done.seconds:.0f} s"
    if done.memory > MEMORY:
        return "fault", f"took {done.memory / 1e6:.0f} MB"
    if "Traceback" in done.err or done.code not in (0, 1, 2):
        return "fault", f"exit {done.code}: {' | '.join(lines[-3:])}"
    if done.code == 0:
        return ("pack", "") if left == ["pack.pdf"] else ("fault", f"left {left}")
    if len(lines) != 1 or left:
        return "fault", f"said {len(lines)} lines, left {left}: {' | '.join(lines[:3])}"
    return "refused", lines[0]


def _tape(path: Path, pack: Path, plan: dict[str, Any]) -> int:
    """Tape some tiles up, compare the objects, and print how true it is; 1 when it is not."""
    import pypdfium2

    from tests.same_objects import differences
    from tests.tape_up import flat_by_pdfium, tape_up
    from tests.wild.pictures import flat_by_pillow
    from tiler.flat.pdf import PdfFlat
    from tiler.flat.read import Wanted, read_flat
    from tiler.geometry import Point, Rect
    from tiler.marks.registration import mark_room, marks_on_seam
    from tiler.plan.tile import Seam
    from tiler.units import MM_PER_INCH

    is_pdf = b"%PDF-" in path.read_bytes()[:1024]
    flat = read_flat(path, Wanted() if is_pdf else Wanted(ppi=plan["ppi"]))
    told, foreign, closest = "", FOREIGN, CLOSEST
    try:
        if isinstance(flat.source, PdfFlat):
            show = flat_by_pdfium(path, 1, flat.size, flat.source.seen.box)
            if not any("rebuilt" in warning for warning in flat.warnings):
                told = "; ".join(differences(path, 1, pack))
        else:
            show, foreign = flat_by_pillow(path, flat.size)
            closest = max(CLOSEST, *(2 * MM_PER_INCH / ppi for ppi in flat.source.ppi))
        show(Rect(0, 0, 10, 10))
    except (pypdfium2.PdfiumError, OSError, ValueError, SyntaxError) as problem:
        print(f"no second reader shows it ({problem})")
        return 0
    if told:
        print(told)
        return 1
    seams = [
        Seam(Point(s["x1"], s["y1"]), Point(s["x2"], s["y2"]), s["upper"], s["lower"]) for s in plan["seams"]
    ]
    marks = [mark_room(spot) for seam in seams for spot in marks_on_seam(seam)]
    large = [tile for tile in plan["tiles"] if min(tile["face"]["width"], tile["face"]["height"]) > 5]
    plan["tiles"] = large[:: max(1, -(-len(large) // COMPARED_TILES))]
    faces = tape_up(pack, plan, show, marks)
    # a large shift without any wrong spot is a smooth or blank face, where nothing can be matched
    shifts = [face.shift for face in faces if face.shift < 0.5 or face.foreign > 0]
    shift = max(shifts, default=0.0)
    wrong = max((face.foreign for face in faces), default=0.0)
    print(f"shift {shift:.3f} mm, foreign {wrong:.1e}")
    return int(shift > closest or wrong > foreign)
