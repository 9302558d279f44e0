"""Writing beside and renaming: whole or not at all."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from tiler.errors import PackError
from tiler.pack.target import check_target, replaced


def names(folder: Path) -> list[str]:
    """What lies in a folder."""
    return sorted(entry.name for entry in folder.iterdir())


def test_a_file_appears_whole_and_alone(tmp_path: Path) -> None:
    with replaced(tmp_path / "pack.pdf") as stream:
        stream.write(b"new")
        assert not (tmp_path / "pack.pdf").exists()
    assert (tmp_path / "pack.pdf").read_bytes() == b"new"
    assert names(tmp_path) == ["pack.pdf"]


@pytest.mark.parametrize("problem", [OSError(28, "No space left"), ValueError("else"), KeyboardInterrupt()])
def test_a_failure_leaves_the_old_file_and_nothing_beside(tmp_path: Path, problem: BaseException) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"old")
    expected = PackError if isinstance(problem, OSError) else type(problem)
    with pytest.raises(expected), replaced(target) as stream:  # noqa: PT012
        stream.write(b"half")
        raise problem
    assert target.read_bytes() == b"old"
    assert names(tmp_path) == ["pack.pdf"]


def test_the_rights_of_the_old_file_stay(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"old")
    target.chmod(0o640)
    with replaced(target) as stream:
        stream.write(b"new")
    assert target.stat().st_mode & 0o777 == 0o640


def test_a_symbolic_link_stays_one_and_the_file_behind_it_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    (tmp_path / "far" / "real.pdf").write_bytes(b"old")
    link = tmp_path / "pack.pdf"
    link.symlink_to(tmp_path / "far" / "real.pdf")
    with replaced(link) as stream:
        stream.write(b"new")
    assert link.is_symlink()
    assert (tmp_path / "far" / "real.pdf").read_bytes() == b"new"
    assert names(tmp_path / "far") == ["real.pdf"]


def test_what_a_killed_run_left_is_swept_and_strangers_stay(tmp_path: Path) -> None:
    for name in (
        ".pack.pdf.999999-1.part",
        ".pack.pdf.1-3.part",
        ".pack.pdf.note.part",
        ".other.pdf.5-1.part",
    ):
        (tmp_path / name).write_bytes(b"half")
    with replaced(tmp_path / "pack.pdf") as stream:
        stream.write(b"new")
    assert names(tmp_path) == [".other.pdf.5-1.part", ".pack.pdf.note.part", "pack.pdf"]


@pytest.mark.skipif(os.name == "nt", reason="Windows holds open files by itself")
def test_a_run_still_at_work_is_not_swept(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    with replaced(target) as slow:
        slow.write(b"slow")
        with replaced(target) as quick:
            quick.write(b"quick")
        assert target.read_bytes() == b"quick"
        assert len(names(tmp_path)) == 2
    assert target.read_bytes() == b"slow"
    assert names(tmp_path) == ["pack.pdf"]


def test_runs_at_the_same_time_never_mix(tmp_path: Path) -> None:
    target, length, problems = tmp_path / "pack.pdf", 200_000, []

    def write(letter: bytes) -> None:
        try:
            for _ in range(10):
                with replaced(target) as stream:
                    for _ in range(length // 1000):
                        stream.write(letter * 1000)
        except Exception as problem:  # told to the test's own thread
            problems.append(problem)

    threads = [threading.Thread(target=write, args=(letter,)) for letter in (b"a", b"b", b"c")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert problems == []
    content = target.read_bytes()
    assert len(content) == length
    assert len(set(content)) == 1
    assert names(tmp_path) == ["pack.pdf"]


def test_a_process_killed_while_writing_leaves_the_old_file(tmp_path: Path) -> None:
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"old")
    program = (
        "import os, signal, sys; from pathlib import Path; from tiler.pack.target import replaced\n"
        "with replaced(Path(sys.argv[1])) as stream:\n"
        "    stream.write(b'half'); stream.flush(); os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    root = Path(__file__).parent.parent.parent
    subprocess.run([sys.executable, "-c", program, str(target)], cwd=root, check=False, timeout=30)
    assert target.read_bytes() == b"old"
    assert len(names(tmp_path)) == 2
    with replaced(target) as stream:
        stream.write(b"new")
    assert names(tmp_path) == ["pack.pdf"]


@pytest.mark.parametrize(
    ("name", "said"),
    [("n" * 300, "cannot be written"), ("none/pack.pdf", "there is no such folder"), (".", "is a folder")],
)
def test_an_impossible_place_is_refused_at_once(tmp_path: Path, name: str, said: str) -> None:
    with pytest.raises(PackError, match=said):
        check_target(tmp_path / name, [])


def test_a_circle_of_links_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    with pytest.raises(PackError, match="cannot be written"):
        check_target(tmp_path / "a", [])


def test_a_name_at_the_limit_of_the_file_system_is_told(tmp_path: Path) -> None:
    with pytest.raises(PackError, match="too long"), replaced(tmp_path / ("n" * 254)) as stream:
        stream.write(b"never")
    assert names(tmp_path) == []
