"""An amount that somebody asks for, in the unit of what it is of."""

from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import (
    LARGEST_AMOUNT,
    Kind,
    WrittenAmount,
    fine_amount_in_words,
    in_billionths,
    of_billionths,
    plain,
)
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.problems import RefusedError


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure in an item's unit, settled to a billionth of it, and how it was typed."""

    number: Decimal
    written: str

    @property
    def billionths(self) -> int:
        """Return the figure in billionths of the unit."""
        return in_billionths(self.number)


def quantity(
    material: Material, written: WrittenAmount, *, may_be_nothing: bool = False
) -> Quantity:
    """Return a typed amount in the unit of a material.

    Raises:
        RefusedError: It has no route to that unit, is nothing where it may not be, or a part of
            something that is counted.
    """
    try:
        number = of_billionths(in_billionths(in_unit(material, written)))
    except NoRouteError as error:
        what = f"'{written}' cannot be converted to {material.unit}: {error}."
        raise RefusedError(what) from error
    if material.unit is Kind.COUNT and number != number.to_integral_value():
        what = f"'{written}' is not a whole number, and {material.name} is counted."
        raise RefusedError(f"{what} Give a whole number, such as 20 each.")
    if not number and not may_be_nothing:
        raise RefusedError(f"'{written}' of {material.name} is too small. Give an amount above 0.")
    if number >= LARGEST_AMOUNT:
        what = f"'{written}' of {material.name} is more than any store holds."
        raise RefusedError(f"{what} Check the number and its unit.")
    return Quantity(number, str(written))


def of_number(number: Decimal) -> Quantity:
    """Return a worked-out figure, which nobody typed."""
    return Quantity(of_billionths(in_billionths(number)), "")


def in_words(number: Decimal, material: Material) -> str:
    """Return a figure as people say it, with all its digits where rounding would change it.

    >>> from prepstore.amounts import Kind
    >>> in_words(Decimal("1872"), Material("acetone", Kind.VOLUME))
    '1.872 L'
    >>> in_words(Decimal("999.99999"), Material("acetone", Kind.VOLUME))
    '999.99999 mL'
    """
    is_fine = number == number.quantize(Decimal("0.001"))
    return fine_amount_in_words(number, material.unit) if is_fine else in_digits(number, material)


def in_digits(number: Decimal, material: Material) -> str:
    """Return a figure with all its digits and its unit, as a lot's row says it.

    >>> from prepstore.amounts import Kind
    >>> in_digits(Decimal("1150.0"), Material("acetone", Kind.VOLUME))
    '1150 mL'
    """
    return f"{plain(number)} {material.unit}"
