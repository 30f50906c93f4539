"""The steps of a conversion in words that a calculator can follow."""

from collections.abc import Sequence
from typing import Final

from prepstore.amounts import plain, settle
from prepstore.chemistry.routes import Of, Step

_BEGIN: Final = (Of.WANTED, Of.VOLUME)
"""Steps that may stand first, where there is nothing yet to multiply."""


def steps_in_words(steps: Sequence[Step]) -> str:
    """Return steps in order; blank where there are none.

    >>> from decimal import Decimal
    >>> mass = Step(Of.MOLAR_MASS, Decimal("58.44"), "g/mol")
    >>> volume = Step(Of.VOLUME, Decimal("0.5"), "L")
    >>> steps_in_words([Step(Of.WANTED, Decimal("0.1"), "mol/L"), volume, mass])
    '0.1 mol/L x 0.5 L x 58.44 g/mol'
    """
    words = ""
    for step in steps:
        if step.of is Of.LIQUID_PARTS:
            words += f" less {_figure(step)} of liquid parts"
        elif step.divides:
            words += f", divided by {_figure(step)}"
        elif not words and step.of in _BEGIN:
            words = _figure(step)
        else:
            words += f" x {_figure(step)}"
    return words.removeprefix(", ").strip()


def _figure(step: Step) -> str:
    """Return a step's number with its unit, or as it was written where it has none."""
    if step.text and not step.unit:
        return step.text
    unit = f" {step.unit}" if step.unit else ""
    between = "a" if step.of is Of.MEASURE else "of"
    text = f" {between} {step.text}" if step.text else ""
    return f"{plain(settle(step.number))}{unit}{text}"
