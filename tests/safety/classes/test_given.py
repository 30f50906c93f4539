from decimal import Decimal
from fractions import Fraction

from prepstore.safety.classes.given import GENERIC, Band
from tests.safety.classes.made import row


def test_a_band_has_its_start_and_not_its_end() -> None:
    band = row("Skin Irrit. 2", "H315", "0.5", "2").band
    shares = ("0.4999", "0.5", "1.9999", "2")
    assert [band.holds(Fraction(one)) for one in shares] == [False, True, True, False]


def test_a_band_may_leave_its_start_out_and_take_its_end_in() -> None:
    band = Band(Decimal(50), Decimal(70), is_start_out=True, is_end_in=True)
    shares = ("50", "50.0001", "70", "70.0001")
    assert [band.holds(Fraction(one)) for one in shares] == [False, True, True, False]


def test_a_band_is_set_by_either_of_its_ends() -> None:
    assert not GENERIC.is_set
    assert row("", "", "5").band.is_set
    assert row("", "", "", "5").band.is_set
