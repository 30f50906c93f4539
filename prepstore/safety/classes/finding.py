"""What a rule finds: a class and why it holds, or a question that it cannot decide."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Finding:
    """A class that holds for a mixture.

    Attributes:
        hazard_class: As `Skin Corr. 1B`, or the code of a supplemental statement.
        h_codes: Its hazard statements, as `H314`.
        rule: A sentence with the rule, its place in the act, and the figures that it was used on.
    """

    hazard_class: str
    h_codes: tuple[str, ...]
    rule: str


@dataclass(frozen=True, slots=True, order=True)
class Undecided:
    """A question that the rules leave open.

    Attributes:
        what: `flash point`, `extreme pH`, `M-factor`, `viscosity`, `inhalation form`, `oxidising`,
            `corrosive to metals`, `organic peroxide` or `no entry in force`.
        item: The item that raises it as spelled; blank where it is the mixture as a whole.
        why: A sentence.
    """

    what: str
    item: str
    why: str


@dataclass(frozen=True, slots=True)
class Findings:
    """What a rule found and what it could not decide."""

    found: tuple[Finding, ...] = ()
    undecided: tuple[Undecided, ...] = ()


def percent_text(percent: Fraction) -> str:
    """Return a percentage in four significant figures, as `2.5 %`.

    >>> percent_text(Fraction(5, 2)), percent_text(Fraction(1, 3)), percent_text(Fraction(100))
    ('2.5 %', '0.3333 %', '100 %')
    """
    return f"{number_text(percent)} %"


def number_text(number: Fraction) -> str:
    """Return a number in four significant figures without zeros at its end; a larger one whole.

    >>> number_text(Fraction(43425)), number_text(Fraction(1, 3000))
    ('43425', '0.0003333')
    """
    if number >= 1000:  # noqa: PLR2004 - four figures before the point
        return str(round(number))
    # Only words for a reader: no figure is compared after it has been through here.
    text = f"{float(f'{float(number):.4g}'):.10f}"
    return text.rstrip("0").rstrip(".")


def named(parts: Iterable[tuple[str, Fraction]]) -> str:
    """Return items and their percentages as words, as `ethanol 12 %; acetone 3 %`."""
    return "; ".join(f"{item} {percent_text(percent)}" for item, percent in parts)


def joined(several: Sequence[Findings]) -> Findings:
    """Return what several rules found, in their order."""
    return Findings(
        tuple(one for findings in several for one in findings.found),
        tuple(one for findings in several for one in findings.undecided),
    )
