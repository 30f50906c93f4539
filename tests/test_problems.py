import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.problems import Place, Problem, ProblemsError, at, closest, cut, nearest, not_known
from prepstore.written import WrittenRow

ROW = WrittenRow("stock", 7, "stock.csv", {"lot": "L1", "amount": "1,5 mL"})


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place("set.xlsx"), "set.xlsx"),
        (Place("a.csv", "items"), "a.csv: table items"),
        (Place("a.csv", "items", 3), "a.csv: table items, row 3"),
        (Place("a.csv", "items", 3, "unit"), "a.csv: table items, row 3, column unit"),
        (Place("items.csv", "items", 3, "unit"), "table items, row 3, column unit"),
        (Place("Items.CSV", "items"), "Items.CSV"),
        (Place("set.xlsx, sheet Items", "items"), "set.xlsx, sheet Items"),
        (Place("set.xlsx, sheet items", "items", 3), "table items, row 3"),
        (Place("c.xlsx, sheet Count", "stock", 3), "c.xlsx, sheet Count: table stock, row 3"),
    ],
)
def test_a_place_is_told_as_far_as_it_is_known(place: Place, words: str) -> None:
    assert str(place) == words


def test_a_problem_quotes_the_cell_and_says_what_is_expected() -> None:
    assert at(ROW, "amount", "x", "has a comma.", "Write 1.5 mL.").sentence == (
        "table stock, row 7, column amount: (L1) '1,5 mL' has a comma. Write 1.5 mL."
    )


def test_a_blank_cell_is_not_quoted() -> None:
    assert (
        "column place: (L1) place is blank. Give it."
        in at(ROW, "place", "x", "place is blank.", "Give it.").sentence
    )


@given(st.text(), st.text())
def test_a_sentence_is_one_line_that_no_terminal_obeys(value: str, what: str) -> None:
    row = WrittenRow("stock", 2, "stock.csv", {"amount": value})
    sentence = at(row, "amount", "x", what, "").sentence
    assert sentence.isprintable()
    assert len(sentence) < 1000


def test_a_long_value_is_cut() -> None:
    assert cut("a" * 80) == "a" * 80
    assert cut("a" * 81) == "a" * 80 + "…"


@pytest.mark.parametrize(
    ("word", "known", "meant"),
    [
        ("amout", ["amount", "unit"], "amount"),
        ("ML", ["mL", "g", "kg"], "mL"),
        ("SODIUM CHLORID", ["sodium chloride", "sodium hydroxide"], "sodium chloride"),
        ("xyz", ["amount", "unit"], ""),
        ("ether", ["pH meter", "balance"], ""),
        ("ehter", ["ether", "pH meter"], "ether"),
        ("filtration", ["filter"], "filter"),
        ("spoon", ["scoop"], "scoop"),
        ("", ["amount"], ""),
        ("a" * 30_000, ["a" * 30_001], ""),
        ("word", [], ""),
    ],
)
def test_the_closest_known_word_is_found_whatever_its_case(
    word: str, known: list[str], meant: str
) -> None:
    assert closest(word, known) == meant


def test_without_a_close_word_the_known_ones_are_listed_if_they_are_few() -> None:
    assert nearest("xyz", ["b", "a"]) == "Expected one of: a, b."
    assert nearest("xyz", [f"item {number}" for number in range(16)]) == ""


def test_the_error_carries_all_problems_a_line_each() -> None:
    problems = [Problem("x", Place(f"{name}.csv"), "is wrong.", "Mend it.") for name in "ab"]
    error = ProblemsError(iter(problems))
    assert error.problems == tuple(problems)
    assert str(error) == "a.csv: is wrong. Mend it.\nb.csv: is wrong. Mend it."


def test_a_name_that_is_not_known_leads_to_the_nearest_or_to_what_it_is_called_now() -> None:
    assert str(not_known("acetnoe", "item", ["acetone"])) == (
        "'acetnoe' is not a known item. Did you mean acetone?"
    )
    renamed = not_known("propanone", "item", ["acetone"], "It is called acetone since 2027-03-01.")
    assert str(renamed) == (
        "'propanone' is not a known item. It is called acetone since 2027-03-01."
    )
    assert str(not_known("x", "item", [])) == "'x' is not a known item."
