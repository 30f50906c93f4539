import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.formula_guard import RUNS_AS_FORMULA, guarded, unguarded


@given(st.text())
def test_what_is_guarded_comes_back_as_it_was(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(st.text())
def test_nothing_guarded_runs_as_a_formula(text: str) -> None:
    assert not guarded(text).startswith(tuple(sign for sign in RUNS_AS_FORMULA if sign != "'"))


@pytest.mark.parametrize("text", ["=1+1", "+x", "-20 freezer", "@a", "'tis", "\tx", "\rx"])
def test_each_sign_of_the_contract_is_guarded(text: str) -> None:
    assert guarded(text) == f"'{text}"
