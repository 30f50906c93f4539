"""Lines fit the screen they are given."""

from textwrap import wrap

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from prepstore.report.screen import columns, wrapped

TEXT = "a word " * 60


@pytest.mark.parametrize(
    ("given", "wide"), [("40", 60), ("60", 60), ("100", 100), ("200", 200), ("300", 200), ("x", 80)]
)
def test_lines_are_as_wide_as_the_screen_from_60_to_200(
    given: str, wide: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", given)
    assert columns() == wide
    lines = list(wrapped(TEXT, first="- ", further="  "))
    assert max(map(len, lines)) <= wide
    assert max(map(len, lines)) > wide - len("a word ")
    assert [line[:2] for line in lines] == ["- ", *["  "] * (len(lines) - 1)]


@example(f"{'a' * 29} {'b' * 29}")
@given(st.text("ab -\t\n\u00a0\u2028é", max_size=90))
def test_lines_are_those_of_the_standard_library(text: str) -> None:
    """Source: textwrap of Python."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "60")
        expected = wrap(
            text,
            60,
            initial_indent="- ",
            subsequent_indent="  ",
            break_long_words=False,
            break_on_hyphens=False,
        )
        assert list(wrapped(text, first="- ", further="  ")) == expected


def test_a_word_that_is_longer_than_the_screen_stays_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    assert list(wrapped("x" * 90)) == ["x" * 90]
