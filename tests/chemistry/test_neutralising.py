from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.chemistry.acids_and_bases import InMoles
from prepstore.chemistry.neutralising import AcidBaseBalance, Excess, acid_base_balance
from prepstore.tables.substance_cells import acid_or_base


def _of(text: str, mol: str | Decimal) -> InMoles:
    return InMoles(acid_or_base(text), Decimal(mol))


def test_each_kind_is_added_up_by_the_h_that_it_gives_off_or_takes_up() -> None:
    balance = acid_base_balance(
        [
            _of("strong acid 2", "0.5"),
            _of("weak acid 1", "0.2"),
            _of("strong base 1", "0.3"),
            _of("weak base 1", "0.1"),
            _of("hydrogencarbonate", "0.04"),
            _of("carbonate", "0.01"),
        ]
    )
    assert balance == AcidBaseBalance(
        strong_acid_mol=Decimal("1.0"),
        weak_acid_mol=Decimal("0.2"),
        strong_base_mol=Decimal("0.3"),
        weak_base_mol=Decimal("0.16"),
    )
    assert (balance.excess, balance.excess_mol) == (Excess.ACID, Decimal("0.74"))


@pytest.mark.parametrize(
    ("acid", "base", "excess", "excess_mol"),
    [
        ("1", "0.5", Excess.NONE, "0"),
        ("1", "2", Excess.BASE, "3"),
        ("2", "0.5", Excess.ACID, "1"),
    ],
)
def test_what_is_left_over_is_named_with_its_amount(
    acid: str, base: str, excess: Excess, excess_mol: str
) -> None:
    balance = acid_base_balance([_of("strong acid 1", acid), _of("strong base 2", base)])
    assert (balance.excess, balance.excess_mol) == (excess, Decimal(excess_mol))


def test_three_thirds_neutralise_one() -> None:
    third = Decimal(1) / 3
    thirds = [_of("weak acid 1", third)] * 3
    assert acid_base_balance([*thirds, _of("weak base 1", "1")]).excess is Excess.NONE


def test_nothing_leaves_nothing_over() -> None:
    assert acid_base_balance([]).excess is Excess.NONE
    assert acid_base_balance([]).excess_mol == 0


AMOUNTS = st.lists(
    st.builds(
        _of,
        st.sampled_from(
            ["strong acid 1", "weak acid 3", "strong base 2", "weak base 1", "carbonate"]
        ),
        st.decimals(min_value="0", max_value="10", places=3),
    ),
    max_size=6,
)


@given(AMOUNTS, AMOUNTS)
def test_what_is_poured_together_adds_up(some: list[InMoles], more: list[InMoles]) -> None:
    one, other, both = (acid_base_balance(each) for each in (some, more, [*more, *some]))
    assert both.acid_mol == one.acid_mol + other.acid_mol
    assert both.base_mol == one.base_mol + other.base_mol
    assert both.excess_mol <= one.excess_mol + other.excess_mol
