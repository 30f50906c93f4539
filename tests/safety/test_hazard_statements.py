"""Codes to words. The wordings themselves are from memory; what is tested is how they are found."""

import re

import pytest

from prepstore.safety.hazard_statements import hazard_statements, in_words


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("H225", "Highly flammable liquid and vapour"),
        (" h225 ", "Highly flammable liquid and vapour"),
        ("H350i", "May cause cancer by inhalation"),
        ("EUH 066", "Repeated exposure may cause skin dryness or cracking"),
        ("euh019", "May form explosive peroxides"),
    ],
)
def test_a_code_is_read_as_people_write_it(code: str, words: str) -> None:
    assert in_words(code) == words


def test_a_capital_and_a_small_letter_after_the_digits_say_different_things() -> None:
    assert in_words("H360FD") == "May damage fertility. May damage the unborn child"
    assert in_words("H360Fd") == "May damage fertility. Suspected of damaging the unborn child"


@pytest.mark.parametrize("code", ["H301+H311", "H301 + H311", "H311+H301"])
def test_codes_with_a_common_statement_give_that_one(code: str) -> None:
    assert in_words(code) == "Toxic if swallowed or in contact with skin"


def test_codes_without_a_common_statement_are_said_in_turn_and_each_once() -> None:
    words = "Causes serious eye irritation; Causes skin irritation"
    assert in_words("H319+H315+H319") == words


@pytest.mark.parametrize("code", ["", "H999", "P210", "flammable", "H999+H998", "H225x"])
def test_an_unknown_code_sends_the_reader_to_the_safety_data_sheet(code: str) -> None:
    assert in_words(code) == "see the safety data sheet"


def test_an_unknown_code_beside_a_known_one_is_not_swallowed() -> None:
    assert in_words("H301+H999") == "Toxic if swallowed; see the safety data sheet"


def test_every_code_is_well_formed_and_finds_its_own_statement() -> None:
    form = re.compile(r"(EUH\d{3}A?|H[234]\d\d(i|F|D|FD|Fd|Df|f|d|fd)?(\+H3\d\d)*)")
    for code, words in hazard_statements().items():
        assert form.fullmatch(code), code
        assert in_words(code) == words


def test_no_statement_is_empty_ends_in_a_full_stop_or_has_stray_blanks() -> None:
    for words in hazard_statements().values():
        assert words
        assert words == " ".join(words.split())
        assert not words.endswith(".")


def test_two_codes_never_share_a_statement() -> None:
    assert len(set(hazard_statements().values())) == len(hazard_statements())
