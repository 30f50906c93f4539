from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from prepstore.safety.classes.given import Ingredient
from prepstore.safety.classes.held import rows_in_force
from tests.safety.classes.made import held, own, part, row


def test_one_substance_in_two_items_stands_once_with_both_shares() -> None:
    one, _water = held(part("1310-73-2", "0.3", "pellets"), part("1310-73-2", "0.2", "flakes"))
    assert (one.item, one.percent) == ("flakes", Fraction(1, 2))


def test_two_items_with_rows_that_differ_stay_apart() -> None:
    first = own("a", "1", row("Carc. 2", "H351"), cas="67-56-1")
    second = own("b", "1", row("Carc. 1A", "H350"), cas="67-56-1")
    assert [one.item for one in held(first, second)][:2] == ["a", "b"]


def test_the_strength_that_parts_two_entries_is_that_of_all_its_items() -> None:
    acid, _water = held(part("7697-37-2", "40", "a"), part("7697-37-2", "35", "b"))
    assert acid.by == "Annex VI, 007-004-00-1"


def test_nothing_of_an_item_leaves_it_out() -> None:
    assert [one.item for one in held(part("67-56-1", "0"))] == ["water"]


def test_one_of_its_items_that_is_an_acid_makes_a_substance_one() -> None:
    acid = part("64-19-7", "1", "a", acid_or_base=True)
    both, _water = held(acid, part("64-19-7", "1", "b"))
    assert both.is_acid_or_base
    both, _water = held(part("64-19-7", "1", "a"), replace(acid, item="b"))
    assert both.is_acid_or_base
    neither, _water = held(part("64-19-7", "1", "a"), part("64-19-7", "1", "b"))
    assert not neither.is_acid_or_base


def test_own_rows_of_a_hydrate_are_for_the_hydrate_as_it_is() -> None:
    hydrate = Ingredient("chloride", Decimal(10), "10035-04-8", "CaCl2·2H2O")
    own_rows = replace(hydrate, limits=(row("Eye Irrit. 2", "H319"),))
    assert held(own_rows)[0].percent == 10
    assert held(hydrate)[0].percent < 8
    vitriol = Ingredient("vitriol", Decimal(10), "7758-99-8", "CuSO4·5H2O")
    assert held(vitriol)[0].percent == 10


def test_a_class_with_a_specific_limit_needs_no_row_without_one() -> None:
    acid, _water = held(
        own("acid", "7", row("Skin Corr. 1B", "H314"), row("Skin Corr. 1B", "H314", "10"))
    )
    assert [one.band.start for one in acid.rows] == [Decimal(10)]


def test_stars_and_spaces_of_a_class_do_not_matter() -> None:
    acid, _water = held(own("acid", "7", row("Acute  Tox. 4 *", "H302")))
    assert acid.rows[0].hazard_class == "Acute Tox. 4"


def test_note_1_counts_the_metal() -> None:
    """Co is 45.4 % of CoCl2 (58.933 / 129.833); note 1 counts it for all limits."""
    cobalt, _water = held(part("7646-79-9", "1"))
    assert round(float(cobalt.counted), 4) == 0.4539
    assert cobalt.counted_specific == cobalt.counted
    assert cobalt.percent == 1


def test_note_1_takes_the_metal_of_a_group_from_the_formula_of_the_item() -> None:
    """Pb is 62.56 % of Pb(NO3)2 (207.2 / 331.2); without a formula all of it counts."""
    lead, _water = held(Ingredient("lead nitrate", Decimal(1), "10099-74-8", "Pb(NO3)2"))
    assert round(float(lead.counted), 4) == 0.6256
    unknown, _water = held(Ingredient("lead nitrate", Decimal(1), "10099-74-8"))
    assert unknown.counted == 1


def test_note_3_counts_chromate_ions_for_specific_limits_alone() -> None:
    """CrO4 twice is 78.86 % of K2Cr2O7 (2 x 115.99 / 294.18)."""
    dichromate, _water = held(part("7778-50-9", "1"))
    assert dichromate.counted == 1
    assert round(float(dichromate.counted_specific), 4) == 0.7886


def test_water_is_known_by_number_formula_or_name_and_a_number_comes_first() -> None:
    def is_water(item: str, cas: str = "", formula: str = "") -> bool:
        return held(Ingredient(item, Decimal(100), cas, formula))[0].is_water

    assert is_water("from the tap", "7732-18-5")
    assert is_water("ice", formula="H2O")
    assert is_water("Deionised water")
    assert not is_water("bromine water")
    assert not is_water("water", "7789-20-0")


def test_the_rows_of_the_latest_day_hold_and_a_row_without_one_is_the_oldest() -> None:
    old, first, second = (
        row("Carc. 2", "H351"),
        row("Carc. 1B", "H350", since="2026-05-01"),
        row("Muta. 2", "H341", since="2026-05-01"),
    )
    rows = (old, first, second)
    assert rows_in_force(rows, date(2026, 4, 30)) == (old,)
    assert rows_in_force(rows, date(2026, 5, 1)) == (first, second)
    assert rows_in_force((first,), date(2026, 4, 30)) == ()
