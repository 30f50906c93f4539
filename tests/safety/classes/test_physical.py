"""Flash points (Table 2.6.1), specific limits, and what only a test tells."""

from decimal import Decimal

import pytest

from prepstore.safety.classes.given import Mixture
from tests.safety.classes.made import mixed, open_questions, own, part, reasons, row

ETHANOL = part("64-17-5", "10", "ethanol")


@pytest.mark.parametrize(
    ("flash_point", "classes"),
    [
        ("-20", ("Flam. Liq. 2",)), ("22.9", ("Flam. Liq. 2",)), ("23", ("Flam. Liq. 3",)),
        ("60", ("Flam. Liq. 3",)), ("60.1", ()),
    ],
)  # fmt: skip
def test_a_flash_point_tells_whether_it_is_flammable(
    flash_point: str, classes: tuple[str, ...]
) -> None:
    result = mixed(ETHANOL, mixture=Mixture(flash_point=Decimal(flash_point)))
    assert result.classes == classes
    assert not result.undecided


def test_without_a_flash_point_it_is_open_at_any_share() -> None:
    for percent in ("0.01", "70"):
        result = mixed(part("64-17-5", percent, "ethanol"))
        assert open_questions(result) == {("flash point", "ethanol")}
        assert result.classes == ()


def test_a_boiling_point_that_is_not_known_is_told_beside_a_most_flammable_part() -> None:
    ether = part("60-29-7", "50", "ether")
    result = mixed(ether, mixture=Mixture(flash_point=Decimal(-40)))
    assert "Flam. Liq. 2" in result.classes
    assert "boiling point" in reasons(result, "Flam. Liq. 2")
    other = mixed(ETHANOL, mixture=Mixture(flash_point=Decimal(20)))
    assert "boiling point" not in reasons(other, "Flam. Liq. 2")


def test_a_specific_limit_decides_without_a_flash_point_and_a_flash_point_against_it() -> None:
    """Methanoic acid is Flam. Liq. 3 above 85 % (Annex VI, 607-001-00-0)."""
    strong = part("64-18-6", "86", "methanoic acid")
    assert "Flam. Liq. 3" in mixed(strong).classes
    assert ("flash point", "methanoic acid") not in open_questions(mixed(strong))
    tested = mixed(strong, mixture=Mixture(flash_point=Decimal(65)))
    assert "Flam. Liq. 3" not in tested.classes


@pytest.mark.parametrize(
    ("name", "code", "what"),
    [
        ("Ox. Liq. 2", "H272", "oxidising"), ("Ox. Sol. 3", "H272", "oxidising"),
        ("Met. Corr. 1", "H290", "corrosive to metals"),
        ("Org. Perox. D", "H242", "organic peroxide"),
    ],
)  # fmt: skip
def test_what_needs_a_test_is_open_unless_a_specific_limit_decides(
    name: str, code: str, what: str
) -> None:
    plain = mixed(own("one", "0.5", row(name, code)))
    assert (open_questions(plain), plain.classes) == ({(what, "one")}, ())
    below = mixed(own("one", "4", row(name, code, "5")))
    assert (open_questions(below), below.classes) == (set(), ())
    reached = mixed(own("one", "5", row(name, code, "5")))
    assert (open_questions(reached), reached.classes) == (set(), (name,))


def test_of_several_the_most_severe_class_that_a_limit_gives_stands() -> None:
    first = own("a", "6", row("Ox. Liq. 3", "H272", "5"))
    second = own("b", "6", row("Ox. Liq. 2", "H272", "5"), row("Met. Corr. 1", "H290", "6"))
    assert mixed(first, second).classes == ("Met. Corr. 1", "Ox. Liq. 2")


def test_an_oxidising_gas_is_not_a_question_of_the_mixture() -> None:
    result = mixed(own("one", "5", row("Ox. Gas 1", "H270")))
    assert not result.undecided
    assert result.not_calculated == (("Ox. Gas 1", "one"),)


@pytest.mark.parametrize(("percent", "expected"), [("50", "Ox. Liq. 2"), ("50.0001", "Ox. Liq. 1")])
def test_perchloric_acid_goes_by_its_limits_as_printed(percent: str, expected: str) -> None:
    """Ox. Liq. 1 above 50 %, Ox. Liq. 2 up to 50 % (Annex VI, 017-006-00-4)."""
    assert expected in mixed(part("7601-90-3", percent)).classes
