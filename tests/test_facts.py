import unicodedata
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.facts import (
    Measure,
    Name,
    PositiveNumber,
    Replacement,
    ReplacementCircleError,
    StockUnit,
    fold,
    replacement_chain,
)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("NaCl", "nacl"),
        ("  salt ", "salt"),
        ("Cafe\u0301", "CAF\u00c9"),
        ("STRASSE", "straße"),
        ("\u00a0salt\u2003", "salt"),
        ("Å", "\u212b"),
    ],
)
def test_names_that_differ_only_in_case_form_and_outer_spaces_are_one(one: str, other: str) -> None:
    assert fold(one) == fold(other)


@pytest.mark.parametrize(
    ("one", "other"), [("acid 1", "acid  1"), ("m-xylene", "mxylene"), ("H₂O", "H2O"), ("é", "e")]
)
def test_other_differences_tell_names_apart(one: str, other: str) -> None:
    assert fold(one) != fold(other)


@given(st.text(st.characters(max_codepoint=0x17F, exclude_characters="ı")))  # its capital is I
def test_the_case_and_form_of_a_name_do_not_matter(name: str) -> None:
    assert fold(name) == fold(name.upper().lower()) == fold(unicodedata.normalize("NFD", name))


def _replacements(*pairs: tuple[str, str]) -> dict[str, Replacement]:
    return {
        fold(old): Replacement(
            item=Name(old), replaced_by=Name(new), factor=PositiveNumber(Decimal(1))
        )
        for old, new in pairs
    }


@pytest.mark.parametrize(
    ("pairs", "steps"),
    [
        ([], []),
        ([("a", "b")], ["b"]),
        ([("b", "c"), ("A", "B")], ["B", "c"]),
        ([("b", "c")], []),
    ],
)
def test_replacements_are_followed_to_their_end(
    pairs: list[tuple[str, str]], steps: list[str]
) -> None:
    chain = replacement_chain("a", _replacements(*pairs))
    assert [link.replaced_by for link in chain] == steps


@pytest.mark.parametrize(
    ("pairs", "names"),
    [
        ([("a", "A")], ("a", "A")),
        ([("a", "b"), ("b", "a")], ("a", "b", "a")),
        ([("a", "b"), ("b", "c"), ("c", "b")], ("a", "b", "c", "b")),
    ],
)
def test_a_circle_names_its_members(pairs: list[tuple[str, str]], names: tuple[str, ...]) -> None:
    with pytest.raises(ReplacementCircleError) as error:
        replacement_chain("a", _replacements(*pairs))
    assert error.value.names == names


def test_a_long_chain_is_no_circle() -> None:
    pairs = [(str(number), str(number + 1)) for number in range(5000)]
    assert len(replacement_chain("0", _replacements(*pairs))) == 5000


def test_units_and_measures_name_a_kind() -> None:
    assert [unit.kind for unit in StockUnit] == [Kind.MASS, Kind.VOLUME, Kind.COUNT]
    assert [measure.kind for measure in Measure] == [Kind.VOLUME, Kind.MASS]
