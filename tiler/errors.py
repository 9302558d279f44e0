"""What can go wrong, as one tree and with one shape: a sentence, a remedy and an exit code.

TilerError
 ├─ UsageError      the words of the command or ticket cannot be followed (exit 2)
 ├─ FlatError       the flat cannot be read as it is (exit 1)
 ├─ StructureError  its lines cannot be understood (exit 1)
 ├─ PlanError       no plan fulfils the choices made (exit 1)
 ├─ PrinterError    a sheet, profile, reading or device is not usable (exit 1)
 └─ PackError       the output cannot be written (exit 1)
"""

from __future__ import annotations


class TilerError(Exception):
    """A problem told in one sentence, with what to do about it.

    Args:
        message: What is wrong and where, one sentence without the final full stop.
        remedy: What the user can do now, same form; empty when the message says it all.
    """

    exit_code = 1

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        """Message and remedy as one line of text."""
        return f"{self.message}; {self.remedy}" if self.remedy else self.message


class UsageError(TilerError):
    """The words of the command or ticket cannot be followed."""

    exit_code = 2


class FlatError(TilerError):
    """The flat cannot be read as it is."""


class PasswordError(FlatError):
    """The flat is encrypted and the password is missing or wrong."""


class StructureError(TilerError):
    """The lines of the flat cannot be understood."""


class PlanError(TilerError):
    """No plan fulfils the choices made."""


class PrinterError(TilerError):
    """A sheet, printer profile, reading or device is not usable."""


class PackError(TilerError):
    """The output cannot be written."""
