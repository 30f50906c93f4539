"""The shipped entries, and which of their versions holds on which day."""

import csv
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from prepstore.safety.classes.classified import classified
from prepstore.safety.classes.entries import Entry, harmonised_entries
from prepstore.safety.classes.given import Ingredient, PhysicalForm
from prepstore.safety.classes.label import label_elements
from prepstore.safety.data_files import rows_of
from prepstore.safety.hazard_statements import in_words
from tests.every_case import every_case
from tests.safety.classes.made import NOTHING_KNOWN, TODAY, table

TEN = Fraction(10)
_INVENTORY = Path(__file__).parents[3] / "sample_inventory" / "items.csv"
SAMPLE = list(csv.DictReader(_INVENTORY.read_text(encoding="utf-8").splitlines()))


def _held(cas: str, on: date = TODAY, percent: Fraction = TEN) -> Entry:
    entry = harmonised_entries().holding(cas, on, percent)
    assert entry is not None
    return entry


def _names(entry: Entry) -> set[str]:
    return {row.hazard_class for row in entry.rows}


@pytest.mark.parametrize(
    ("cas", "day", "before", "since"),
    [
        ("110-54-3", date(2026, 5, 1), "STOT RE 2", "STOT RE 1"),
        ("50-00-0", date(2026, 5, 1), "Skin Sens. 1", "Skin Sens. 1A"),
        ("64-18-6", date(2026, 5, 1), "Skin Corr. 1A", "Met. Corr. 1"),
        ("7722-64-7", date(2020, 5, 1), "Ox. Sol. 2", "Repr. 2"),
        ("7697-37-2", date(2022, 3, 1), "Ox. Liq. 2", "Acute Tox. 3"),
    ],
)
def test_a_version_holds_from_its_day(cas: str, day: date, before: str, since: str) -> None:
    """Days and classes: Annex VI as amended by CELEX 32024R2564, 32018R1480 and 32020R1182."""
    earlier, later = _names(_held(cas, day - timedelta(days=1))), _names(_held(cas, day))
    assert before in earlier
    assert since in later
    assert since not in earlier


def test_a_substance_has_no_entry_before_its_first_day() -> None:
    """Ozone and dinitrogen oxide: CELEX 32025R1222, from 1 February 2027."""
    for cas in ("10028-15-6", "10024-97-2"):
        assert harmonised_entries().holding(cas, date(2027, 1, 31), TEN) is None
        assert _held(cas, date(2027, 2, 1)).in_force == date(2027, 2, 1)


def test_ozone_has_the_small_limits_as_printed() -> None:
    """`STOT SE 2; H371: 5.0E-4% ≤ C < 0.002%`: CELEX 32025R1222, 008-004-00-4."""
    ozone = _held("10028-15-6", date(2027, 2, 1))
    (second,) = [row for row in ozone.rows if row.hazard_class == "STOT SE 2"]
    assert (str(second.band.start), str(second.band.end)) == ("0.0005", "0.002")


def test_nitric_acid_goes_by_its_strength() -> None:
    assert _held("7697-37-2", percent=Fraction(70)).index_no == "007-030-00-3"
    assert _held("7697-37-2", percent=Fraction("70.01")).index_no == "007-004-00-1"


def test_a_gas_in_a_liquid_goes_by_the_entry_of_its_solution() -> None:
    assert _held("7647-01-0").index_no == "017-002-01-X"
    assert _held("7664-39-3").index_no == "009-003-00-1"
    gas = harmonised_entries().holding("7647-01-0", TODAY, TEN, PhysicalForm.GAS)
    assert gas is not None
    assert gas.index_no == "017-002-00-2"


def test_a_cas_number_that_moved_to_an_entry_of_its_own_goes_by_that() -> None:
    """d-Limonene: CELEX 32021R0849, from 17 December 2022."""
    assert _held("5989-27-5", date(2022, 12, 16)).index_no == "601-029-00-7"
    assert _held("5989-27-5", date(2022, 12, 17)).index_no == "601-096-00-2"


def test_note_11_adds_boron_compounds_from_its_day() -> None:
    """CELEX 32023R1435, from 1 February 2025."""
    entries = harmonised_entries()
    assert not entries.is_summed_by_note_11("10043-35-3", date(2025, 1, 31))
    assert entries.is_summed_by_note_11("10043-35-3", date(2025, 2, 1))
    assert not entries.is_summed_by_note_11("67-56-1", date(2025, 2, 1))


def test_every_class_of_every_entry_is_one_that_a_label_knows() -> None:
    known = set(label_elements())
    for entries in harmonised_entries().latest.values():
        for name in {row.hazard_class for entry in entries for row in entry.rows}:
            assert name in known or name.startswith("EUH"), name


def test_the_entries_have_the_classes_that_are_printed_for_them() -> None:
    """All but the forms of a metal that are left out (powders), and specific limits beside them."""
    latest = {key: entries[-1] for key, entries in harmonised_entries().latest.items()}
    for row in table("printed_labels.csv"):
        if row["index_no"] in latest:
            shipped = _names(latest[row["index_no"]])
            assert set(row["classes"].split("; ")) <= shipped, row["substance"]


@pytest.mark.parametrize("name", ["harmonised_classes.csv", "hydrates.csv"])
def test_every_cas_number_has_its_check_digit(name: str) -> None:
    for row in rows_of(name):
        for cas in row["cas"].split():
            digits, check = cas.replace("-", "")[:-1], cas[-1]
            total = sum(at * int(one) for at, one in enumerate(reversed(digits), start=1))
            assert total % 10 == int(check), cas


def test_every_statement_of_an_entry_has_its_words() -> None:
    codes = {
        row.h_code
        for entries in harmonised_entries().latest.values()
        for entry in entries
        for row in entry.rows
        if row.h_code
    }
    unknown = in_words("H999")
    assert {code for code in codes if in_words(code) == unknown} == set()


# Note P: the entry holds unless the supplier shows less than 0.1 % of benzene, as theirs does.
BY_ITS_SUPPLIER = {"petroleum ether 40-60"}


@every_case(
    "item",
    [one for one in SAMPLE if one["cas"] and one["item"] not in BY_ITS_SUPPLIER],
    ids=lambda one: one["item"],
)
def test_the_sample_has_the_statements_that_are_in_force(item: dict[str, str]) -> None:
    """Health and environment, at the strength that is bought; suppliers may add others."""
    strength, _, basis = item["strength"].partition(" %")
    percent = Decimal(strength) if basis == " w/w" else Decimal(100)
    bought = Ingredient(item["item"], percent, item["cas"], item["formula"])
    result = classified([bought], NOTHING_KNOWN, TODAY, harmonised_entries())
    assert set(result.h_codes) <= set(item["hazards"].split())
