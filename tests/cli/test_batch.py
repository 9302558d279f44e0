"""Many flats: parts of one pack, or a pack each over all cores."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

import tiler.batch
from tests.flats import flat_pdf
from tiler.batch import ENDED, Made, Order, make_all
from tiler.cli import main
from tiler.job import Job
from tiler.printers.sheets import find_sheet

SHEET = ["--sheet", "A4", "--layout", "grid"]


def flats(folder: Path, count: int) -> list[str]:
    """Some flats."""
    return [str(flat_pdf(folder / f"box{number}.pdf", (600 + 20 * number, 500))) for number in range(count)]


def test_several_flats_and_a_file_make_one_pack_of_parts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mock", *flats(tmp_path, 2), "-o", str(tmp_path / "pack.pdf"), "--json", *SHEET]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [part["name"] for part in found["parts"]] == ["box0", "box1"]


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_a_folder_gets_a_pack_for_each_flat_and_bad_ones_do_not_stop_the_others(
    jobs: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "broken.pdf").write_bytes(b"%PDF-1.7 broken")
    first, second = flats(tmp_path, 2)
    sources = [first, str(tmp_path / "broken.pdf"), str(tmp_path / "none.pdf"), second]
    out = tmp_path / "packs"
    assert main(["mock", *sources, "-o", f"{out}/", "--jobs", jobs, "--json", *SHEET]) == 1
    found = json.loads(capsys.readouterr().out)
    assert (found["made"], found["failed"]) == (2, 2)
    assert [pack["file"] for pack in found["packs"]] == ["box0.pdf", "broken.pdf", "none.pdf", "box1.pdf"]
    assert [bool(pack["problem"]) for pack in found["packs"]] == [False, True, True, False]
    assert "no such file" in found["packs"][2]["problem"]
    assert sorted(path.name for path in out.iterdir()) == ["box0_pack.pdf", "box1_pack.pdf"]


def test_packs_made_side_by_side_are_the_packs_made_one_by_one(tmp_path: Path) -> None:
    sources = flats(tmp_path, 3)
    for name, jobs in (("one", "1"), ("two", "2")):
        assert main(["mock", *sources, "-o", f"{tmp_path / name}/", "--jobs", jobs, *SHEET]) == 0
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


def test_the_summary_is_a_table_with_the_reason_for_each_failure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    (first,) = flats(tmp_path, 1)
    assert main(["mock", first, str(tmp_path / "none.pdf"), "-o", f"{tmp_path}/", *SHEET]) == 1
    told = capsys.readouterr().out
    assert "box0_pack.pdf" in told
    assert "there is no such file" in told
    assert "1 of 2 packs" in told


def test_flats_of_one_name_get_packs_of_their_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    sources = [str(flat_pdf(tmp_path / name / "lid.pdf", (500, 400))) for name in "ab"]
    assert main(["mock", *sources, "-o", f"{tmp_path}/", "--json", *SHEET]) == 0
    packs = [pack["pack"] for pack in json.loads(capsys.readouterr().out)["packs"]]
    assert packs == ["lid_pack.pdf", "lid_pack_2.pdf"]


def test_words_that_do_not_go_together_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sources = flats(tmp_path, 2)
    assert main(["mock", *sources, "-o", str(tmp_path / "p.pdf"), "--watch"]) == 2
    assert "go with one flat" in capsys.readouterr().err
    assert main(["mock", *sources, "-o", f"{tmp_path}/", "--jobs", "0"]) == 2
    assert main(["mock", sources[0], sources[0], "-o", str(tmp_path / "p.pdf")]) == 2
    assert "two parts are called 'box0'" in capsys.readouterr().err


def dies(order: Order) -> Made:
    """Takes its process down when the flat says so."""
    if order.source.name == "bad.pdf":
        os._exit(9)
    return Made(order, sheets=1)


def test_a_job_that_kills_its_process_does_not_stop_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tiler.batch, "make", dies)
    names = ["good.pdf", "bad.pdf", "fine.pdf"]
    orders = [
        Order(Path(name), tmp_path / f"{name}.out", Job(Path(name), find_sheet("A4"))) for name in names
    ]
    told: list[Made] = []
    results = make_all(orders, 2, told.append)
    assert [made.problem for made in results] == ["", ENDED, ""]
    assert len(told) == 3
