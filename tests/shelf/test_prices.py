from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from prepstore.facts import SolutionPart
from prepstore.planning.supplies import packs_sold
from prepstore.shelf.prices import (
    MADE_ON_SITE,
    Cost,
    Estimates,
    Known,
    cents,
    estimated,
    in_digits,
    not_known,
    paid,
    prices_of_units,
    sum_of,
)
from tests.builders import day, fact_of
from tests.shelf.money_store import TABLES
from tests.shelf.small_shelf import DAY, shelf

SHELF = shelf(**TABLES, stock="lot,item,amount")
ESTIMATES = Estimates(SHELF, DAY)
RETIRING = {
    "suppliers": "supplier,lead_days,retired\nHarbour,0,\nClosed,0,2027-01-31",
    "packs": """
        pack,item,supplier,size,price
        H1,acetone,Harbour,1 L,8
        H2,acetone,Harbour,2.5 L,15
        C1,acetone,Closed,1 L,1
    """,
}


def test_the_price_of_a_unit_is_that_of_the_cheapest_pack_that_is_sold() -> None:
    sold = shelf(**RETIRING)
    packs = packs_sold(sold.goods, DAY)
    assert prices_of_units(packs) == {"acetone": Fraction("0.006")}


def test_what_a_supplier_sold_before_retiring_counts_until_then() -> None:
    sold = shelf(**RETIRING)
    assert Estimates(sold, day("01-30")).of("acetone") == estimated(Fraction("0.001"))
    assert Estimates(sold, day("01-31")).of("acetone") == estimated(Fraction("0.006"))


@pytest.mark.parametrize(
    ("name", "price"),
    [
        ("ACETONE", estimated(Fraction("0.006"))),
        ("glove", estimated(Fraction(1, 3))),
        ("dye", not_known("dye")),
        ("water", MADE_ON_SITE),
        ("nothing of the kind", not_known("nothing of the kind")),
    ],
)
def test_what_nobody_recorded_a_price_of_is_estimated_or_named(name: str, price: Cost) -> None:
    assert ESTIMATES.of(name) == price


def test_a_solution_is_estimated_by_its_parts_and_names_the_one_without_a_price() -> None:
    # 200 g of salt at 5 for the kilogram make a litre of brine; its water is made on site
    brine = ESTIMATES.of("brine")
    assert (brine.estimated, brine.known) == (Fraction(1, 1000), Known.ESTIMATED)
    assert ESTIMATES.of("dyed brine") == not_known("dye")


def test_a_solution_that_cannot_be_worked_out_or_has_no_parts_has_no_price() -> None:
    # another program may have written what no load takes
    part = fact_of(SolutionPart, solution="brine", item="salt", amount="20 % w/w")
    goods = replace(SHELF.goods, parts={"brine": (part,)})
    wrong = replace(SHELF, stores=replace(SHELF.stores, goods=goods))
    estimates = Estimates(wrong, DAY)
    assert estimates.of("brine") == not_known("brine")
    assert estimates.of("dyed brine") == not_known("dyed brine")


def test_items_are_bought_and_solutions_and_what_is_made_on_site_are_not() -> None:
    names = ("salt", "water", "brine")
    assert [ESTIMATES.is_bought(name) for name in names] == [True, False, False]


@pytest.mark.parametrize(
    ("ways", "known"),
    [
        ([], Known.PAID),
        ([MADE_ON_SITE], Known.MADE_ON_SITE),
        ([MADE_ON_SITE, paid(Fraction(1))], Known.PAID),
        ([paid(Fraction(1)), estimated(Fraction(0))], Known.ESTIMATED),
        ([estimated(Fraction(1)), not_known("dye"), paid(Fraction(1))], Known.NOT_KNOWN),
    ],
)
def test_the_gravest_way_in_which_a_part_is_known_says_how_all_of_it_is(
    ways: list[Cost], known: Known
) -> None:
    assert sum_of(ways).known is known


def test_costs_add_up_and_keep_what_was_paid_apart() -> None:
    both = (paid(Fraction(2)) + estimated(Fraction(3)) + not_known("dye")).times(Fraction(1, 4))
    assert (both.paid, both.estimated, both.total) == (
        Fraction(1, 2),
        Fraction(3, 4),
        Fraction(5, 4),
    )
    assert both.lacking == {"dye"}


def test_cents_are_those_of_the_total() -> None:
    both = Cost(Fraction("0.004"), Fraction("0.004")).in_cents()
    assert (both.paid, both.estimated) == (Fraction(0), Fraction("0.01"))


@pytest.mark.parametrize(
    ("money", "rounded"),
    [("1/200", "0.01"), ("-1/200", "-0.01"), ("0.0149", "0.01"), ("2/3", "0.67"), ("7", "7.00")],
)
def test_half_a_cent_goes_away_from_nothing(money: str, rounded: str) -> None:
    assert str(cents(Fraction(money))) == rounded


def test_what_was_typed_keeps_its_digits() -> None:
    assert in_digits(Fraction("999998999999999999.999999000001")) == Decimal(
        "999998999999999999.999999000001"
    )
