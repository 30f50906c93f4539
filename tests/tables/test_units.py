from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Basis, Kind
from prepstore.chemistry.conversions import Material, in_unit, measured_as, turned
from prepstore.chemistry.routes import Route
from prepstore.tables.units import CARD, read_amount, read_concentration, unit_word
from prepstore.tables.unreadable import UnreadableError

COUNTS = st.integers(1, 999)
NUMBERS = st.decimals("0.001", 99_999, places=3)
SCIENCE = sorted(CARD)


def _comes_to(text: str, kind: Kind) -> Decimal:
    portions = read_amount(text).portions
    assert {portion.kind for portion in portions} == {kind}
    return sum((portion.number for portion in portions), Decimal(0))


@pytest.mark.parametrize("text", ["1,5 mL", "1 000 mL"])
def test_a_number_with_a_comma_or_a_space_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError, match="is not a number and a unit"):
        read_amount(text)


@pytest.mark.parametrize(
    "word", ["pcs", "ML", "N", "pinch", "Kg", "G", "MG", "kl", "Mol", "l.", "m"]
)
def test_a_word_that_is_not_on_the_card_is_no_unit(word: str) -> None:
    assert unit_word(word) is None
    (portion,) = read_amount(f"5 {word}").portions
    assert (portion.kind, portion.word) == (None, word)


@pytest.mark.parametrize(
    ("text", "number", "kind"),
    [
        ("25 mL", "25", Kind.VOLUME),
        ("25 ml", "25", Kind.VOLUME),
        ("25mL", "25", Kind.VOLUME),
        ("2.5 L", "2500", Kind.VOLUME),
        ("2.5 l", "2500", Kind.VOLUME),
        ("1 cL", "10", Kind.VOLUME),
        ("1 dl", "100", Kind.VOLUME),
        ("50 µL", "0.05", Kind.VOLUME),
        ("50 μL", "0.05", Kind.VOLUME),
        ("50 uL", "0.05", Kind.VOLUME),
        ("50 ul", "0.05", Kind.VOLUME),
        ("3 nL", "0.000003", Kind.VOLUME),
        ("25 cm3", "25", Kind.VOLUME),
        ("25 cm³", "25", Kind.VOLUME),
        ("2 dm3", "2000", Kind.VOLUME),
        ("2 dm³", "2000", Kind.VOLUME),
        ("1.5 g", "1.5", Kind.MASS),
        ("2 kg", "2000", Kind.MASS),
        ("250 mg", "0.25", Kind.MASS),
        ("7 µg", "0.000007", Kind.MASS),
        ("20 mmol", "0.02", Kind.SUBSTANCE),
        ("1 kmol", "1000", Kind.SUBSTANCE),
        ("6 each", "6", Kind.COUNT),
        (".5 g", "0.5", Kind.MASS),
        ("0 g", "0", Kind.MASS),
        ("3 x 15 mL", "45", Kind.VOLUME),
        ("15 mL x 3", "45", Kind.VOLUME),
        ("15 mL×3", "45", Kind.VOLUME),
        ("15mL * 3", "45", Kind.VOLUME),
        ("20 mL + 15 mL x 3", "65", Kind.VOLUME),
        ("3x15mL", "45", Kind.VOLUME),
        ("3 × 15 mL", "45", Kind.VOLUME),
        ("3 * 15 mL", "45", Kind.VOLUME),
        ("20 mL + 2 x 10 mL", "40", Kind.VOLUME),
        ("1 L+500 mL", "1500", Kind.VOLUME),
        ("0 x 15 mL", "0", Kind.VOLUME),
    ],
)
def test_an_amount_is_a_number_in_the_held_unit(text: str, number: str, kind: Kind) -> None:
    assert _comes_to(text, kind) == Decimal(number)
    assert str(read_amount(text)) == text


@given(COUNTS, NUMBERS, st.sampled_from("x×*"), st.sampled_from(["", " ", "  "]))
def test_portions_are_their_product(count: int, number: Decimal, sign: str, space: str) -> None:
    written = f"{count}{space}{sign}{space}{number} mL"
    assert _comes_to(written, Kind.VOLUME) == count * number


@given(st.lists(NUMBERS, min_size=1, max_size=8))
def test_a_sum_is_the_sum_of_its_terms(numbers: list[Decimal]) -> None:
    assert _comes_to(" + ".join(f"{number} g" for number in numbers), Kind.MASS) == sum(numbers)


@given(NUMBERS, st.sampled_from(SCIENCE))
def test_a_number_and_a_unit_of_the_card_read_as_number_times_unit(
    number: Decimal, word: str
) -> None:
    unit = unit_word(word)
    assert unit is not None
    in_one, kind = unit
    assert _comes_to(f"{number} {word}", kind) == number * in_one


@given(
    NUMBERS, st.sampled_from([("k", "", 1000), ("", "m", 1000), ("m", "µ", 1000), ("µ", "n", 1000)])
)
def test_each_prefix_is_a_thousand_of_the_next(
    number: Decimal, prefixes: tuple[str, str, int]
) -> None:
    large, small, ratio = prefixes
    for unit, kind in (("g", Kind.MASS), ("mol", Kind.SUBSTANCE)):
        assert _comes_to(f"{number} {large}{unit}", kind) == _comes_to(
            f"{number * ratio} {small}{unit}", kind
        )


@pytest.mark.parametrize(
    ("text", "number", "basis"),
    [
        ("2 mol/L", "2", Basis.MOLAR),
        ("2 M", "2", Basis.MOLAR),
        ("2 mol/l", "2", Basis.MOLAR),
        ("2 mol / L", "2", Basis.MOLAR),
        ("2 mol/dm³", "2", Basis.MOLAR),
        ("50 mmol/L", "0.05", Basis.MOLAR),
        ("50 mM", "0.05", Basis.MOLAR),
        ("5 µM", "0.000005", Basis.MOLAR),
        ("5 uM", "0.000005", Basis.MOLAR),
        ("2 mmol/mL", "2", Basis.MOLAR),
        ("11.2 vol", "1", Basis.MOLAR),
        ("5 % w/v", "50", Basis.MASS_PER_VOLUME),
        ("5% w/v", "50", Basis.MASS_PER_VOLUME),
        ("5 % W/V", "50", Basis.MASS_PER_VOLUME),
        ("37 % W/w", "0.37", Basis.MASS_FRACTION),
        ("20 g/L", "20", Basis.MASS_PER_VOLUME),
        ("500 mg/L", "0.5", Basis.MASS_PER_VOLUME),
        ("2 mg/mL", "2", Basis.MASS_PER_VOLUME),
        ("2 kg/L", "2000", Basis.MASS_PER_VOLUME),
        ("20 ppm", "0.02", Basis.MASS_PER_VOLUME),
        ("37 % w/w", "0.37", Basis.MASS_FRACTION),
        ("100 % w/w", "1", Basis.MASS_FRACTION),
        ("70 % v/v", "0.7", Basis.VOLUME_FRACTION),
        ("70%v/v", "0.7", Basis.VOLUME_FRACTION),
        ("125 mL/L", "125", Basis.AS_SUPPLIED),
        ("1 L/L", "1000", Basis.AS_SUPPLIED),
        ("4 parts", "4", Basis.PARTS),
        ("1 part", "1", Basis.PARTS),
        ("to volume", "0", Basis.TO_VOLUME),
        ("To  Volume", "0", Basis.TO_VOLUME),
    ],
)
def test_a_concentration_is_a_number_on_its_basis(text: str, number: str, basis: Basis) -> None:
    found = read_concentration(text)
    assert (found.number, found.basis, str(found)) == (Decimal(number), basis, text)


@given(st.decimals("0.01", 100, places=2))
def test_ways_to_write_one_concentration_are_equal(number: Decimal) -> None:
    ways = [
        f"{number} % w/v",
        f"{number * 10} g/L",
        f"{number * 10} mg/mL",
        f"{number * 10_000} ppm",
    ]
    assert (
        len({(read_concentration(way).number, read_concentration(way).basis) for way in ways}) == 1
    )


def test_a_volume_strength_is_one_over_11_2_mol_per_litre() -> None:
    assert read_concentration("20 vol").number == Decimal(20) / Decimal("11.2")


@given(NUMBERS, st.decimals("0.1", 20, places=3))
def test_a_volume_turned_into_a_mass_and_back_is_what_it_was(
    volume: Decimal, density: Decimal
) -> None:
    liquid = Material("acid", Kind.VOLUME, density=density)
    solid = Material("salt", Kind.MASS, density=density)
    mass = measured_as(liquid, volume, Kind.MASS)
    assert abs(turned(liquid, Route(mass), Kind.MASS).number - volume) < Decimal("1e-12")
    assert abs(turned(solid, Route(volume), Kind.VOLUME).number - mass) < Decimal("1e-12")
    assert in_unit(liquid, read_amount(f"{volume} mL")) == volume


@pytest.mark.parametrize(
    "text", ["(" * 10_000, "1" * 30_000, "x" * 30_000, "+" * 30_000, "1 " * 15_000]
)
def test_a_long_text_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError):
        read_amount(text)
    with pytest.raises(UnreadableError):
        read_concentration(text)


@pytest.mark.parametrize("text", ["2000000000 ng", "999999999 mL", "999999 kg"])
def test_a_large_number_of_a_small_unit_is_an_amount(text: str) -> None:
    assert read_amount(text).portions


@pytest.mark.parametrize(
    "text", ["1000000000 mL", "1000000 kg", "1000000 x 1 L", "1000000000 mol/L"]
)
def test_more_than_any_store_holds_is_refused(text: str) -> None:
    with pytest.raises(UnreadableError, match="more than any store holds"):
        (read_concentration if "/" in text else read_amount)(text)


def test_a_measure_that_ends_in_x_is_not_turned_round() -> None:
    (portion,) = read_amount("2 box 3").portions
    assert (portion.number, portion.word) == (Decimal(2), "box 3")
