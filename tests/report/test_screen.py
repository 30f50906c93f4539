"""Lines fit the screen they are given."""

import pytest

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


def test_a_word_that_is_longer_than_the_screen_stays_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    assert list(wrapped("x" * 90)) == ["x" * 90]
