"""Signal words and pictograms, against those that Annex VI prints for its entries."""

import pytest

from prepstore.safety.classes.label import pictograms, shown_statements, signal_word
from tests.every_case import every_case
from tests.safety.classes.made import table


@every_case("entry", table("printed_labels.csv"), ids=lambda one: one["index_no"])
def test_an_entry_has_the_signal_word_and_pictograms_that_are_printed(
    entry: dict[str, str],
) -> None:
    classes = entry["classes"].split("; ")
    assert " ".join(pictograms(classes)) == entry["pictograms"]
    assert signal_word(classes) == entry["signal_word"]


@pytest.mark.parametrize(
    ("classes", "expected"),
    [
        (("Acute Tox. 3", "Skin Irrit. 2"), ("GHS06",)),
        (("Eye Dam. 1", "Skin Irrit. 2"), ("GHS05",)),
        (("Eye Dam. 1", "Skin Sens. 1"), ("GHS05", "GHS07")),
        (("Resp. Sens. 1", "Skin Sens. 1", "Eye Irrit. 2"), ("GHS08",)),
        (("Carc. 2", "Skin Sens. 1"), ("GHS07", "GHS08")),
        (("STOT SE 1", "STOT SE 3"), ("GHS08",)),
        (("STOT RE 1", "STOT SE 3"), ("GHS07", "GHS08")),
        (("Aquatic Chronic 3",), ()),
    ],
)
def test_pictograms_give_way_by_article_26(
    classes: tuple[str, ...], expected: tuple[str, ...]
) -> None:
    assert pictograms(classes) == expected


@pytest.mark.parametrize(
    ("classes", "expected"),
    [
        (("Carc. 1B", "Skin Irrit. 2"), "Danger"), (("Skin Irrit. 2",), "Warning"),
        (("Aquatic Chronic 2",), None), (("Lact.",), None), ((), None),
    ],
)  # fmt: skip
def test_danger_stands_without_warning(classes: tuple[str, ...], expected: str | None) -> None:
    assert signal_word(classes) == expected


def test_statements_are_sorted_and_without_what_another_takes_in() -> None:
    assert shown_statements(["H411", "H400", "H302", "H302"]) == ("H302", "H400", "H411")
    assert shown_statements(["H400", "H410", "H318", "H314"]) == ("H314", "H410")
