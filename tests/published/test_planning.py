"""Weeks, CAS numbers, waste codes, packs and portions against what others publish."""

from datetime import date, timedelta
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.cell_types import CasNumber, WasteCode
from prepstore.facts import Pack, Supplier
from prepstore.planning.calendar import Period
from prepstore.planning.orders import Offer, cheapest_cover
from prepstore.tables.cells import READERS
from prepstore.tables.unreadable import UnreadableError
from tests.builders import fact_of, number, plan_of, stream_of
from tests.every_case import every_case
from tests.published.rows import Row, rows_of


@pytest.mark.parametrize("row", rows_of("iso_weeks"), ids=lambda row: row["date"])
def test_a_day_lies_in_its_published_iso_week(row: Row) -> None:
    week, weekday = row["week_date"].rsplit("-", 1)
    period = Period.of_week(week)
    day = date.fromisoformat(row["date"])
    assert period.first + timedelta(days=int(weekday) - 1) == day
    assert period.last - period.first == timedelta(days=6)


@pytest.mark.parametrize("row", rows_of("cas_numbers"), ids=lambda row: row["cas"])
def test_a_cas_number_is_read_only_with_its_check_digit(row: Row) -> None:
    if row["valid"] == "valid":
        assert READERS[CasNumber](row["cas"]) == row["cas"]
    else:
        with pytest.raises(UnreadableError) as wrong:
            READERS[CasNumber](row["cas"])
        assert wrong.value.code == "cas-check-digit"


@every_case("row", rows_of("molar_masses"), ids=lambda row: row["cas"])
def test_every_cas_number_of_the_published_substances_is_read(row: Row) -> None:
    assert READERS[CasNumber](row["cas"]) == row["cas"]


CODES = rows_of("waste_codes")


@every_case("row", CODES, ids=lambda row: row["code"])
def test_a_code_of_the_european_list_is_read_and_one_of_another_list_is_not(row: Row) -> None:
    if row["standard"] == "EU List of Waste":
        assert READERS[WasteCode](row["code"]) == row["code"]
        assert row["code"].endswith("*") is (row["hazardous"] == "yes")
    else:
        with pytest.raises(UnreadableError) as wrong:
            READERS[WasteCode](row["code"])
        assert wrong.value.code == "waste-code-unreadable"


def _packs(*sizes_and_prices: tuple[object, object]) -> list[Offer]:
    shop = fact_of(Supplier, supplier="Shop")
    return [
        Offer(
            fact_of(Pack, pack=code, item="it", supplier="Shop", size="1 g", price=str(price)),
            shop,
            number(size),
        )
        for code, (size, price) in zip("ABCDEF", sizes_and_prices, strict=False)
    ]


def _counts(packs: list[Offer], wanted: object) -> tuple[int, ...]:
    taken = {pack.pack.pack: count for pack, count in cheapest_cover(packs, number(wanted))}
    return tuple(taken.get(pack.pack.pack, 0) for pack in packs)


def test_packs_of_6_9_and_20_cannot_meet_43_and_can_meet_all_above() -> None:
    """Priced by the piece, the least excess decides, so an exact cover is found where one is.

    Source:
        The coin problem: 43 is the largest number that is not 6 a + 9 b + 20 c
        (mathworld.wolfram.com/McNuggetNumber.html; from memory, and counted out below).
    """
    packs = _packs((6, 6), (9, 9), (20, 20))
    sums = {6 * a + 9 * b + 20 * c for a, b, c in product(range(12), range(8), range(4))}
    for wanted in range(1, 70):
        counts = _counts(packs, wanted)
        covered = sum(count * size for count, size in zip(counts, (6, 9, 20), strict=True))
        assert (covered == wanted) is (wanted in sums)
        assert (covered == wanted) or wanted <= 43
    assert 43 not in sums


def _best_by_trial(packs: list[Offer], wanted: Decimal) -> tuple[int, ...]:
    """Return the best cover by the four words of the contract, every combination tried."""
    ways = product(*(range(int(wanted / pack.size) + 2) for pack in packs))
    sizes = [pack.size for pack in packs]
    prices = [pack.pack.price for pack in packs]

    def rank(way: tuple[int, ...]) -> tuple[object, ...]:
        cost = sum(price * count for price, count in zip(prices, way, strict=True))
        return cost, _held(way, sizes), sum(way), tuple(-count for count in way)

    return min((way for way in ways if _held(way, sizes) >= wanted), key=rank)


def _held(way: tuple[int, ...], sizes: list[Decimal]) -> Decimal:
    return sum((size * count for size, count in zip(sizes, way, strict=True)), Decimal(0))


SIZES = st.sampled_from(["0.5", "1", "2.5", "3", "4", "6", "9", "10"])
PRICES = st.sampled_from(["0", "1", "1.10", "2.5", "3", "4", "6", "9.99"])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(SIZES, PRICES), min_size=1, max_size=3), st.integers(1, 60))
def test_the_cheapest_cover_is_that_of_exhaustive_search(
    packs: list[tuple[str, str]], halves: int
) -> None:
    sold = _packs(*packs)
    wanted = Decimal(halves) / 4
    assert _counts(sold, wanted) == _best_by_trial(sold, wanted)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(2, 7), PRICES), min_size=2, max_size=2), st.integers(60, 120))
def test_the_cheapest_cover_of_many_packs_is_that_of_exhaustive_search(
    packs: list[tuple[int, str]], wanted: int
) -> None:
    sold = _packs(*packs)
    assert _counts(sold, wanted) == _best_by_trial(sold, Decimal(wanted))


def test_twelve_twelfths_of_a_bottle_order_one_bottle() -> None:
    twelfths = Decimal(1) / 12
    assert _counts(_packs((1, 5)), twelfths * 12) == (1,)


def test_three_portions_of_fifteen_are_forty_five_of_waste_a_group_and_the_rinses() -> None:
    """Five groups extract with 3 x 15 mL and rinse with 5 mL: 250 mL, and with 20 % spare 300 mL.

    Source: common practice, no source; the sum is 5 × (45 + 5).
    """
    plan = plan_of(
        items="""
            item,            kind,    unit
            dichloromethane, solvent, mL""",
        practical_lines="""
            practical, stage,   item,            amount,    per,   to
            P,         extract, dichloromethane, 3 x 15 mL, group, halogenated
            P,         rinse,   dichloromethane, 5 mL,      group, halogenated""",
        timetable="""
            session, practical, date,       students, group_size
            S,       P,         2027-02-01, 10,       2""",
        waste_streams="""
            stream,      measure
            halogenated, volume""",
    )
    stream = stream_of(plan, "halogenated")
    assert stream.total.expected == 250
    assert stream.total.allow_for == 300
