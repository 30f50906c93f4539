from datetime import date, time
from decimal import Decimal
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore import cell_types
from prepstore.cell_types import AcidOrBase, ProtonRole, Share, Species, fold
from prepstore.tables.cells import READERS, read_date, read_percent
from prepstore.tables.unreadable import UnreadableError
from tests.every_case import every_case


def _read(kind: object, text: str) -> Any:  # noqa: ANN401 - whatever the column holds
    return READERS[kind](text)


@given(st.decimals(0, 100, places=2))
def test_the_three_forms_of_a_percentage_are_equal(number: Decimal) -> None:
    forms = [f"{number} %", f"{number}%", f"{number / 100:f}"]
    assert {read_percent(form) for form in forms} == {number / 100}


@pytest.mark.parametrize(("text", "fraction"), [("1", 1), ("0", 0), ("100 %", 1), ("1 %", "0.01")])
def test_a_percentage_is_a_fraction(text: str, fraction: object) -> None:
    assert read_percent(text) == Decimal(str(fraction))


@given(st.dates(date(1900, 1, 1), date(2999, 12, 31)))
def test_a_date_reads_back_as_it_was(day: date) -> None:
    assert read_date(day.isoformat()) == day


@given(st.times().map(lambda moment: moment.replace(second=0, microsecond=0)))
def test_a_time_reads_back_as_it_was(moment: time) -> None:
    for text in (f"{moment:%H:%M}", f"{moment:%H:%M:%S}", f"{moment.hour}:{moment:%M}"):
        assert _read(time, text) == moment


@given(st.integers(0, 999_999))
def test_a_count_reads_back_as_it_was(count: int) -> None:
    assert _read(cell_types.Count, str(count)) == count
    assert _read(cell_types.Count, f"{count:06}") == count


@given(st.decimals("0.001", 999_999, places=3))
def test_a_number_reads_back_as_it_was(number: Decimal) -> None:
    assert _read(cell_types.PositiveNumber, str(number)) == number
    assert _read(cell_types.Money, str(number)) == number


@given(st.integers(10, 9_999_999), st.integers(0, 99))
def test_one_check_digit_of_ten_is_right(first: int, second: int) -> None:
    right, said = [], []
    for check in range(10):
        try:
            right.append(_read(cell_types.CasNumber, f"{first}-{second:02}-{check}"))
        except UnreadableError as error:
            said.append((error.code, error.what.rstrip(".")[-1]))
    assert len(right) == 1
    assert set(said) == {("cas-check-digit", right[0][-1])}


@pytest.mark.parametrize("cas", ["7732-18-5", "7647-14-5", "50-00-0", "7440-44-0", "107-07-3"])
def test_a_cas_number_of_a_label_is_read(cas: str) -> None:
    assert _read(cell_types.CasNumber, cas) == cas


@pytest.mark.parametrize(
    ("text", "shares"),
    [
        ("aqueous", [("aqueous", "1")]),
        ("aqueous 100 %", [("aqueous", "1")]),
        ("a 90 %; b 10 %", [("a", "0.9"), ("b", "0.1")]),
        ("a 90%;b 10%;", [("a", "0.9"), ("b", "0.1")]),
        ("a 33.3 %; b 33.3 %; c 33.4 %", [("a", "0.333"), ("b", "0.333"), ("c", "0.334")]),
        ("a b 0 %; c 100 %", [("a b", "0"), ("c", "1")]),
        ("stream 2 50 %; stream 3 50 %", [("stream 2", "0.5"), ("stream 3", "0.5")]),
    ],
)
def test_shares_are_read(text: str, shares: list[tuple[str, str]]) -> None:
    assert _read(cell_types.Shares, text) == tuple(
        Share(end, Decimal(part)) for end, part in shares
    )


@given(st.lists(st.integers(1, 9999), min_size=1, max_size=6, unique=True))
def test_shares_that_add_up_to_a_hundred_are_read_and_others_are_not(parts: list[int]) -> None:
    rest = Decimal(100) - sum(Decimal(part) / 1000 for part in parts)
    told = [*(Decimal(part) / 1000 for part in parts), rest]
    text = "; ".join(f"s{number} {part:f} %" for number, part in enumerate(told))
    assert sum(share.fraction for share in _read(cell_types.Shares, text)) == 1
    with pytest.raises(UnreadableError, match="add up to"):
        _read(cell_types.Shares, text.replace("s0 ", "s0 1"))


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (cell_types.Flag, "YES", True),
        (cell_types.Flag, "no", False),
        (cell_types.ItemKind, "Reagent", cell_types.ItemKind.REAGENT),
        (cell_types.StockUnit, "ml", cell_types.StockUnit.MILLILITRE),
        (cell_types.Supply, "Made on site", cell_types.Supply.MADE_ON_SITE),
        (cell_types.Names, "a; b ;;c", ("a", "b", "c")),
        (cell_types.Species, "Cu", Species(Decimal(1), "Cu")),
        (cell_types.Species, "2 Na", Species(Decimal(2), "Na")),
        (cell_types.Species, "Na2CO3", Species(Decimal(1), "Na2CO3")),
        (cell_types.HazardCodes, "H225 H319", ("H225", "H319")),
        (cell_types.HazardCodes, "H225; EUH066, H301+H311", ("H225", "EUH066", "H301+H311")),
        (cell_types.HazardCodes, "H360FD", ("H360FD",)),
        (cell_types.HazardCode, "EUH031", "EUH031"),
        (cell_types.HazardClass, "skin corr.  1b", "Skin Corr. 1B"),
        (cell_types.HazardClass, "Acute Tox. 4 *", "Acute Tox. 4"),
        (cell_types.HazardClass, "euh031", "EUH031"),
        (cell_types.ReactiveGroups, "19; 4;19", (19, 4)),
        (cell_types.ReactiveGroups, "1; 34; 101; 107", (1, 34, 101, 107)),
        (cell_types.AcidOrBase, "Strong  acid 2", AcidOrBase(ProtonRole.STRONG_ACID, 2)),
        (cell_types.AcidOrBase, "weak base 1", AcidOrBase(ProtonRole.WEAK_BASE, 1)),
        (cell_types.AcidOrBase, "carbonate", AcidOrBase(ProtonRole.CARBONATE, 2)),
        (cell_types.AcidOrBase, "hydrogencarbonate", AcidOrBase(ProtonRole.HYDROGENCARBONATE, 1)),
        (cell_types.MassPercent, "5 %", Decimal("0.05")),
        (cell_types.MassPercent, "5%", Decimal("0.05")),
        (cell_types.MassPercent, "5", Decimal("0.05")),
        (cell_types.MassPercent, "0.15", Decimal("0.0015")),
        (cell_types.MassPercent, "100", Decimal(1)),
        (cell_types.Acidity, "13", Decimal(13)),
        (cell_types.Acidity, "-2", Decimal(-2)),
        (cell_types.Acidity, "16", Decimal(16)),
        (cell_types.Celsius, "−45.5", Decimal("-45.5")),
        (cell_types.InhalationForm, "Mist", cell_types.InhalationForm.MIST),
        (cell_types.WasteCode, "14 06 02*", "14 06 02*"),
        (cell_types.Weekdays, "Mon-Fri", frozenset(range(5))),
        (cell_types.Weekdays, "sat-tue", frozenset({5, 6, 0, 1})),
        (cell_types.Weekdays, "Mon; Wed, Fri", frozenset({0, 2, 4})),
        (cell_types.Dates, "2027-03-26; 2027-03-29", {date(2027, 3, 26), date(2027, 3, 29)}),
    ],
)
def test_a_word_is_read_whatever_its_case(kind: object, text: str, value: object) -> None:
    assert _read(kind, text) == value


def test_measures_go_by_their_folded_names() -> None:
    measures = _read(cell_types.Measures, "Scoop = 2 g; drop=0.05 mL;")
    assert {name: str(size) for name, size in measures.items()} == {
        "scoop": "2 g",
        fold("DROP"): "0.05 mL",
    }


LONG = [
    "9" * 30_000, "1" * 15_000 + "." + "1" * 15_000, "a " * 15_000, "1 %; " * 6000, "(" * 30_000,
    "Na(" * 10_000, "H225" * 8000, "Mon-" * 8000, "a=" * 15_000, " 1" * 15_000 + "!",
]  # fmt: skip


@every_case("kind,text", product(READERS, LONG), ids=lambda case: f"{case[0]}: {case[1][:6]}")
def test_no_text_keeps_a_reader_for_long(kind: object, text: str) -> None:
    # A reader that takes the square of a text's length would take minutes for these.
    try:
        _read(kind, text.strip())
    except UnreadableError as error:
        assert error.remedy  # noqa: PT017 - to be read is as right as to be refused


def test_more_days_than_a_hundred_years_are_refused() -> None:
    assert READERS[cell_types.Days]("36500") == 36500
    with pytest.raises(UnreadableError, match="a hundred years"):
        READERS[cell_types.Days]("36501")
