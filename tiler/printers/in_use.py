"""Which printer is in use: a small file in the user's folder. Loaded by every command, so it loads little."""

from __future__ import annotations

from pathlib import Path

from tiler.errors import PrinterError

LARGEST_FILE = 1_000_000
"""Bytes; a profile has a few hundred."""


def profiles_folder() -> Path:
    """The user's folder for tiler's settings, as the system has it."""
    from platformdirs import user_config_path

    return user_config_path("tiler", appauthor=False)


def default_name(folder: Path) -> str | None:
    """Name of the default printer; None when none was chosen.

    Raises:
        PrinterError: The file with the choice is broken.
    """
    path = folder / "default.toml"
    if not path.exists():
        return None
    import tomllib

    try:
        name = tomllib.loads(settings_text(path)).get("printer")
    except tomllib.TOMLDecodeError:
        name = None
    if not isinstance(name, str):
        raise PrinterError(f"{path} does not name a printer", 'write in it printer = "NAME", or delete it')
    return name


def settings_text(path: Path) -> str:
    """Text of a settings file.

    Raises:
        PrinterError: It is too long, no text, or cannot be read.
    """
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise PrinterError(f"{path} is far too long for a printer profile", "delete it and measure anew")
        return path.read_text("utf-8")
    except UnicodeDecodeError:
        raise PrinterError(f"{path} is no text in UTF-8", "delete it and measure anew") from None
    except OSError as error:
        raise PrinterError(f"{path} cannot be read ({error.strerror})", "check the file") from None
