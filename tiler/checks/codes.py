"""Bar codes: module, magnification, height, quiet zones, check digit, and creases across them.

A desktop print says nothing about the grade of a symbol; size and surroundings are all that is held against
the GS1 figures here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from tiler.checks.finding import Finding
from tiler.checks.limits import Limits
from tiler.checks.sight import Sight
from tiler.checks.symbol import Symbol
from tiler.geometry import Rect
from tiler.units import format_number

NOMINAL = {"EAN-13": 0.33, "EAN-8": 0.33, "UPC-A": 0.33, "ITF-14": 1.016}
"""Module at 100 %, mm (GS1 General Specifications)."""
QUIET = {"EAN-13": (11, 7), "EAN-8": (7, 7), "UPC-A": (9, 9), "ITF-14": (10, 10)}
"""Modules kept free before and after a symbol, as read (GS1 size guide)."""
CLEAR = 40
"""Channel steps by which a pixel must leave the ground's colour to disturb a quiet zone."""
FINE = 24.0
"""Pixels per mm of the picture in which quiet zones are measured."""


def code_findings(sight: Sight, limits: Limits, symbols: Sequence[Symbol]) -> Iterator[Finding]:
    """All findings on bar codes but their distance to cuts and creases."""
    for symbol in symbols:
        if sight.is_printed(symbol.box):
            yield from _size(symbol, limits)
            yield from _place(sight, symbol, limits)


def with_room(symbols: Sequence[Symbol], findings: Sequence[Finding]) -> tuple[Symbol, ...]:
    """The symbols without a finding on creases or quiet zones."""
    crowded = {found.box for found in findings if found.rule in ("code.crease", "code.quiet_zone")}
    return tuple(symbol for symbol in symbols if symbol.box not in crowded)


def _size(symbol: Symbol, limits: Limits) -> Iterator[Finding]:
    """Module, height and check digit."""
    itf = "_itf" if symbol.kind == "ITF-14" else ""
    percent = format_number(symbol.module / NOMINAL[symbol.kind] * 100, 0)
    told = f"{symbol.name}: module of {format_number(symbol.module, 3)} mm ({percent} %)"
    least, most = limits["code_module" + itf], limits["code_module_most" + itf]
    if least.is_below(symbol.module):
        message = f"{told}, below {format_number(least.value, 3)} mm"
        yield least.finding("code.module", symbol.box, message, symbol.module)
    if most.severity is not None and symbol.module > most.value * 1.005:
        message = f"{told}, above {format_number(most.value, 3)} mm"
        yield most.finding("code.module", symbol.box, message, symbol.module)
    height = limits[
        "code_height_itf" if itf else "code_height_ean8" if symbol.kind == "EAN-8" else "code_height"
    ]
    wanted = height.value if itf else height.value * symbol.module / NOMINAL[symbol.kind]
    if height.severity is not None and symbol.height < wanted * 0.99:
        message = (
            f"{symbol.name}: bars {format_number(symbol.height, 2)} mm high, below {format_number(wanted, 2)}"
        )
        message += " mm" if itf else f" mm for {percent} %"
        found = height.finding("code.height", symbol.box, message, symbol.height)
        yield replace(found, limit=wanted)
    digit = limits["code_check_digit"]
    if digit.severity is not None and not symbol.has_right_check_digit:
        message = f"{symbol.name}: the last digit is not its check digit"
        yield digit.finding("code.check_digit", symbol.box, message)


def _place(sight: Sight, symbol: Symbol, limits: Limits) -> Iterator[Finding]:
    """Creases across the symbol, and its quiet zones."""
    crease = limits["code_on_crease"]
    zones = quiet_zones(symbol)
    whole = symbol.box
    for zone in zones:
        whole = whole.union(zone)
    shape = shapely.box(whole.x, whole.y, whole.right, whole.bottom)
    if crease.severity is not None and shapely.intersects(sight.folds, shape):
        yield crease.finding(
            "code.crease", symbol.box, f"{symbol.name} lies across a crease, quiet zones counted"
        )
        return
    limit = limits["code_quiet_zone"]
    if limit.severity is None:
        return
    misses = []
    for zone, side, modules in zip(zones, ("left", "right"), QUIET[symbol.kind], strict=True):
        wanted = modules * symbol.module * limit.value
        measured = _free(sight, symbol, zone)
        if measured < wanted * 0.985:
            misses.append((measured / wanted, measured, wanted, side, modules))
    if misses:
        _, measured, wanted, side, modules = min(misses)
        message = (
            f"{symbol.name}: quiet zone at its {side} {format_number(measured, 2)} mm, "
            f"below {format_number(wanted, 2)} mm ({modules} modules)"
        )
        found = limit.finding("code.quiet_zone", symbol.box, message, measured)
        yield replace(found, limit=wanted, unit="mm")


def quiet_zones(symbol: Symbol) -> tuple[Rect, Rect]:
    """Where the symbol must be alone: before and after it, as it reads; as high as its bars."""
    before, after = (modules * symbol.module for modules in QUIET[symbol.kind])
    first, last = (after, before) if symbol.is_backwards else (before, after)
    box = symbol.box
    if symbol.is_upright:
        zones = Rect(box.x, box.y - first, box.width, first), Rect(box.x, box.bottom, box.width, last)
    else:
        zones = Rect(box.x - first, box.y, first, box.height), Rect(box.right, box.y, last, box.height)
    return (zones[1], zones[0]) if symbol.is_backwards else zones


def _free(sight: Sight, symbol: Symbol, zone: Rect) -> float:
    """How much of a quiet zone is free, from the symbol outwards, mm; a module more than the zone at most."""
    depth = (zone.height if symbol.is_upright else zone.width) + symbol.module
    outwards = zone.y < symbol.box.y if symbol.is_upright else zone.x < symbol.box.x
    window = _window(symbol, depth, outwards)
    values = np.asarray(sight.zoom(window, FINE).convert("RGB")).astype(np.int16)
    values = values.transpose(1, 0, 2) if symbol.is_upright else values
    values = values[:, ::-1] if outwards else values
    start = round(0.5 * symbol.module * FINE)  # the last bar's soft edge is no disturbance
    ground = np.median(values[:, start : start + max(2, round(symbol.module * FINE))].reshape(-1, 3), axis=0)
    disturbed = (np.abs(values - ground).max(axis=2) > CLEAR).sum(axis=0) >= 2
    found = np.flatnonzero(disturbed[start:])
    free = (found[0] + start) / FINE if len(found) else depth
    return min(float(free), _to_cut(sight, symbol, window), depth)


def _window(symbol: Symbol, depth: float, before: bool) -> Rect:
    """The part beside a symbol that must be free, within the middle of its bars' height."""
    box = symbol.box
    if symbol.is_upright:
        # The digits stand beside the longer guard bars; all bars have the middle in common.
        left = box.x + 0.25 * box.width
        return Rect(left, box.y - depth if before else box.bottom, 0.5 * box.width, depth)
    top = box.y + 0.25 * box.height
    return Rect(box.x - depth if before else box.right, top, depth, 0.5 * box.height)


def _to_cut(sight: Sight, symbol: Symbol, window: Rect) -> float:
    """Distance from the symbol to a cut beside it, mm; infinite when none is near."""
    beside = shapely.box(window.x, window.y, window.right, window.bottom)
    near = shapely.intersection(sight.cuts, beside)
    if shapely.is_empty(near):
        return float("inf")
    box = symbol.box
    return float(shapely.distance(near, shapely.box(box.x, box.y, box.right, box.bottom)))
