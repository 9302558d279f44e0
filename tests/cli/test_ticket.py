"""Job tickets stand for a flat wherever one is taken."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.flats import flat_pdf
from tiler.cli import main
from tiler.fold.choices import FoldChoices
from tiler.geometry import Point
from tiler.job import CheckPoint
from tiler.ticket import load_ticket

SAMPLES = Path(__file__).parent.parent.parent / "sample_art"


def plan_of(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["plan", *words, "--json"]) == 0
    plan: dict[str, object] = json.loads(capsys.readouterr().out)
    return plan


def test_a_ticket_gives_the_same_plan_as_the_choices_it_holds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    words = ["--sheet", "A3", "--overlap", "15mm", "--margins", "5", "--crease", "100,0,100,240"]
    assert main(["ticket", str(flat), "-o", str(tmp_path / "job.toml"), *words]) == 0
    capsys.readouterr()
    assert plan_of(capsys, str(tmp_path / "job.toml")) == plan_of(capsys, str(flat), *words)


def test_words_on_the_command_line_win_over_the_ticket(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    main(["ticket", str(flat), "-o", str(tmp_path / "job.toml"), "--sheet", "A3", "--overlap", "15mm"])
    capsys.readouterr()
    plan = plan_of(capsys, str(tmp_path / "job.toml"), "--sheet", "A4")
    assert plan["sheet"] == {"name": "iso_a4_210x297mm", "width": 210.0, "height": 297.0}
    assert plan["overlap"] == 15.0


def test_a_ticket_makes_the_same_pack(tmp_path: Path) -> None:
    flat = flat_pdf(tmp_path / "a.pdf")
    main(["ticket", str(flat), "-o", str(tmp_path / "job.toml"), "--sheet", "letter"])
    assert main(["mock", str(tmp_path / "job.toml"), "-o", str(tmp_path / "p.pdf")]) == 0
    assert main(["mock", str(flat), "-o", str(tmp_path / "q.pdf"), "--sheet", "letter"]) == 0
    assert (tmp_path / "p.pdf").read_bytes() == (tmp_path / "q.pdf").read_bytes()


@pytest.mark.parametrize(
    ("text", "code", "sentence"),
    [
        (None, 1, "there is no such file"),
        ("flat = [", 2, "is not a job ticket"),
        ("version = 1\nglitter = 3\n", 2, "'glitter' is not known"),
    ],
    ids=["missing", "broken", "unknown key"],
)
def test_a_ticket_that_cannot_be_used_is_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str | None, code: int, sentence: str
) -> None:
    path = tmp_path / "job.toml"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    assert main(["plan", str(path)]) == code
    err = capsys.readouterr().err
    assert sentence in err
    assert err.count("\n") == 1


def test_the_command_alone_says_what_to_do_where_there_is_no_terminal(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main([]) == 2
    assert "the screen needs a terminal; write a pack with: tiler mock" in capsys.readouterr().err


def test_several_flats_become_the_parts_of_one_ticket(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from tiler.parts import load_parts

    lid, tray = flat_pdf(tmp_path / "lid.pdf"), flat_pdf(tmp_path / "tray.pdf", (700, 900))
    job = tmp_path / "box.toml"
    assert main(["ticket", str(lid), str(tray), "-o", str(job), "--sheet", "A3", "--overlap", "15mm"]) == 0
    assert "the job ticket of 2 parts" in capsys.readouterr().err
    parts = load_parts(job)
    assert [(part.name, part.job.flat, part.job.overlap) for part in parts] == [
        ("lid", lid, 15.0),
        ("tray", tray, 15.0),
    ]
    assert main(["mock", str(job), "-o", str(tmp_path / "by_ticket.pdf")]) == 0
    words = ["--sheet", "A3", "--overlap", "15mm", "-o", str(tmp_path / "by_flats.pdf")]
    assert main(["mock", str(lid), str(tray), *words]) == 0
    assert (tmp_path / "by_ticket.pdf").read_bytes() == (tmp_path / "by_flats.pdf").read_bytes()


def test_a_ticket_with_parts_is_written_anew_with_other_choices(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from tiler.parts import load_parts

    flats = [str(flat_pdf(tmp_path / name)) for name in ("lid.pdf", "tray.pdf")]
    main(["ticket", *flats, "-o", str(tmp_path / "a.toml"), "--sheet", "A4"])
    assert main(["ticket", str(tmp_path / "a.toml"), "-o", str(tmp_path / "b.toml"), "--sheet", "A3"]) == 0
    assert {part.job.sheet.name for part in load_parts(tmp_path / "b.toml")} == {"iso_a3_297x420mm"}


def test_two_flats_of_one_name_are_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lid = str(flat_pdf(tmp_path / "lid.pdf"))
    assert main(["ticket", lid, lid, "-o", str(tmp_path / "job.toml")]) == 2
    assert "two parts are called 'lid'" in capsys.readouterr().err
    assert not (tmp_path / "job.toml").exists()


def test_a_ticket_keeps_check_points_folding_and_the_pages_of_the_pack(tmp_path: Path) -> None:
    flat = str(SAMPLES / "tray.pdf")
    words = ["--check-point", "30,40,barcode, left", "--root", "p5", "--fold", "P2/P5=80", "--stands", "root"]
    words += ["--caliper", "1.5mm", "--proof", "--corners", "--limits", str(tmp_path / "house.toml")]
    (tmp_path / "house.toml").write_text("", encoding="utf-8")
    assert main(["ticket", flat, "-o", str(tmp_path / "job.toml"), "--sheet", "A4", *words]) == 0
    job = load_ticket(tmp_path / "job.toml")
    assert job.check_points == (CheckPoint("barcode, left", Point(30, 40)),)
    assert job.fold == FoldChoices("P5", (("P2", "P5", 80.0),), "root", 1.5)
    assert (job.proof, job.corners) == (True, True)
    assert job.limits is not None
    assert job.limits.name == "house.toml"


def test_folding_of_a_ticket_holds_and_words_win_crease_by_crease(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flat, job = str(SAMPLES / "lid.pdf"), str(tmp_path / "job.toml")
    folds = ["--fold", "P2/P5=80", "--fold", "P5/P8=70", "--caliper", "1.5mm"]
    assert main(["ticket", flat, "-o", job, *folds]) == 0
    capsys.readouterr()
    assert main(["panels", job, "--json", "--fold", "P5/P2=45"]) == 0
    fold = json.loads(capsys.readouterr().out)["fold"]
    told = {tuple(one["panels"]): one["angle"] for one in fold["folds"] if one["how"] == "told"}
    assert told == {("P2", "P5"): 45.0, ("P5", "P8"): 70.0}
    assert fold["board"]["caliper"] == 1.5


def test_a_panel_that_a_ticket_names_and_the_flat_has_not_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "job.toml"
    flat = (SAMPLES / "lid.pdf").as_posix()
    job.write_text(
        f'version = 1\n[flat]\nfile = "{flat}"\n[paper]\nsheet = "A4"\n[fold]\nroot = "P99"\n', "utf-8"
    )
    assert main(["plan", str(job)]) == 2
    err = capsys.readouterr().err
    assert "there is no panel P99; the flat has P1 to P9" in err
    assert err.count("\n") == 1
