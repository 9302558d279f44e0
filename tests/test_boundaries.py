"""What may load what, and how large code may grow."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
HEAVY = {"numpy", "PIL", "pypdf", "pypdfium2", "reportlab", "rich", "shapely", "textual"}


def loaded_by(code: str) -> set[str]:
    """Top packages that a fresh interpreter has loaded after running ``code``."""
    script = (
        f"import sys\ntry:\n    {code}\nexcept SystemExit:\n    pass\nsys.stderr.write(' '.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return {name.split(".")[0] for name in done.stderr.split()}


@pytest.mark.parametrize(
    ("module", "never"),
    [
        ("tiler.plan.make", {"pypdf", "reportlab", "rich", "textual", "pypdfium2", "PIL"}),
        ("tiler.marks.sheet", {"pypdf", "reportlab", "rich", "textual", "pypdfium2", "PIL"}),
        ("tiler.flat.raster", {"reportlab", "rich", "textual", "shapely"}),
        ("tiler.pack.writer", {"rich", "textual"}),
        ("tiler.run", {"rich", "textual"}),
    ],
)
def test_a_layer_loads_nothing_of_the_layers_beyond_it(module: str, never: set[str]) -> None:
    assert not loaded_by(f"import {module}") & never


@pytest.mark.parametrize("words", [["--version"], ["--help"], ["mock", "--help"]])
def test_help_and_version_load_nothing_heavy(words: list[str]) -> None:
    assert not loaded_by(f"from tiler.cli import main; main({words!r})") & HEAVY


def test_what_a_pack_needs_is_loaded_while_the_flat_is_drawn() -> None:
    script = (
        "import sys; from tiler.run import PENS, load_pens; load_pens(); print({*PENS} <= {*sys.modules})"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.strip() == "True"
    assert {"numpy", "reportlab", "pypdf"} <= loaded_by("from tiler.run import load_pens; load_pens()")


def test_a_pack_without_structure_checks_or_folding_loads_none_of_them(tmp_path: Path) -> None:
    words = ["mock", "sample_art/sleeve.jpg", "-o", str(tmp_path / "pack.pdf"), "--sheet", "A4"]
    script = f"from tiler.cli import main; import sys; main({words!r}); print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT
    )
    loaded = set(done.stdout.split())
    assert "tiler.pack.writer" in loaded
    assert not loaded & {"shapely", "tiler.fold.box", "tiler.checks.run", "tiler.structure.panels", "rich"}


def test_only_the_ink_imports_reportlab() -> None:
    users = [
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "tiler").rglob("*.py")
        if "reportlab" in {name.split(".")[0] for name in imported_by(path)}
    ]
    assert users == ["tiler/pack/ink.py"]


def imported_by(path: Path) -> set[str]:
    """Names of all modules that a file imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


ORDER = ["units", "geometry", "errors", "flat", "structure", "plan", "marks", "pack", "printers"]
"""Stages in the order of the data; imports only point backwards."""


@pytest.mark.parametrize("stage", ORDER)
def test_imports_only_point_up_the_path_of_the_data(stage: str) -> None:
    home = ROOT / "tiler" / stage
    files = sorted(home.rglob("*.py")) if home.is_dir() else [home.with_suffix(".py")]
    allowed = {*ORDER[: ORDER.index(stage) + 1], "geometry", "errors", "plain", "units"}
    for path in files:
        used = {name.split(".")[1] for name in imported_by(path) if name.startswith("tiler.")}
        assert used <= allowed, path


BESIDE = {
    "checks": {"flat", "structure", "plan", "marks", "pack"},
    "fold": {"flat", "structure", "plan", "marks", "pack", "load"},
}
"""What packages that look at a flat from a side of their own may use; neither looks at the other."""


@pytest.mark.parametrize("package", BESIDE)
def test_checks_and_folding_use_what_lies_before_the_pack_and_not_each_other(package: str) -> None:
    for path in (ROOT / "tiler" / package).rglob("*.py"):
        used = {name.split(".")[1] for name in imported_by(path) if name.startswith("tiler.")}
        assert used <= {package, *BESIDE[package], "geometry", "errors", "plain", "units"}, path


@pytest.mark.parametrize("package", ["checks", "fold", "revision"])
def test_no_front_end_is_used_below_it(package: str) -> None:
    for path in (ROOT / "tiler" / package).rglob("*.py"):
        assert not any(
            name.startswith(("tiler.cli", "tiler.tui", "tiler.batch")) for name in imported_by(path)
        )


def test_the_two_front_ends_do_not_import_each_other_below_their_commands() -> None:
    for path in (ROOT / "tiler" / "tui").rglob("*.py"):
        assert not any(name.startswith("tiler.cli") for name in imported_by(path)), path
    for path in (ROOT / "tiler").rglob("*.py"):
        if "tui" not in path.parts and path.name != "open.py":
            assert not any(name.startswith("tiler.tui") for name in imported_by(path)), path


FILE_LINES, BODY_LINES = 400, 40
"""The budget: a file, and a function's body without its docstring."""


@pytest.mark.parametrize("folder", ["tiler", "sample_art"])
def test_no_file_and_no_function_outgrows_its_budget(folder: str) -> None:
    for path in (ROOT / folder).rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert len(text.splitlines()) <= FILE_LINES, path
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
                length = (node.end_lineno or 0) - first.lineno + 1
                assert length <= BODY_LINES, f"{path}: {node.name} has {length} lines"
