"""Puts the sample flat, which lies beside the program in its source, into what is installed."""

from __future__ import annotations

from pathlib import Path

from setuptools import setup
from setuptools.command.build_py import build_py

SAMPLE = Path("sample_art") / "lid.pdf"


class BuildWithSample(build_py):
    """Copies the sample beside the modules; an editable installation finds it where it lies."""

    def run(self) -> None:
        """Build the modules, then add the sample."""
        super().run()
        if not self.editable_mode and SAMPLE.is_file():
            self.mkpath(str(self._target().parent))
            self.copy_file(str(SAMPLE), str(self._target()))

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        """All files that are built."""
        return [*super().get_outputs(include_bytecode), str(self._target())]

    def _target(self) -> Path:
        return Path(self.build_lib) / "tiler" / "samples" / SAMPLE.name


setup(cmdclass={"build_py": BuildWithSample})
