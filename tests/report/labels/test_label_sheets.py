"""Labels in their places, and labels refused by name with the size that would do."""

import re

import pytest

from prepstore.problems import RefusedError
from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.grids import read_grid, read_size
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.labels.label_sheets import left_out_in_words, placed_labels
from tests.report.labels_on_paper import CORROSIVE, FLAMMABLE, IRRITANT, label


def refusals(*contents: LabelContent, size: str = "57x32") -> tuple[str, ...]:
    with pytest.raises(RefusedError) as refused:
        placed_labels(contents, read_size(size))
    return refused.value.sentences


def test_labels_stand_in_their_order_from_the_label_that_is_asked_for() -> None:
    contents = [label("one"), label("two"), label("three")]
    placed = placed_labels(contents, read_grid("2x4 105x74"), start=7)
    assert [one.content.name for one in placed] == ["one", "two", "three"]
    assert [(one.place.page, float(one.place.left), float(one.place.top)) for one in placed] == [
        (0, 0, 222.5),
        (0, 105, 222.5),
        (1, 0, 0.5),
    ]


def test_no_labels_are_no_sheets() -> None:
    assert placed_labels([], read_grid("2x4 105x74")) == ()


def test_what_does_not_fit_is_refused_by_name_with_a_size_that_would_do() -> None:
    (sentence,) = refusals(label("hydrochloric acid 2 mol/L", hazards=CORROSIVE))
    assert sentence.startswith(
        "Label 2027-02-03-1 (hydrochloric acid 2 mol/L) does not fit on 57 x 32 mm: a container "
        "of 500 mL must have letters of at least 1.2 mm (height of a small x). This size would do: "
    )
    found = re.search(r"--grid '([^']+)'", sentence)
    assert found is not None
    grid = read_grid(found[1])
    everywhere = [label("hydrochloric acid 2 mol/L", hazards=CORROSIVE)] * grid.labels
    assert len(placed_labels(everywhere, grid)) == grid.labels


def test_every_label_that_does_not_fit_is_named_and_none_is_printed() -> None:
    sentences = refusals(
        label("one", hazards=CORROSIVE), label("small"), label("two", hazards=CORROSIVE)
    )
    assert [sentence.split("(")[1].split(")")[0] for sentence in sentences] == ["one", "two"]


# Annex I, Table 1.3: over 3 L, at least 74 mm by 105 mm.
@pytest.mark.parametrize(
    ("capacity_ml", "size", "least"),
    [(5000, "100x73", "5 L must have a label of at least 74 x 105 mm"),
     (60000, "105x147", "60 L must have a label of at least 105 x 148 mm")],
)  # fmt: skip
def test_a_label_under_the_least_size_is_refused_however_little_it_says(
    capacity_ml: int, size: str, least: str
) -> None:
    (sentence,) = refusals(label("x", capacity_ml), size=size)
    assert f"cannot be on {size.replace('x', ' x ')} mm: a container of {least}" in sentence


def test_a_sheet_that_fits_only_in_its_middle_is_not_named() -> None:
    """The printer's white rim takes some of the labels at the edges."""
    content = label(capacity_ml=100, hazards=IRRITANT, is_initialled=True)
    (sentence,) = refusals(content, size="40x20")
    found = re.search(r"--grid '([^']+)'", sentence)
    assert found is not None
    grid = read_grid(found[1])
    assert len(placed_labels([content] * grid.labels, grid)) == grid.labels


def test_what_no_sheet_can_hold_says_so() -> None:
    much = Hazards(contains=tuple(f"substance number {n}" for n in range(1200)))
    (sentence,) = refusals(label(hazards=much))
    assert sentence.endswith(
        "No sheet that is known is large enough. Say less on it, or use two labels."
    )


def test_signs_that_the_font_lacks_are_named() -> None:
    assert refusals(label("水と酸 水")) == (
        "Label 2027-02-03-1 (水と酸 水): the font has no sign for 水 と 酸. Write the "
        "name in other letters.",
    )


def test_what_labels_do_without_is_told() -> None:
    small = label("ethanol", 100, hazards=IRRITANT)
    waste = label(
        "solvent", 5000, hazards=IRRITANT, kind=LabelKind.WASTE, components=("ethanol", "acetone")
    )
    (one,) = placed_labels([small], read_size("62x26"))
    assert list(left_out_in_words([one])) == [
        "Label 2027-02-03-1 (ethanol) does without precautionary statements that a container of "
        "up to 125 mL may leave out (Annex I, 1.5.2)."
    ]
    (one,) = placed_labels([small], read_size("62x24"))
    assert "does without hazard and precautionary statements" in next(left_out_in_words([one]))
    (one,) = placed_labels([waste], read_grid("2x4 105x74"))
    assert "waste need not have (Regulation (EC) No 1272/2008, Article 1(3))" in next(
        left_out_in_words([one])
    )
    (one,) = placed_labels([label(hazards=FLAMMABLE)], read_size("105x74"))
    assert list(left_out_in_words([one])) == []
