from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.chemistry.acids_and_bases import InMoles
from prepstore.chemistry.carbon_dioxide import (
    GAS_CONSTANT_J_PER_MOL_K,
    MOLAR_VOLUME_L_PER_MOL,
    LimitedBy,
    carbon_dioxide_from,
)
from prepstore.chemistry.formulae import molar_mass
from prepstore.tables.substance_cells import acid_or_base


def _of(text: str, mol: str | Decimal) -> InMoles:
    return InMoles(acid_or_base(text), Decimal(mol))


def test_the_gas_constant_is_that_of_the_si() -> None:
    """Source: CODATA 2018, molar gas constant, 8.314 462 618... J/(mol K), exact."""
    assert Decimal("8.31446261815324") == GAS_CONSTANT_J_PER_MOL_K


def test_a_mole_of_gas_fills_24_0551_litres_in_a_room() -> None:
    """Source: V = R T / p at 20 °C and 101.325 kPa; 24.0551 L/mol as published."""
    assert round(MOLAR_VOLUME_L_PER_MOL, 4) == Decimal("24.0551")


def test_84_g_of_sodium_hydrogencarbonate_give_24_05_litres() -> None:
    """Source: M 84.007 g/mol from IUPAC atomic weights; one mole of gas as above."""
    mol = Decimal("84.0") / molar_mass("NaHCO3")
    gas = carbon_dioxide_from([_of("hydrogencarbonate", mol), _of("strong acid 1", "2")])
    assert gas is not None
    assert round(gas.litres, 2) == Decimal("24.05")
    assert gas.limited_by is LimitedBy.CARBONATE


@pytest.mark.parametrize(
    ("amounts", "mol", "limited_by"),
    [
        # One H+ for each hydrogencarbonate, two for each carbonate.
        ((("strong acid 1", "1"), ("hydrogencarbonate", "2")), "1", LimitedBy.ACID),
        ((("strong acid 1", "1"), ("carbonate", "2")), "0.5", LimitedBy.ACID),
        ((("strong acid 2", "1"), ("carbonate", "2")), "1", LimitedBy.ACID),
        ((("weak acid 1", "6"), ("carbonate", "2")), "2", LimitedBy.CARBONATE),
        # Hydrogencarbonate first: 1 mol of it, then half a mole from 1 mol of H+.
        (
            (("strong acid 1", "2"), ("hydrogencarbonate", "1"), ("carbonate", "1")),
            "1.5",
            LimitedBy.ACID,
        ),
        # Strong and weak acid count alike, and both run out together.
        (
            (("strong acid 1", "1"), ("weak acid 2", "1"), ("hydrogencarbonate", "3")),
            "3",
            LimitedBy.CARBONATE,
        ),
        # Another base takes no acid from the carbonates: it is the largest volume.
        (
            (("strong acid 1", "1"), ("strong base 1", "1"), ("hydrogencarbonate", "1")),
            "1",
            LimitedBy.CARBONATE,
        ),
    ],
)
def test_gas_is_the_lesser_of_acid_and_what_the_carbonates_take_up(
    amounts: tuple[tuple[str, str], ...], mol: str, limited_by: LimitedBy
) -> None:
    gas = carbon_dioxide_from(_of(text, of_it) for text, of_it in amounts)
    assert gas is not None
    assert (gas.mol, gas.limited_by) == (Decimal(mol), limited_by)


@pytest.mark.parametrize(
    "amounts",
    [
        [],
        [_of("strong acid 1", "1")],
        [_of("carbonate", "1")],
        [_of("strong acid 1", "0"), _of("carbonate", "1")],
        [_of("strong acid 1", "1"), _of("hydrogencarbonate", "0")],
        [_of("strong base 1", "1"), _of("carbonate", "1")],
    ],
)
def test_without_acid_or_without_carbonates_there_is_no_gas(amounts: list[InMoles]) -> None:
    assert carbon_dioxide_from(amounts) is None


MOLES = st.decimals(min_value="0.001", max_value="100", places=3)


def _gas(acid: Decimal, hydrogencarbonate: Decimal, carbonate: Decimal) -> Decimal:
    gas = carbon_dioxide_from(
        [
            _of("weak acid 3", acid),
            _of("carbonate", carbonate),
            _of("hydrogencarbonate", hydrogencarbonate),
        ]
    )
    assert gas is not None
    return gas.mol


@given(MOLES, MOLES, MOLES)
def test_gas_is_never_more_than_either_side_allows(
    acid: Decimal, hydrogencarbonate: Decimal, carbonate: Decimal
) -> None:
    gas = _gas(acid, hydrogencarbonate, carbonate)
    assert 0 < gas <= min(3 * acid, hydrogencarbonate + carbonate)
    # All of the acid or all of the carbonates is used up.
    from_carbonate = max(gas - hydrogencarbonate, Decimal(0))
    used = gas + from_carbonate
    assert used == 3 * acid or gas == hydrogencarbonate + carbonate


@given(MOLES, MOLES, MOLES, MOLES)
def test_more_of_anything_never_gives_less_gas(
    acid: Decimal, hydrogencarbonate: Decimal, carbonate: Decimal, more: Decimal
) -> None:
    gas = _gas(acid, hydrogencarbonate, carbonate)
    assert gas <= _gas(acid + more, hydrogencarbonate, carbonate)
    assert gas <= _gas(acid, hydrogencarbonate + more, carbonate)
    assert gas <= _gas(acid, hydrogencarbonate, carbonate + more)
