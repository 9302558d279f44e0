"""The command line: words in, exit code out. Results go to stdout, everything else to stderr.

Exit codes: 0 done, 1 the flat or the job has a problem, 2 wrong use, 3 checks found faults (``--strict``).
"""

from __future__ import annotations

import contextlib
import gc
import io
import logging
import os
import sys
from collections.abc import Sequence

from tiler.errors import TilerError
from tiler.plain import ESCAPED, plain

INTERRUPTED = 130
"""Exit code after Ctrl+C, as shells expect it (128 + SIGINT)."""


GARBAGE = 50_000
"""New objects between two searches for dead rings of them: a run makes much and drops little, and pypdf's
objects alone have it search for a tenth of the time otherwise."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    from tiler.cli.parser import build_parser

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # its remarks on sloppy files are not for users
    _ready_surroundings()
    gc.set_threshold(GARBAGE, 20, 20)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy adds up small tables here; threads only cost
    arguments = sys.argv[1:] if arguments is None else arguments
    options = build_parser(arguments[0] if arguments else None).parse_args(arguments)
    try:
        code = int(options.command(options))
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except TilerError as problem:
        return _tell(str(problem), problem.exit_code)
    except KeyboardInterrupt:
        return _tell("stopped; nothing was written", INTERRUPTED)
    except MemoryError:
        return _tell("there is not enough memory for this flat; close other programs or simplify it", 1)
    except BrokenPipeError:
        _silence()
        return 1
    except OSError as problem:
        _silence()  # or Python complains once more when it flushes at its end
        return _tell(f"the output cannot be written ({problem.strerror or problem}); choose another place", 1)


def _ready_surroundings() -> None:
    """Make streams and environment such that nothing later trips over them."""
    if sys.stderr is None:  # closed by the caller, as some schedulers do
        sys.stderr = io.open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, UP020 - as long as the program runs
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors=ESCAPED)
    if not os.environ.get("SOURCE_DATE_EPOCH", "0").isdecimal():
        del os.environ["SOURCE_DATE_EPOCH"]  # no time, so it says nothing; reportlab would stop at it


def _silence() -> None:
    """Let nothing more go to stdout."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _tell(sentence: str, code: int) -> int:
    """Say on stderr what went wrong."""
    print(f"tiler: {plain(sentence)}", file=sys.stderr)
    return code
