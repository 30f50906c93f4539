from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from prepstore.amounts import Kind
from prepstore.report.spending_list import (
    SPENDING_COLUMNS,
    By,
    spending_lines,
    spending_rows,
    total_of,
)
from prepstore.shelf.prices import Cost, estimated, not_known, paid
from prepstore.shelf.spending import ItemUse, PracticalCost, SessionCost, Spending, Spent


def _used(
    item: str, used: int, cost: Cost, into: int = 0, cost_into: Cost | None = None
) -> ItemUse:
    return ItemUse(
        "2027-03", item, Kind.MASS, Decimal(used), cost, Decimal(into), cost_into or Cost()
    )


FOUND = Spending(
    suppliers=[
        Spent("2027-02", "Harbour", paid(Fraction("7.125"))),
        Spent("2027-03", "", estimated(Fraction("0.5")) + not_known("dye")),
    ],
    months=[],
    sessions=[SessionCost(date(2027, 3, 8), "Mon", "P", paid(Fraction("2.5")))],
    practicals=[PracticalCost("P", 1, not_known("dye"))],
    items=[
        _used("salt", 300, paid(Fraction("1.5")), 200, paid(Fraction(1))),
        _used("brine", 1500, paid(Fraction("0.75"))),
    ],
)
NOTHING = Spending([], [], [], [], [])


@pytest.mark.parametrize(
    ("by", "lines"),
    [
        (
            By.SUPPLIER,
            [
                "month    supplier           cost       known",
                "2027-02  Harbour            7.125 EUR  paid",
                "2027-03  no supplier given  0.50 EUR   estimated, some not known",
                "7.625 EUR in all: paid 93 %, estimated 7 %, some not known",
                "Not counted, since no price is recorded and no pack is sold: dye.",
            ],
        ),
        (
            By.SESSION,
            [
                "day         session  practical  cost      known",
                "2027-03-08  Mon      P          2.50 EUR  paid",
                "2.50 EUR in all: paid",
            ],
        ),
        (
            By.PRACTICAL,
            [
                "practical  sessions  known",
                "P          1         not known",
                "Cost not known in all: not known",
                "Not counted, since no price is recorded and no pack is sold: dye.",
            ],
        ),
        (
            By.ITEM,
            [
                "month    item   used    of it into solutions  cost      known",
                "2027-03  salt   300 g   200 g                 1.50 EUR  paid",
                "2027-03  brine  1.5 kg                        0.75 EUR  paid",
                "1.25 EUR in all: paid",
                "What went into solutions is left out of the total: it counts when they are used.",
            ],
        ),
    ],
)
def test_each_way_of_looking_has_its_lines_and_its_sum(by: By, lines: list[str]) -> None:
    assert list(spending_lines(FOUND, by, "EUR")) == lines


@pytest.mark.parametrize("by", By)
def test_rows_have_the_columns_that_are_promised(by: By) -> None:
    rows = spending_rows(FOUND, by)
    assert rows
    assert all(tuple(row) == SPENDING_COLUMNS[by] for row in rows)


def test_rows_for_other_programs_say_what_is_estimated() -> None:
    first, second = spending_rows(FOUND, By.SUPPLIER)
    assert (first["cost"], first["paid"], first["known"]) == (7.125, 7.125, "paid")
    assert (second["supplier"], second["cost"], second["no_price"]) == (None, 0.5, ["dye"])
    assert spending_rows(FOUND, By.PRACTICAL)[0]["cost"] is None


@pytest.mark.parametrize(
    ("by", "says"),
    [
        (By.SUPPLIER, "Nothing was bought in that time."),
        (By.SESSION, "No session was booked out in that time."),
        (By.PRACTICAL, "No session was booked out in that time."),
        (By.ITEM, "Nothing was used in that time."),
    ],
)
def test_where_there_is_nothing_it_says_so(by: By, says: str) -> None:
    assert list(spending_lines(NOTHING, by, "EUR")) == [says]


def test_the_total_of_items_counts_nothing_twice() -> None:
    assert total_of(FOUND.items).total == Fraction("1.25")
