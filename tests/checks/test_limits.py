"""Limits: every one has a source, and a profile of one's own overrides any part."""

from __future__ import annotations

from pathlib import Path

import pytest

from tiler.checks.finding import Severity
from tiler.checks.limits import default_limits, read_limits
from tiler.errors import UsageError

PUBLISHED = {
    "food_x_height": 1.2,
    "food_x_height_small": 0.9,
    "small_pack_area": 80,
    "food_us_height": 25.4 / 16,
    "quantity_50": 2,
    "quantity_200": 3,
    "quantity_1000": 4,
    "quantity_more": 6,
    "code_module": 0.264,
    "code_module_most": 0.66,
    "code_height": 22.85,
    "code_height_ean8": 18.23,
    "code_module_itf": 0.495,
    "code_module_most_itf": 1.016,
    "code_height_itf": 31.75,
}
"""Regulation (EU) 1169/2011 Art. 13, 21 CFR 101.2(c), Directive 76/211/EEC Annex I, GS1's size guide."""


@pytest.mark.parametrize("name", PUBLISHED)
def test_limits_of_law_and_standards_are_the_published_ones(name: str) -> None:
    assert default_limits()[name].value == pytest.approx(PUBLISHED[name], rel=1e-6)


def test_every_limit_tells_its_source() -> None:
    limits = default_limits()
    assert all(len(limits[name].source) > 10 for name in limits.names)


def test_limits_of_law_are_notes_until_a_profile_says_otherwise() -> None:
    limits = default_limits()
    law = [name for name in limits.names if "CFR" in limits[name].source or "EEC" in limits[name].source]
    assert law
    assert {limits[name].severity for name in law} == {Severity.NOTE}


def test_a_profile_overrides_value_severity_and_source(tmp_path: Path) -> None:
    profile = tmp_path / "house.toml"
    profile.write_text('[text_size]\nvalue = 5\nseverity = "fault"\n[food_us_height]\nseverity = "off"\n')
    limits = read_limits(profile)
    assert (limits["text_size"].value, limits["text_size"].severity) == (5, Severity.FAULT)
    assert "house.toml" in limits["text_size"].source
    assert not limits["food_us_height"].is_below(0.1)
    assert limits["bleed"] == default_limits()["bleed"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[type_size]\nvalue = 5\n", "there is no limit 'type_size'"),
        ("[text_size]\nvalue = 'five'\n", "no number"),
        ("[text_size]\nvalue = -1\n", "no number"),
        ("[text_size]\nvalue = true\n", "no number"),
        ('[text_size]\nseverity = "grave"\n', "no severity 'grave'"),
        ('[text_size]\nunit = "mm"\n', "the unit is pt"),
        ("[text_size]\nlimit = 5\n", "there is no 'limit'"),
        ("text_size = 5\n", "is no table"),
        ("[text_size\n", "no valid TOML"),
    ],
)
def test_a_profile_that_cannot_be_understood_is_refused_in_one_sentence(
    tmp_path: Path, text: str, words: str
) -> None:
    profile = tmp_path / "house.toml"
    profile.write_text(text)
    with pytest.raises(UsageError, match=words) as caught:
        read_limits(profile)
    assert "\n" not in str(caught.value)


def test_a_missing_profile_is_told(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="cannot be read"):
        read_limits(tmp_path / "none.toml")


def test_a_value_just_at_its_limit_passes() -> None:
    limit = default_limits()["text_size"]
    assert not limit.is_below(4.5)
    assert not limit.is_below(4.4999)
    assert limit.is_below(4.4)


def test_a_file_of_limits_without_end_is_refused() -> None:
    with pytest.raises(UsageError, match="far too long"):
        read_limits(Path("/dev/zero"))
