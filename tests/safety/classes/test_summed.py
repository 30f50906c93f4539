"""STOT SE 3 (3.8.3.4.5) and aspiration (3.10.3.3.1)."""

from decimal import Decimal

import pytest

from prepstore.safety.classes.given import Mixture
from tests.safety.classes.made import mixed, open_questions, own, row

IRRITATES, NARCOTIC = row("STOT SE 3", "H335"), row("STOT SE 3", "H336")
OILY = row("Asp. Tox. 1", "H304")


def test_effects_of_one_kind_add_up_to_20_percent_and_two_kinds_do_not() -> None:
    assert mixed(own("a", "12", NARCOTIC), own("b", "8", NARCOTIC)).h_codes == ("H336",)
    assert mixed(own("a", "12", NARCOTIC), own("b", "8", IRRITATES)).classes == ()
    assert mixed(own("a", "19.9999", IRRITATES)).classes == ()
    both = mixed(own("a", "20", NARCOTIC), own("b", "20", IRRITATES))
    assert (both.classes, both.h_codes) == (("STOT SE 3",), ("H335", "H336"))


def test_each_counts_by_its_own_limit_and_from_its_cut_off() -> None:
    strict = row("STOT SE 3", "H335", "5")
    assert mixed(own("a", "2.5", strict), own("b", "10", IRRITATES)).classes == ("STOT SE 3",)
    assert mixed(own("a", "2.4", strict), own("b", "10", IRRITATES)).classes == ()
    assert mixed(own("a", "19.5", IRRITATES), own("b", "0.9", IRRITATES)).classes == ()


def test_a_band_with_an_end_gives_nothing_above_it() -> None:
    """Glutaral: STOT SE 3 from 0.5 % to below 5 % (Annex VI, 605-022-00-X)."""
    band = row("STOT SE 3", "H335", "0.5", "5")
    assert mixed(own("a", "4.9999", band)).classes == ("STOT SE 3",)
    assert mixed(own("a", "5", band)).classes == ()


@pytest.mark.parametrize(
    ("viscosity", "classes", "is_open"),
    [("20.5", ("Asp. Tox. 1",), False), ("20.51", (), False), (None, (), True)],
)
def test_aspiration_needs_a_thin_liquid(
    viscosity: str | None, classes: tuple[str, ...], *, is_open: bool
) -> None:
    mixture = Mixture(viscosity=Decimal(viscosity) if viscosity else None)
    result = mixed(own("a", "6", OILY), own("b", "4", OILY), mixture=mixture)
    assert result.classes == classes
    expected = {("viscosity", "a"), ("viscosity", "b")} if is_open else set()
    assert open_questions(result) == expected


def test_less_than_10_percent_of_oily_liquids_leaves_nothing_open() -> None:
    assert not mixed(own("a", "9.9999", OILY)).undecided
    assert not mixed(own("a", "9.5", OILY), own("b", "0.9", OILY)).undecided
