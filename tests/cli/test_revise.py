"""``tiler revise``: the contract with people and with other programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.revision.art import PLAIN, altered, draw
from tests.revision.resaved import SAVERS
from tiler.cli import main

SHEETS = ["--sheet", "110x150mm", "--layout", "grid"]


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """The revision that was printed."""
    return draw(PLAIN, tmp_path / "sleeve.pdf")


def revise(old: Path, new: Path, *more: str) -> int:
    """Run the command; the reprint goes beside the new flat."""
    return main(["revise", str(old), str(new), "-o", str(new.with_name("reprint.pdf")), *SHEETS, *more])


def test_the_json_names_changed_and_unchanged_tiles(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert revise(old, draw(altered(word="hood"), tmp_path / "new.pdf"), "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["version"] == 1
    assert (found["changed"], found["unchanged"]) == (["A1"], ["A2", "A3", "B1", "B2", "B3"])
    assert found["moved"] is False
    assert found["tiles"].keys() == {"A1"}
    assert 5 < found["tiles"]["A1"]["changed_mm2"] < 30
    assert [(text["old"], text["new"]) for text in found["texts"]] == [("chimney", "hood")]
    assert found["areas"][0]["tiles"] == ["A1"]
    assert found["pack"]["pages"]["tiles"] == {"A1": 4}
    assert (tmp_path / "reprint.pdf").exists()


@pytest.mark.parametrize(
    ("saver", "sentence"),
    [("", "byte for byte; nothing to print"), ("qdf", "shows the same as sleeve.pdf on every sheet")],
    ids=["the same file", "saved anew"],
)
def test_the_same_art_is_said_to_be_the_same_and_writes_nothing(
    saver: str, sentence: str, old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = tmp_path / "new.pdf"
    if saver:
        SAVERS[saver](old, new)
    else:
        new.write_bytes(old.read_bytes())
    assert revise(old, new) == 0
    assert sentence in capsys.readouterr().err
    assert not (tmp_path / "reprint.pdf").exists()


def test_another_size_is_told_with_the_way_out(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = draw(altered(size=(242.0, 160.0)), tmp_path / "new.pdf")
    assert revise(old, new, "--json") == 1
    told = capsys.readouterr()
    assert json.loads(told.out)["moved"] is True
    assert "measured 240 × 160 mm and now measures 242 × 160 mm" in told.err
    assert "--full" in told.err
    assert not (tmp_path / "reprint.pdf").exists()
    assert revise(old, new, "--anyway") == 1, "nothing can be printed on seams of another size"


def test_full_writes_the_whole_pack_of_the_new_art(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = draw(altered(size=(242.0, 160.0)), tmp_path / "new.pdf")
    assert revise(old, new, "--full") == 0
    assert "reprint.pdf: 6 sheets" in capsys.readouterr().err
    assert (tmp_path / "reprint.pdf").exists()


def test_anyway_prints_changed_sheets_of_art_that_has_moved(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = draw(altered(everything_by=(1.0, 0.0)), tmp_path / "new.pdf")
    assert revise(old, new) == 1
    assert "the whole art has moved by 1 mm to the right" in capsys.readouterr().err
    assert revise(old, new, "--anyway", "--tiles", "A1") == 0
    assert "1 sheet (A1)" in capsys.readouterr().err


def test_a_flat_is_never_overwritten(old: Path, tmp_path: Path) -> None:
    new = draw(altered(word="hood"), tmp_path / "new.pdf")
    before = old.read_bytes()
    assert main(["revise", str(old), str(new), "-o", str(old), *SHEETS]) == 1
    assert old.read_bytes() == before


def test_a_missing_revision_is_one_sentence(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert revise(old, tmp_path / "none.pdf") == 1
    assert "there is no such file" in capsys.readouterr().err


def test_a_ticket_gives_the_choices_that_were_printed(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "job.toml"
    assert main(["ticket", str(old), "-o", str(job), *SHEETS, "--overlap", "9mm"]) == 0
    new = draw(altered(decal=(0.8, 0.1, 0, 0)), tmp_path / "new.pdf")
    capsys.readouterr()
    output = ["-o", str(tmp_path / "reprint.pdf"), "--json"]
    assert main(["revise", str(job), str(new), *output]) == 0
    by_ticket = json.loads(capsys.readouterr().out)
    assert main(["revise", str(old), str(new), *output, *SHEETS, "--overlap", "9mm"]) == 0
    assert json.loads(capsys.readouterr().out) == by_ticket
    assert len(by_ticket["changed"]) == 1


def test_a_part_of_a_ticket_is_replaced_and_named_on_its_sheets(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from pypdf import PdfReader

    base = draw(altered(word="base"), tmp_path / "base.pdf")
    job = tmp_path / "box.toml"
    assert main(["ticket", str(old), str(base), "-o", str(job), *SHEETS]) == 0
    new = draw(altered(word="hood"), tmp_path / "sleeve_rev2.pdf")
    output = ["-o", str(tmp_path / "reprint.pdf"), "--json"]
    capsys.readouterr()
    assert main(["revise", str(job), str(new), *output]) == 0
    told = capsys.readouterr()
    assert "sleeve_rev2.pdf is compared with the part sleeve" in told.err
    found = json.loads(told.out)
    assert (found["part"], found["changed"]) == ("sleeve", ["A1"])
    pages = PdfReader(tmp_path / "reprint.pdf")
    assert pages.page_labels[-1] == "sleeve A1"
    assert "sleeve A1" in " ".join(pages.pages[-1].extract_text().split())
    assert main(["revise", str(job), str(new), "--part", "base", *output]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["part"], found["old"]["file"]) == ("base", "base.pdf")


def test_a_part_that_cannot_be_told_is_asked_for(
    old: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    base = draw(altered(word="base"), tmp_path / "base.pdf")
    job = tmp_path / "box.toml"
    main(["ticket", str(old), str(base), "-o", str(job), *SHEETS])
    new = draw(altered(word="hood"), tmp_path / "later.pdf")
    capsys.readouterr()
    assert main(["revise", str(job), str(new), "-o", str(tmp_path / "reprint.pdf")]) == 2
    err = capsys.readouterr().err
    assert "box.toml has the parts sleeve, base, and later.pdf goes by the name of none of them" in err
    assert "--part sleeve" in err
    assert main(["revise", str(old), str(new), "--part", "sleeve", "-o", str(tmp_path / "reprint.pdf")]) == 2
    assert "sleeve.pdf has no parts" in capsys.readouterr().err
    assert not (tmp_path / "reprint.pdf").exists()
