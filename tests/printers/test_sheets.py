"""Sheets against the standards that lay them down, and against the ways in which people write them."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tiler.errors import UsageError
from tiler.geometry import Margins
from tiler.printers.media_name import custom_media_name, parse_media_name
from tiler.printers.sheets import (
    default_sheet,
    find_sheet,
    known_sheets,
    parse_margins,
    sheet_label,
    sheet_of_size,
)

INCH = 25.4


# ISO 216:2007, tables of the A and B series, mm. Tolerances: 1.5 mm up to 150 mm, 2 mm up to 600 mm,
# 3 mm above, so that a sheet's edge is no place to measure from.
@pytest.mark.parametrize(
    ("name", "width", "length"),
    [
        ("A0", 841, 1189),
        ("A1", 594, 841),
        ("A2", 420, 594),
        ("A3", 297, 420),
        ("A4", 210, 297),
        ("A5", 148, 210),
        ("A6", 105, 148),
        ("ISO B0", 1000, 1414),
        ("ISO B1", 707, 1000),
        ("ISO B2", 500, 707),
        ("ISO B3", 353, 500),
        ("ISO B4", 250, 353),
        ("ISO B5", 176, 250),
        ("ISO B6", 125, 176),
        # ISO 217:2013, from memory; RA3, SRA3 and SRA4 also stand in PWG 5101.1
        ("RA0", 860, 1220),
        ("RA1", 610, 860),
        ("RA2", 430, 610),
        ("RA3", 305, 430),
        ("RA4", 215, 305),
        ("SRA0", 900, 1280),
        ("SRA1", 640, 900),
        ("SRA2", 450, 640),
        ("SRA3", 320, 450),
        ("SRA4", 225, 320),
        # JIS P 0138
        ("JIS B0", 1030, 1456),
        ("JIS B1", 728, 1030),
        ("JIS B2", 515, 728),
        ("JIS B3", 364, 515),
        ("JIS B4", 257, 364),
        ("JIS B5", 182, 257),
        ("JIS B6", 128, 182),
        # ASME Y14.1, sizes A to E, inches
        ("ANSI A", 8.5 * INCH, 11 * INCH),
        ("ANSI B", 11 * INCH, 17 * INCH),
        ("ANSI C", 17 * INCH, 22 * INCH),
        ("ANSI D", 22 * INCH, 34 * INCH),
        ("ANSI E", 34 * INCH, 44 * INCH),
        # PWG 5101.1
        ("legal", 8.5 * INCH, 14 * INCH),
        ("executive", 7.25 * INCH, 10.5 * INCH),
        ("foolscap", 8.5 * INCH, 13 * INCH),
        ("oficio", 8.5 * INCH, 13.4 * INCH),
        ("super b", 13 * INCH, 19 * INCH),
        ("B plus", 12 * INCH, 19.17 * INCH),
    ],
)
def test_a_sheet_has_the_size_its_standard_gives(name: str, width: float, length: float) -> None:
    assert find_sheet(name).size == pytest.approx((width, length), abs=1e-6)


# Size in 1/100 mm as CUPS keeps it in its own table (cups/pwg-media.c, inches times 2540, truncated).
@pytest.mark.parametrize(
    ("name", "x", "y"),
    [
        ("iso_a4_210x297mm", 21000, 29700),
        ("iso_a3_297x420mm", 29700, 42000),
        ("iso_a4-extra_235.5x322.3mm", 23550, 32230),
        ("iso_a3-extra_322x445mm", 32200, 44500),
        ("iso_sra3_320x450mm", 32000, 45000),
        ("jis_b5_182x257mm", 18200, 25700),
        ("na_letter_8.5x11in", 21590, 27940),
        ("na_ledger_11x17in", 27940, 43180),
        ("na_executive_7.25x10.5in", 18415, 26670),
        ("na_foolscap_8.5x13in", 21590, 33020),
        ("na_invoice_5.5x8.5in", 13970, 21590),
        ("na_arch-b_12x18in", 30480, 45720),
        ("na_super-b_13x19in", 33020, 48260),
        ("na_b-plus_12x19.17in", 30480, 48691),
        ("oe_a2plus_17x24in", 43180, 60960),
    ],
)
def test_the_table_carries_the_names_of_pwg_5101_1(name: str, x: int, y: int) -> None:
    known = {row.sheet.name: row.sheet.size for row in known_sheets()}
    assert (int(known[name].width * 100 + 1e-6), int(known[name].height * 100 + 1e-6)) == (x, y)


def test_every_a_sheet_is_half_of_the_one_before() -> None:
    # ISO 216: each size is the one before cut in two across, down to the whole millimetre.
    sizes = [find_sheet(f"A{n}").size for n in range(7)]
    for larger, smaller in pairwise(sizes):
        assert (smaller.width, smaller.height) == (larger.height // 2, larger.width)


def test_all_rows_are_named_by_the_grammar_and_no_name_stands_twice() -> None:
    rows = known_sheets()
    words = [word.lower() for row in rows for word in (row.sheet.name, row.label, *row.aliases)]
    assert len(words) == len(set(words))
    for row in rows:
        assert row.source
        assert find_sheet(row.sheet.name) == find_sheet(row.label) == row.sheet
        assert all(find_sheet(alias) == row.sheet for alias in row.aliases)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("a4", "iso_a4_210x297mm"),
        ("  A4 ", "iso_a4_210x297mm"),
        ("DIN A4", "iso_a4_210x297mm"),
        ("iso-a3", "iso_a3_297x420mm"),
        ("Letter", "na_letter_8.5x11in"),
        ("us letter", "na_letter_8.5x11in"),
        ("US-Letter", "na_letter_8.5x11in"),
        ("usletter", "na_letter_8.5x11in"),
        ("TABLOID", "na_ledger_11x17in"),
        ("ledger", "na_ledger_11x17in"),
        ("jisb4", "jis_b4_257x364mm"),
        ("B4 (JIS)", "jis_b4_257x364mm"),
        ("b5 iso", "iso_b5_176x250mm"),
        ("Super-B", "na_super-b_13x19in"),
        ("ISO_A4_210X297MM", "iso_a4_210x297mm"),
        ("om_folio_210x330mm", "om_folio_210x330mm"),
        ("prc_3_125x176mm", "prc_3_125x176mm"),
        ("custom_Mine_300x400mm", "custom_mine_300x400mm"),
        ("210x297mm", "iso_a4_210x297mm"),
        ("297 x 210 mm", "iso_a4_210x297mm"),
        ("11x17in", "na_ledger_11x17in"),
        ('8.5"x11"', "na_letter_8.5x11in"),
        ("11in × 431.8mm", "na_ledger_11x17in"),
        ("30 x 40 cm", "custom_300x400mm_300x400mm"),
        ("30,5x40,25cm", "custom_305x402.5mm_305x402.5mm"),
        ("500x350", "custom_350x500mm_350x500mm"),
    ],
)
def test_a_sheet_is_found_however_it_is_written(text: str, name: str) -> None:
    assert find_sheet(text).name == name


# The published ABNF of PWG 5101.1-2023: one unit for each class, no leading and no trailing zeros.
@pytest.mark.parametrize(
    ("name", "allowed"),
    [
        ("iso_a4_210x297mm", True),
        ("na_letter_8.5x11in", True),
        ("asme_f_28x40in", True),
        ("roc_16k_7.75x10.75in", True),
        ("oe_photo-l_3.5x5in", True),
        ("jpn_hagaki_100x148mm", True),
        ("om_large-photo_200x300mm", True),
        ("custom_max_210x297mm", True),
        ("custom_max_8.5x11in", True),
        ("custom_a.b-c_0.5x11.25in", True),
        ("roll_current_8.5x0in", True),
        ("roll_current_210x0mm", True),
        ("disc_standard_40x118mm", True),
        ("na_index-4x6_4x6in", True),
        ("iso_a4_210x297in", False),
        ("na_letter_8.5x11mm", False),
        ("iso_a4_210.0x297mm", False),
        ("iso_a4_210.50x297mm", False),
        ("iso_a4_0210x297mm", False),
        ("iso_a4_0x297mm", False),
        ("iso_a4_.5x297mm", False),
        ("iso_a4_210.x297mm", False),
        ("iso_a4_210x297", False),
        ("iso_a4_210x297cm", False),
        ("iso__210x297mm", False),
        ("iso_-a4_210x297mm", False),
        ("iso_a 4_210x297mm", False),
        ("iso_a_4_210x297mm", False),
        ("din_a4_210x297mm", False),
        ("disc_standard_40x118in", False),
        ("disc_standard_40x0mm", False),
        ("iso_a4_210x297mm\n", True),  # the line end of a file is not part of the name
        ("iso_a4_२१०x297mm", False),  # other digits than ASCII's
        ("a4", False),
    ],
)
def test_the_grammar_of_pwg_5101_1_decides_what_is_a_media_name(name: str, allowed: bool) -> None:
    assert (parse_media_name(name) is not None) is allowed


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("B4", "ISO B4 (250 × 353 mm) and JIS B4 (257 × 364 mm)"),
        ("A3+", "329x483mm"),
        ("Super A3", "not a standardised size"),
        ("leter", "Letter"),
        ("A44", "A4"),
        ("papyrus", "297x420mm"),
        ("", "no sheet"),
        ("roll_current_8.5x0in", "is a roll"),
        ("roll_max_210x5000mm", "is a roll"),
        ("iso_a4_210x0mm", "is a roll"),
        ("disc_standard_40x118mm", "is a disc"),
        ("iso_a4_210.0x297mm", "needless zeros"),
        ("din_a4_210x297mm", "PWG 5101.1"),
        ("0x297mm", "which no sheet can be"),
        ("-210x297mm", "which no sheet can be"),
        ("49.9x297mm", "between 50 and 5080 mm"),
        ("210x5081mm", "between 50 and 5080 mm"),
        ("11x17", "write 11x17in"),
        ("custom_big_300x400in", "between 50 and 5080 mm"),
        ("210xmm", "no sheet"),
        ("1.2.3x297mm", "not a size of a sheet"),
        ("210x297parsec", "not a size of a sheet"),
        pytest.param("9" * 5000 + "x1mm", "no sheet", id="endless"),
    ],
)
def test_a_doubtful_sheet_is_refused_in_one_sentence_with_a_way_out(text: str, said: str) -> None:
    with pytest.raises(UsageError) as caught:
        find_sheet(text)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 600
    assert caught.value.remedy


def test_bounds_themselves_are_allowed() -> None:
    assert find_sheet("50x5080mm").size == (50, 5080)


def test_a_custom_size_gets_a_name_that_the_grammar_allows() -> None:
    for text in ("300x400mm", "13.3x20.1in", "123.45x678.9mm"):
        sheet = find_sheet(text)
        again = parse_media_name(sheet.name)
        assert again is not None
        assert again.size == sheet.size
    assert parse_media_name(custom_media_name(find_sheet("A4").size)) is not None


def test_a_sheet_is_recognised_by_a_size_with_the_rounding_of_a_printer() -> None:
    # CUPS matches sizes within 0.5 mm (cups/pwg-media.c, _PWG_EPSILON).
    printer = find_sheet("custom_x_297.2x210mm").size
    assert sheet_of_size(printer, within=0.5) == find_sheet("A4")
    assert sheet_of_size(printer).name == "custom_210x297.2mm_210x297.2mm"


def test_labels_are_what_people_say() -> None:
    assert sheet_label(find_sheet("na_ledger_11x17in")) == "Tabloid"
    assert sheet_label(find_sheet("300x400mm")) == "300 × 400 mm"


@pytest.mark.parametrize(
    ("environ", "label"),
    [
        ({"LANG": "en_US.UTF-8"}, "Letter"),
        ({"LANG": "fr_CA.UTF-8@euro"}, "Letter"),
        ({"LANG": "es_MX"}, "Letter"),
        ({"LANG": "en-US"}, "Letter"),
        ({"LANG": "en_GB.UTF-8"}, "A4"),
        ({"LANG": "de_DE.UTF-8", "LC_PAPER": "en_US.UTF-8"}, "Letter"),
        ({"LANG": "en_US.UTF-8", "LC_PAPER": "de_DE.UTF-8"}, "A4"),
        ({"LANG": "en_US", "LC_PAPER": "en_US", "LC_ALL": "ja_JP.UTF-8"}, "A4"),
        ({"LANG": "en_US", "LC_ALL": ""}, "Letter"),
        ({"LC_ALL": "C.UTF-8", "LANG": "en_US"}, "A4"),
        ({"LANG": "POSIX"}, "A4"),
        ({"LANG": "us"}, "Letter"),
        ({}, "A4"),
    ],
)
def test_the_locale_decides_the_everyday_sheet(environ: dict[str, str], label: str) -> None:
    assert sheet_label(default_sheet(environ)) == label


@pytest.mark.parametrize(
    ("text", "margins"),
    [
        ("5mm", Margins(5, 5, 5, 5)),
        ("5", Margins(5, 5, 5, 5)),
        ("5mm,5mm,12.7mm,5mm", Margins(5, 5, 12.7, 5)),
        ("1, 2, 0.5in, 4", Margins(1, 2, 12.7, 4)),
        ("0", Margins(0, 0, 0, 0)),
    ],
)
def test_margins_are_one_length_or_four(text: str, margins: Margins) -> None:
    assert parse_margins(text) == pytest.approx(margins)


@pytest.mark.parametrize(
    "text", ["", "5,5", "5,5,5", "1,2,3,4,5", "-1mm", "5mm,5mm,-0.1mm,5mm", "wide", "5,,5,5"]
)
def test_other_margins_are_refused(text: str) -> None:
    with pytest.raises(UsageError):
        parse_margins(text)
