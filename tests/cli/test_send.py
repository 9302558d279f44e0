"""``tiler mock --send``: the map first, a question, then the rest; ``lp`` and ``lpstat`` are stand-ins."""

from __future__ import annotations

import json
import os
import pty
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.flats import flat_pdf
from tiler.cli import main
from tiler.printers.in_use import profiles_folder
from tiler.printers.profile import Profile
from tiler.printers.profile_files import save_profile

LP = """
import json, os
with open(os.environ["SENT"], "a") as sent:
    sent.write(json.dumps(sys.argv[1:]) + "\\n")
if os.environ.get("REFUSES"):
    sys.exit("lp: Error - The printer or class does not exist.")
print("request id is studio-%d (1 file(s))" % (len(open(os.environ["SENT"]).readlines()) + 11))
"""
LPSTAT = """
if "-d" in sys.argv:
    print("system default destination: studio" if "studio" in QUEUES else "no system default destination")
else:
    print("\\n".join(QUEUES))
"""
Said = tuple[int, str, list[list[str]]]
"""Exit code, stderr, and the arguments of each call of ``lp``."""


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a flat; programs are looked for in its ``bin`` alone."""
    programs = tmp_path / "bin"
    programs.mkdir()
    monkeypatch.setenv("PATH", str(programs))
    monkeypatch.setenv("SENT", str(tmp_path / "sent"))
    program(programs / "lp", LP)
    program(programs / "lpstat", LPSTAT, "QUEUES = ['attic', 'studio']")
    flat_pdf(tmp_path / "flat.pdf", size=(800, 600))
    return tmp_path


def program(path: Path, script: str, before: str = "") -> None:
    """A program that runs a few lines of Python."""
    path.write_text(f"#!{sys.executable}\nimport sys\n{before}{script}")
    path.chmod(0o755)


def sent(bench: Path) -> list[list[str]]:
    """Arguments of each call of ``lp`` so far."""
    record = bench / "sent"
    return [json.loads(line) for line in record.read_text().splitlines()] if record.exists() else []


def pages(arguments: list[str]) -> str:
    """The pages that a call prints."""
    return arguments[arguments.index("-P") + 1]


@pytest.fixture
def mock(bench: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., Said]:
    """Runs ``tiler mock`` with more words."""

    def run(*words: str) -> Said:
        words = ("mock", str(bench / "flat.pdf"), "-o", str(bench / "pack.pdf"), "--sheet", "A4", *words)
        code = main(words)
        return code, capsys.readouterr().err, sent(bench)

    return run


@pytest.fixture
def person(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """A real terminal on stdin, with someone who types an answer."""
    ours, theirs = pty.openpty()
    with os.fdopen(theirs, "r") as terminal:
        monkeypatch.setattr(sys, "stdin", terminal)
        yield lambda answer: (os.write(ours, f"{answer}\n".encode()), None)[1]
    os.close(ours)


def test_the_map_goes_first_and_the_rest_after_a_yes(
    mock: Callable[..., Said], person: Callable[[str], None], bench: Path
) -> None:
    person("y")
    code, said, calls = mock("--send", "attic")
    assert code == 0
    options = ["-o", "media=iso_a4_210x297mm", "-o", "print-scaling=none", "-o", "sides=one-sided"]
    assert [call[:8] for call in calls] == [["-d", "attic", *options]] * 2
    assert [call[-2:] for call in calls] == [["--", str(bench / "pack.pdf")]] * 2
    assert pages(calls[0]) == "1"
    assert pages(calls[1]) == "2-4"
    assert "Do both measure 100 mm? [y/N]" in said
    assert "The map was sent (print job studio-12)" in said
    assert "The rest was sent (print job studio-13): pages 2-4." in said


def test_the_proof_list_is_sent_with_the_rest(
    mock: Callable[..., Said], person: Callable[[str], None]
) -> None:
    person("y")
    code, _said, calls = mock("--send", "attic", "--proof")
    assert code == 0
    assert [pages(call) for call in calls] == ["1", "2-5"]


@pytest.mark.parametrize("answer", ["", "n", "no", "what", "98.5"])
def test_anything_but_a_yes_keeps_the_rest_back_and_says_how_to_print_it(
    mock: Callable[..., Said], person: Callable[[str], None], answer: str
) -> None:
    person(answer)
    code, said, calls = mock("--send")
    assert code == 0
    assert [pages(call) for call in calls] == ["1"]
    last = said.splitlines()[-1]
    assert "Only the map was sent" in last
    assert "lp -o media=iso_a4_210x297mm -o print-scaling=none -o sides=one-sided -P 2-4 -- " in last


def test_without_a_terminal_nobody_is_asked_and_the_map_alone_is_sent(
    mock: Callable[..., Said], monkeypatch: pytest.MonkeyPatch
) -> None:
    with open(os.devnull) as nothing:
        monkeypatch.setattr(sys, "stdin", nothing)
        code, said, calls = mock("--send")
    assert code == 0
    assert [pages(call) for call in calls] == ["1"]
    assert "[y/N]" not in said
    assert "-P 2-4" in said.splitlines()[-1]


def test_stopping_at_the_question_keeps_the_rest_back(
    mock: Callable[..., Said], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Impatient:
        def isatty(self) -> bool:
            return True

        def readline(self) -> str:
            raise KeyboardInterrupt

    monkeypatch.setattr(sys, "stdin", Impatient())
    code, said, calls = mock("--send")
    assert code == 0
    assert [pages(call) for call in calls] == ["1"]
    assert "Only the map was sent" in said


@pytest.mark.parametrize("flip", ["long", "short"])
def test_an_inside_print_is_sent_two_sided_and_the_map_with_its_back(
    mock: Callable[..., Said], person: Callable[[str], None], bench: Path, flip: str
) -> None:
    flat_pdf(bench / "inside.pdf", size=(800, 600))
    person("yes")
    code, said, calls = mock("--inside", str(bench / "inside.pdf"), "--flip", flip, "--send")
    assert code == 0
    assert all(f"sides=two-sided-{flip}-edge" in call for call in calls)  # RFC 8011, 5.2.8
    first, last = pages(calls[1]).split("-")
    assert pages(calls[0]) == "1-2"
    assert first == "3"
    assert int(last) % 2 == 0
    assert "do the bars on its back lie on those of its front?" in said


def test_the_queue_of_the_printer_profile_is_the_one_that_is_meant(
    mock: Callable[..., Said], person: Callable[[str], None]
) -> None:
    save_profile(profiles_folder(), Profile("office", queue="attic"))
    person("n")
    _, _, calls = mock("--send", "--printer", "office")
    assert calls[0][:2] == ["-d", "attic"]


def test_a_named_queue_wins_over_the_profile(
    mock: Callable[..., Said], person: Callable[[str], None]
) -> None:
    save_profile(profiles_folder(), Profile("office", queue="attic"))
    person("n")
    _, _, calls = mock("--printer", "office", "--send", "studio/draft")
    assert calls[0][:2] == ["-d", "studio/draft"]


@pytest.mark.parametrize(
    ("queue", "sentence"),
    [
        ("cellar", "there is no print queue 'cellar'; the system has attic, studio"),
        ("two words", "'two words' cannot be the name of a print queue"),
    ],
)
def test_a_queue_that_cannot_be_is_refused_before_any_work(
    mock: Callable[..., Said], bench: Path, queue: str, sentence: str
) -> None:
    code, said, calls = mock("--send", queue)
    assert code == 1
    assert sentence in said
    assert said.count("\n") == 1
    assert not calls
    assert not (bench / "pack.pdf").exists()


def test_without_a_default_queue_one_must_be_named(mock: Callable[..., Said], bench: Path) -> None:
    program(bench / "bin" / "lpstat", LPSTAT, "QUEUES = ['attic']")
    code, said, calls = mock("--send")
    assert code == 1
    assert "no print queue is the default; name one, as in --send NAME; there is attic" in said
    assert not calls


def test_a_refusal_of_the_print_system_is_told_and_the_pack_stays(
    mock: Callable[..., Said], bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REFUSES", "1")
    code, said, calls = mock("--send")
    assert code == 1
    assert "refused the pack (The printer or class does not exist)" in said.splitlines()[-1]
    assert len(calls) == 1
    assert (bench / "pack.pdf").exists()


def test_without_lp_the_sentence_says_how_to_print(mock: Callable[..., Said], bench: Path) -> None:
    (bench / "bin" / "lp").unlink()
    (bench / "bin" / "lpstat").unlink()
    code, said, _ = mock("--send")
    assert code == 1
    assert "no lp command" in said.splitlines()[-1]


def test_without_send_nothing_is_sent(mock: Callable[..., Said]) -> None:
    code, said, calls = mock()
    assert code == 0
    assert not calls
    assert "was sent" not in said


def test_stdout_stays_json_while_the_pack_is_sent(
    bench: Path, capsys: pytest.CaptureFixture[str], person: Callable[[str], None]
) -> None:
    person("y")
    words = ["mock", str(bench / "flat.pdf"), "-o", str(bench / "pack.pdf"), "--sheet", "A4"]
    assert main([*words, "--send", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["pages"]["map"] == [1]
    assert len(sent(bench)) == 2
