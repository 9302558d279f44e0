"""Every kind of fault is found on the flat it was planted on, with its measure; the clean twin has none."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from tests.checks.planted import planted
from tests.flat.text_art import SANS
from tests.sample_plans import A4
from tiler.checks.finding import Finding, Report
from tiler.checks.run import run_checks
from tiler.flat.read import Wanted
from tiler.job import Job
from tiler.load import load

POINT = 25.4 / 72
_FONT = TTFont(SANS)
_UNITS = _FONT["head"].unitsPerEm


def _top(letter: str) -> float:
    return float(_FONT["glyf"][_FONT.getBestCmap()[ord(letter)]].yMax) / float(_UNITS)


def _left(letter: str) -> float:
    return float(_FONT["hmtx"][_FONT.getBestCmap()[ord(letter)]][1]) / float(_UNITS)


EXPECTED: dict[str, tuple[str, float | None]] = {
    "size": ("text.size", 4.0),
    "reversed": ("text.reversed", 5.0),
    "quantity": ("text.quantity", _top("H") * 12 * POINT),
    "x height": ("text.x_height", _top("x") * 9 * POINT),
    "near cut": ("bleed.safe_zone", 1 + _left("H") * 12 * POINT),
    "ppi": ("image.ppi", 118 / 15 * 25.4),
    "line art": ("image.line_art", 236 / 15 * 25.4),
    "stretched": ("image.stretched", (236 / 207 - 1) * 100),
    "thin": ("line.width", 0.1),
    "hairline": ("line.hairline", 0.0),
    "reversed line": ("line.reversed", 0.5),
    "bleed": ("bleed.short", 1.5),
    "module": ("code.module", 0.25),
    "height": ("code.height", 12.0),
    "quiet zone": ("code.quiet_zone", 1.5),
    "check digit": ("code.check_digit", None),
    "crease": ("code.crease", None),
    "rgb": ("colour.rgb", None),
    "spot": ("colour.spot", None),
    "font": ("colour.font", None),
    "white overprint": ("colour.white_overprint", None),
    "double cut": ("structure.double_cut", 30.0),
    "loose crease": ("structure.loose_crease", 140.0),
    "unequal": ("structure.unequal_panels", 1.0),
    "open outline": ("structure.open_outline", 4.0),
}
"""Fault to the rule that must find it and what it must measure there."""

APART = ("unequal", "bleed")
"""Faults that move the cut edge which others are measured from; each has a flat of its own."""


def checked(path: Path) -> Report:
    loaded = load(Job(flat=path, sheet=A4, wanted=Wanted()))
    return run_checks(loaded.flat, loaded.structure)


def found(report: Report, rule: str) -> list[Finding]:
    return [finding for finding in report.findings if finding.rule == rule]


def test_the_clean_twin_has_no_finding(tmp_path: Path) -> None:
    report = checked(planted(tmp_path / "clean.pdf", ()))
    assert [(finding.rule, finding.message) for finding in report.findings] == []
    assert len(report.texts) == 5


@pytest.fixture(scope="module")
def faulty(tmp_path_factory: pytest.TempPathFactory) -> Report:
    faults = [fault for fault in EXPECTED if fault not in APART]
    return checked(planted(tmp_path_factory.mktemp("planted") / "faulty.pdf", faults))


@pytest.mark.parametrize("fault", [fault for fault in EXPECTED if fault not in APART])
def test_every_planted_fault_is_found_once_with_its_measure(faulty: Report, fault: str) -> None:
    rule, measured = EXPECTED[fault]
    (finding,) = found(faulty, rule)
    assert finding.measured == (None if measured is None else pytest.approx(measured, rel=0.02, abs=1e-9))
    assert finding.source


def test_nothing_else_is_found_on_the_faulty_flat(faulty: Report) -> None:
    assert sorted(finding.rule for finding in faulty.findings) == sorted(
        rule for fault, (rule, _) in EXPECTED.items() if fault not in APART
    )


@pytest.mark.parametrize("fault", APART)
def test_faults_at_the_edge_are_found_alone(tmp_path: Path, fault: str) -> None:
    rule, measured = EXPECTED[fault]
    report = checked(planted(tmp_path / "edge.pdf", (fault,)))
    (finding,) = found(report, rule)
    assert finding.measured == pytest.approx(measured, rel=0.02)
