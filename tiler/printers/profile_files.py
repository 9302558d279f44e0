"""Printer profiles as files in the user's folder, one for each printer, and which of them is the default.

::

    FOLDER/default.toml              printer = "Studio laser"
    FOLDER/printers/studio-laser.toml
"""

from __future__ import annotations

import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tiler.errors import PrinterError
from tiler.printers.in_use import default_name, settings_text
from tiler.printers.profile import Profile
from tiler.printers.profile_text import read_profile, write_profile

_NAME = re.compile(r"\w(?:[\w .()+-]{0,58}[\w)+])?")
_DEVICES = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]")
"""File names that Windows keeps for devices."""


@dataclass(frozen=True)
class Listing:
    """What lies in the folder."""

    profiles: tuple[Profile, ...]
    """Readable ones, by name."""
    default: str | None
    """Name of the default printer, if one was chosen."""
    problems: tuple[str, ...]
    """A sentence for each file that cannot be used."""


def profile_path(folder: Path, name: str) -> Path:
    """Where the profile of that name lies.

    Raises:
        PrinterError: The name is not usable.
    """
    tidy = " ".join(name.split())
    stem = tidy.lower().replace(" ", "-")
    if not _NAME.fullmatch(tidy) or _DEVICES.fullmatch(stem):
        raise PrinterError(
            f"'{name[:60]}' cannot be the name of a printer profile",
            "use letters, digits, spaces, - and _ (at most 60)",
        )
    return folder / "printers" / f"{stem}.toml"


def load_profile(folder: Path, name: str) -> Profile:
    """The profile of that name; case and spaces do not matter.

    Raises:
        PrinterError: There is none, or it cannot be used.
    """
    path = profile_path(folder, name)
    if not path.exists():
        known = [profile.name for profile in list_profiles(folder).profiles]
        remedy = (
            f"there are {', '.join(known)}"
            if known
            else "make one with: tiler printer calibrate, then measure"
        )
        raise PrinterError(f"there is no printer profile '{name}' in {path.parent}", remedy)
    return read_profile(settings_text(path), str(path))


def save_profile(folder: Path, profile: Profile, replace: bool = False) -> Path:
    """Write the profile in one stroke; the old file stays as it was when that fails.

    Args:
        folder: The user's folder.
        profile: What to write.
        replace: True allows to overwrite the profile of that name.

    Raises:
        PrinterError: There is such a profile, or it cannot be written.
    """
    path = profile_path(folder, profile.name)
    if path.exists() and not replace:
        raise PrinterError(
            f"there is already a printer profile '{profile.name}' ({path})",
            "choose another name, or ask for it to be replaced",
        )
    _write(path, write_profile(profile))
    return path


def list_profiles(folder: Path) -> Listing:
    """All profiles; broken files become sentences, so that one of them does not hide the others."""
    profiles, problems = [], []
    for path in sorted((folder / "printers").glob("*.toml")):
        try:
            profiles.append(read_profile(settings_text(path), str(path)))
        except PrinterError as error:
            problems.append(str(error))
    try:
        default = default_name(folder)
    except PrinterError as error:
        default = None
        problems.append(str(error))
    return Listing(tuple(profiles), default, tuple(problems))


def use_profile(folder: Path, name: str) -> Profile:
    """Make this the default printer.

    Raises:
        PrinterError: There is no such profile, or the choice cannot be written.
    """
    import tomlkit

    profile = load_profile(folder, name)
    _write(folder / "default.toml", tomlkit.dumps({"printer": profile.name}))
    return profile


def default_profile(folder: Path) -> Profile | None:
    """The default printer; None when none was chosen.

    Raises:
        PrinterError: The chosen profile is missing or broken.
    """
    name = default_name(folder)
    return None if name is None else load_profile(folder, name)


def _write(path: Path, text: str) -> None:
    """Write beside and rename, so that a reader sees the old file or the new one, never half of one."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        raise PrinterError(
            f"{path.parent} cannot be written ({error.strerror})", "check the folder's permissions"
        ) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(beside, path)
    except OSError as error:
        Path(beside).unlink(missing_ok=True)
        raise PrinterError(
            f"{path} cannot be written ({error.strerror})", "check disk and permissions"
        ) from None
