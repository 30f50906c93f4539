from decimal import Decimal

import pytest

from prepstore.chemistry.acids_and_bases import (
    Acidity,
    AcidOrBase,
    AcidOrBaseError,
    InMoles,
    equivalents_by_acidity,
    read_acid_or_base,
)

CELLS = {
    "strong acid 2": AcidOrBase(Acidity.STRONG_ACID, 2),
    "weak acid 1": AcidOrBase(Acidity.WEAK_ACID, 1),
    "strong base 1": AcidOrBase(Acidity.STRONG_BASE, 1),
    "weak base 12": AcidOrBase(Acidity.WEAK_BASE, 12),
    "hydrogencarbonate": AcidOrBase(Acidity.HYDROGENCARBONATE, 1),
    "carbonate": AcidOrBase(Acidity.CARBONATE, 2),
}


@pytest.mark.parametrize(("text", "expected"), CELLS.items())
def test_a_cell_says_what_it_is_and_is_written_again_as_it_was(
    text: str, expected: AcidOrBase
) -> None:
    assert read_acid_or_base(text) == expected
    assert str(expected) == text


def test_case_and_spaces_do_not_matter() -> None:
    assert read_acid_or_base("  Strong   ACID  2 ") == CELLS["strong acid 2"]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("acid 2", "does not say what acid or base it is."),
        ("strong", "does not say what acid or base it is."),
        ("2 strong acid", "does not say what acid or base it is."),
        ("strong acid two", "does not say what acid or base it is."),
        ("bicarbonate", "does not say what acid or base it is."),
        ("strong acid", "does not say how many H+ the strong acid has."),
        ("strong acid 0", "has '0', which is not a whole number of 1 to 99."),
        ("strong acid 1.5", "has '1.5', which is not a whole number of 1 to 99."),
        ("weak base -1", "has '-1', which is not a whole number of 1 to 99."),
        ("weak base 100", "has '100', which is not a whole number of 1 to 99."),
        ("carbonate 2", "has a number after carbonate, which needs none."),
    ],
)
def test_what_cannot_be_read_says_why_and_what_is_expected(text: str, what: str) -> None:
    with pytest.raises(AcidOrBaseError) as caught:
        read_acid_or_base(text)
    assert caught.value.what == what
    assert "like strong acid 2; or hydrogencarbonate or carbonate." in caught.value.expected
    assert str(caught.value) == f"{what} {caught.value.expected}"


def test_equivalents_are_added_up_by_kind() -> None:
    amounts = [
        InMoles(CELLS["strong acid 2"], Decimal("0.1")),
        InMoles(CELLS["strong acid 2"], Decimal("0.05")),
        InMoles(CELLS["carbonate"], Decimal("0.3")),
    ]
    added = equivalents_by_acidity(amounts)
    assert set(added) == set(Acidity)
    assert added[Acidity.STRONG_ACID] == Decimal("0.30")
    assert added[Acidity.CARBONATE] == Decimal("0.6")
    assert added[Acidity.WEAK_ACID] == 0
