"""A printer profile and a calibration in few words. Pure."""

from __future__ import annotations

from tiler.printers.calibration import Calibration
from tiler.printers.profile import Profile
from tiler.printers.sheets import sheet_label
from tiler.units import format_number


def profile_words(profile: Profile) -> str:
    """What a profile knows, in one line."""
    sheets = ", ".join(sheet_label(loaded.sheet) for loaded in profile.sheets) or "margins not measured"
    if profile.measured is None:
        return f"{sheets}; scale not measured"
    across, along = (format_number(100 * scale, 2) for scale in (profile.scale_x, profile.scale_y))
    skew = format_number(profile.skew, 2)
    return f"{sheets}; prints {across} % across, {along} % along, skew {skew}° ({profile.measured})"


def scale_words(found: Calibration) -> tuple[str, str, str]:
    """Scale across, scale along and skew, each with twice its standard uncertainty.

    Twice the standard uncertainty holds in about 19 of 20 cases (JCGM 100:2008, 6.3.3).
    """
    across, along = (
        f"{100 * scale:.2f} % ± {200 * error:.2f}"
        for scale, error in ((found.scale_x, found.error_x), (found.scale_y, found.error_y))
    )
    if found.error_skew is None:
        return across, along, "not known without a diagonal"
    return across, along, f"{found.skew:+.2f}° ± {2 * found.error_skew:.2f}°"
