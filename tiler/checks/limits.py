"""Limits of the checks: the defaults with their sources, and a profile laid over them."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass, replace
from importlib import resources
from pathlib import Path
from typing import Any

from tiler.checks.finding import Finding, Severity
from tiler.errors import UsageError
from tiler.geometry import Rect

OFF = "off"
"""The severity that switches a limit off."""

SLACK = 0.005
"""A value this share below its limit still passes: drawing programs round."""


@dataclass(frozen=True)
class Limit:
    """One number that something is held against."""

    name: str
    value: float
    unit: str
    severity: Severity | None
    """None when the limit is switched off."""
    source: str
    label: str = ""
    """What the limit is for, in few words; empty where the rule says it."""

    def is_below(self, measured: float) -> bool:
        """True when the measured value misses the limit from below and the limit is on."""
        return self.severity is not None and measured < self.value * (1 - SLACK)

    def finding(self, rule: str, box: Rect, message: str, measured: float | None = None) -> Finding:
        """A finding against this limit, which must not be off."""
        assert self.severity is not None, "a limit that is off finds nothing"
        limit = None if measured is None else self.value
        return Finding(rule, self.severity, box, message, self.source, measured, limit, self.unit)


class Limits:
    """All limits, by name.

    Args:
        limits: Every limit that the checks know.
    """

    def __init__(self, limits: dict[str, Limit]) -> None:
        self._limits = limits

    def __getitem__(self, name: str) -> Limit:
        return self._limits[name]

    @property
    def names(self) -> tuple[str, ...]:
        """Of all limits."""
        return tuple(self._limits)

    def with_profile(self, profile: dict[str, Any], origin: str) -> Limits:
        """The limits with those of a profile in their place.

        Args:
            profile: Name to table of ``value``, ``severity`` and ``source``, each optional.
            origin: What the profile is called in messages and as source.

        Raises:
            UsageError: A name or value cannot be understood.
        """
        changed = dict(self._limits)
        for name, table in profile.items():
            if name not in changed:
                raise UsageError(
                    f"{origin}: there is no limit '{name}'", f"the limits are {', '.join(self._limits)}"
                )
            changed[name] = _changed(changed[name], table, origin)
        return Limits(changed)


LARGEST_FILE = 1_000_000
"""Bytes; a file of limits has a few thousand."""


def default_limits() -> Limits:
    """The limits that come with the program."""
    text = resources.files("tiler.checks").joinpath("limits.toml").read_text("utf-8")
    tables = tomllib.loads(text)
    return Limits(
        {
            name: Limit(
                name,
                float(table["value"]),
                table["unit"],
                Severity(table["severity"]),
                table["source"],
                table.get("label", ""),
            )
            for name, table in tables.items()
        }
    )


def read_limits(profile: Path | None) -> Limits:
    """The default limits, with a profile of one's own laid over them.

    Raises:
        UsageError: The profile cannot be read or understood.
    """
    limits = default_limits()
    if profile is None:
        return limits
    try:
        with profile.open("rb") as stream:
            text = stream.read(LARGEST_FILE + 1)
        if len(text) > LARGEST_FILE:
            raise UsageError(f"{profile}: is far too long for a file of limits", "check the name")
        tables = tomllib.loads(text.decode("utf-8"))
    except OSError as problem:
        raise UsageError(f"{profile}: cannot be read ({problem.strerror})", "check name and rights") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise UsageError(
            f"{profile.name}: is no valid TOML ({problem})", "correct the line it names"
        ) from None
    return limits.with_profile(tables, profile.name)


def _changed(limit: Limit, table: object, origin: str) -> Limit:
    """One limit with what a profile says of it.

    Raises:
        UsageError: It says something that cannot be understood.
    """
    where = f"{origin}, [{limit.name}]"
    if not isinstance(table, dict):
        raise UsageError(f"{where} is no table", f"write [{limit.name}] and below it value = {limit.value:g}")
    unknown = set(table) - {"value", "severity", "source", "unit"}
    if unknown:
        raise UsageError(f"{where}: there is no '{min(unknown)}'", "write value, severity or source")
    if table.get("unit", limit.unit) != limit.unit:
        raise UsageError(f"{where}: the unit is {limit.unit or 'none'}", "give the value in it")
    value = table.get("value", limit.value)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < math.inf:
        raise UsageError(f"{where}: the value {value!r} is no number of 0 or more", "write value = 4.5")
    severity = table.get("severity", OFF if limit.severity is None else str(limit.severity))
    if severity not in (*Severity, OFF):
        raise UsageError(f"{where}: there is no severity '{severity}'", "write fault, warning, note or off")
    source = str(table.get("source", limit.source if value == limit.value else f"profile {origin}"))
    return replace(
        limit,
        value=float(value),
        severity=None if severity == OFF else Severity(severity),
        source=source,
    )
