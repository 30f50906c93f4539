import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.cell_types import Measure, StockUnit, fold


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


def test_units_and_measures_name_a_kind() -> None:
    assert [unit.kind for unit in StockUnit] == [Kind.MASS, Kind.VOLUME, Kind.COUNT]
    assert [measure.kind for measure in Measure] == [Kind.VOLUME, Kind.MASS]
