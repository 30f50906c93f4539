"""Precautionary statements: their words against public lists, and which six a label carries."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.safety.hazard_statements import hazard_statements
from prepstore.safety.precautionary_statements import (
    MOST_ON_A_LABEL,
    precaution_in_words,
    precautionary_statements,
    precautions_asked_for,
    precautions_for,
)
from tests.every_case import every_case
from tests.published.rows import rows_of

HAZARDS = sorted(precautions_asked_for())


@every_case("row", rows_of("precautionary_statements"), ids=lambda row: row["code"])
def test_the_words_are_those_of_public_lists(row: dict[str, str]) -> None:
    assert f"{precaution_in_words(row['code'])}." == row["statement"]


def test_an_unknown_code_sends_the_reader_to_the_safety_data_sheet() -> None:
    assert precaution_in_words("P999") == "see the safety data sheet"


def test_all_that_a_hazard_asks_for_has_words_and_a_priority_of_one_to_three() -> None:
    for h_code, asked in precautions_asked_for().items():
        assert h_code in hazard_statements()
        assert set(asked) <= set(precautionary_statements())
        assert set(asked.values()) <= {1, 2, 3}


def test_each_statement_of_the_regulation_that_ends_on_a_label_asks_for_something() -> None:
    """Codes of the United Nations' GHS that CLP has not taken over ask for nothing."""
    only_un = {"H209", "H210", "H211", "H227", "H282", "H283", "H284", "H303", "H305", "H313",
               "H316", "H320", "H333", "H401", "H402"}  # fmt: skip
    single = {code[:4] for code in hazard_statements() if code.startswith("H") and "+" not in code}
    assert single - only_un == set(HAZARDS)


# Annex IV asks for these; which six stand is our choice, held here case by case.
@pytest.mark.parametrize(
    ("h_codes", "chosen"),
    [
        ("", ""),
        ("H314", "P260 P280 P301+P330+P331 P303+P361+P353 P305+P351+P338 P310"),
        ("H318", "P280 P305+P351+P338 P310"),
        ("H225 H319 H336", "P210 P233 P261 P280 P305+P351+P338 P403+P235"),
        ("H412", "P273 P501"),
        ("H290", "P234 P390"),
        ("H225 H301+H311+H331 H370", "P210 P261 P280 P301+P310 P302+P352 P304+P340"),
    ],
)
def test_a_label_carries_the_best_six(h_codes: str, chosen: str) -> None:
    assert " ".join(precautions_for(h_codes.split())) == chosen


def test_letters_that_name_a_route_or_a_target_change_nothing() -> None:
    assert precautions_for(["H350i", "H360FD"]) == precautions_for(["H350", "H360"])


def test_what_a_fuller_statement_says_is_not_said_twice() -> None:
    assert "P301+P310" in precautions_for(["H301"])
    both = precautions_for(["H301", "H314"])
    assert "P310" in both
    assert "P301+P310" not in both


def test_each_kind_of_hazard_is_heard() -> None:
    chosen = precautions_for(["H224", "H300", "H310", "H330", "H314", "H340", "H410"])
    assert {"P210", "P273"} <= set(chosen)
    assert any(code.startswith("P3") for code in chosen)


@given(st.permutations(HAZARDS).flatmap(lambda codes: st.tuples(
    st.just(codes), st.integers(0, 12))))  # fmt: skip
def test_at_most_six_in_rising_order_whatever_the_order_given(case: tuple[list[str], int]) -> None:
    codes, count = case
    chosen = precautions_for(codes[:count])
    assert len(chosen) <= MOST_ON_A_LABEL
    assert all(one < other for one, other in pairwise(chosen))
    assert chosen == precautions_for(sorted(codes[:count]))
    assert bool(chosen) == bool(count)


def test_a_fuller_statement_takes_the_place_of_one_that_came_first() -> None:
    chosen = precautions_for(["H226", "H315"])
    assert "P303+P361+P353" in chosen
    assert "P302+P352" not in chosen


@given(st.sets(st.sampled_from(HAZARDS), max_size=6))
def test_no_statement_stands_beside_one_that_has_all_its_parts(codes: set[str]) -> None:
    """P342+P311 is for other symptoms than P311 alone, so these two may stand together."""
    chosen = [set(code.split("+")) for code in precautions_for(codes) if code != "P342+P311"]
    assert not any(one < other for one in chosen for other in chosen)
