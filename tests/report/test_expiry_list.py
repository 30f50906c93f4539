from dataclasses import replace
from decimal import Decimal

import pytest

from prepstore.report.expiry_list import (
    CAUTION,
    EXPIRY_COLUMNS,
    PEROXIDE_COLUMNS,
    above_limit_line,
    expiry_lines,
    expiry_rows,
    next_test_line,
    not_watched_lines,
    peroxide_lines,
    peroxide_rows,
    too_little_lines,
)
from prepstore.safety.peroxide_formers import published_formers
from prepstore.settings import Settings
from prepstore.shelf.expiry import Loss, below_minimum
from prepstore.shelf.peroxides import to_test
from tests.builders import day, item
from tests.shelf.small_shelf import DAY, shelf

SHELF = shelf()
LOSSES = [
    Loss(SHELF.lot("A3"), day("01-31"), Decimal(0), Decimal(2000), Decimal("12.4")),
    Loss(SHELF.lot("B1"), day("02-20"), Decimal(50), Decimal(200), None),
]


def test_what_goes_out_of_date_says_what_is_left_and_its_value() -> None:
    lines = list(expiry_lines(LOSSES, "EUR", day("04-01")))
    assert lines[1].startswith("2027-01-31  A3   acetone  2 L")
    assert lines[1].endswith("12.40 EUR  shelf 1")
    assert "50 mL" in lines[2]
    assert lines[-1] == (
        "Stock worth 12.40 EUR goes out of date up to 2027-04-01, at the price of the cheapest "
        "pack of each item."
    )
    assert list(expiry_lines([], "EUR", day("04-01"))) == [
        "Nothing goes out of date up to 2027-04-01 before it is used."
    ]


def test_what_has_no_pack_is_said_to_have_no_value() -> None:
    assert list(expiry_lines(LOSSES, None, day("04-01")))[-2] == (
        "The value of 1 lot is not known: no pack of what is in there is sold."
    )
    assert list(expiry_lines(LOSSES[:1], None, day("04-01")))[-2].endswith("12.40  shelf 1")


def test_the_total_is_that_of_the_cents_shown() -> None:
    half_a_cent = [replace(LOSSES[0], value=Decimal("1.005"))] * 2
    lines = list(expiry_lines(half_a_cent, "EUR", day("04-01")))
    assert "1.01 EUR" in lines[1]
    assert lines[-1].startswith("Stock worth 2.02 EUR goes out of date")


def test_rows_of_expiry_are_numbers_in_the_unit() -> None:
    rows = expiry_rows(LOSSES)
    assert tuple(rows[0]) == EXPIRY_COLUMNS
    assert [(row["left"], row["value"]) for row in rows] == [(2000, 12.4), (200, None)]


def test_tests_say_from_what_they_are_reckoned_and_what_is_overdue() -> None:
    lines = list(peroxide_lines(to_test(SHELF), DAY))
    assert "no day is known" in lines[1]
    assert "OVERDUE" in lines[1]
    assert lines[2].startswith("2027-02-03  E1   ether  1 L    opened 2027-01-04")
    assert "OVERDUE" not in lines[2]
    assert "No lot" in next(peroxide_lines([], DAY))


def test_a_lot_of_unknown_age_is_to_be_left_closed() -> None:
    (line,) = list(peroxide_lines(to_test(SHELF), DAY))[3:]
    assert line.startswith("E3: opened? received? tested?")
    assert "leave it closed and ask the competent person" in line


@pytest.mark.parametrize(
    ("times", "words"),
    [
        ("90,", ["not set", "no peroxide_test_sealed is set", ""]),
        (",540", ["not set", "no peroxide_test is set", "O: it is open, and ether has no"]),
    ],
)
def test_a_time_that_is_not_set_is_named(times: str, words: list[str]) -> None:
    label = "S" if times.startswith("9") else "O"
    of_it = shelf(
        items=f"item,kind,unit,peroxide_test,peroxide_test_sealed\nether,solvent,mL,{times}",
        stock="lot,item,amount,opened,received\nO,ether,1 L,2027-01-04,\nS,ether,1 L,,2027-01-04",
        solutions="",
        solution_parts="",
    )
    found = [one for one in to_test(of_it) if one.held.label == label]
    lines = list(peroxide_lines(found, DAY))
    assert lines[1].startswith(words[0])
    assert peroxide_rows(found, DAY)[0]["remark"] == words[1]
    assert "".join(lines[2:]).startswith(words[2])
    assert bool(lines[2:]) is bool(words[2])


def test_rows_of_tests_have_days_or_none() -> None:
    rows = peroxide_rows(to_test(SHELF), DAY)
    assert tuple(rows[0]) == PEROXIDE_COLUMNS
    assert [(row["due"], row["overdue"]) for row in rows] == [(None, True), ("2027-02-03", False)]
    assert [row["remark"] for row in rows] == ["no day is known", ""]


def test_an_item_of_the_list_is_named_with_its_source_and_never_by_the_letter_alone() -> None:
    found = [
        (item("cumene"), published_formers()["cumene"]),
        (item("styrene"), published_formers()["styrene"]),
    ]
    cumene, styrene, how = not_watched_lines(found)
    assert cumene == (
        "cumene is on the list of Cornell University EHS, Appendix J (its class B: 12 months after "
        "opening, 18 unopened) and has no peroxide_test."
    )
    assert "only while it is inhibited; uninhibited 24 hours" in styrene
    assert "set the days that your own rules give" in how
    assert list(not_watched_lines([])) == []


def test_what_is_above_the_limit_is_left_alone_and_nothing_is_called_safe() -> None:
    line = above_limit_line(Settings().peroxide_limit)
    assert line.startswith("Above the limit of 20 mg/L. Do not open the container or move it")
    assert "ask the competent person" in line
    assert "crystals" in CAUTION
    assert " safe" not in f"{line} {CAUTION}"


def test_the_next_test_is_named_or_what_is_missing_for_it() -> None:
    assert next_test_line("ether", day("04-02")).endswith("by 2027-04-02.")
    assert "ether has no number of days to its next test: set peroxide_test" in next_test_line(
        "ether", None
    )


def test_what_is_below_its_minimum_says_both() -> None:
    assert list(too_little_lines(below_minimum(SHELF, DAY))) == ["salt: 1.5 kg, minimum 2 kg"]
