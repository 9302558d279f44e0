"""Every test has its own settings folder and sees no clock from outside."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_settings(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the printer profiles and the locale of whoever runs the tests out of them."""
    home: Path = tmp_path_factory.mktemp("settings")
    for name in ("XDG_CONFIG_HOME", "HOME", "APPDATA", "LOCALAPPDATA", "USERPROFILE"):
        monkeypatch.setenv(name, str(home))
    for name in ("SOURCE_DATE_EPOCH", "LC_ALL", "LC_PAPER", "LANG", "NO_COLOR", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
