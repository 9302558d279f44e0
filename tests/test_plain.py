"""Words from outside, made fit for a terminal, a title and JSON."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.plain import ESCAPED, STAND_IN, plain


@given(st.text())
def test_plain_text_is_one_line_that_any_terminal_bears(text: str) -> None:
    shown = plain(text)
    assert len(shown) == len(text)
    assert "\x1b" not in shown
    assert len(shown.splitlines()) <= 1
    shown.encode("utf-8")


@pytest.mark.parametrize("text", ["lid.pdf: 506\u00a0×\u00a0426 mm", "Größe", "новый 箱 📦"])
def test_sound_text_stays_as_it_is(text: str) -> None:
    assert plain(text) == text


def test_what_steers_a_terminal_is_taken_out() -> None:
    assert plain("a\x1b[2J\r\nb\u202e") == f"a{STAND_IN}[2J{STAND_IN * 2}b{STAND_IN}"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"])))
def test_json_on_an_output_of_ascii_reads_back(text: str) -> None:
    written = json.dumps(text, ensure_ascii=False).encode("ascii", ESCAPED)
    assert json.loads(written) == text
