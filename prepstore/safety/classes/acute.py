"""Acute toxicity, by mouth, by skin and by breathing in, from acute toxicity estimates (ATE).

Source:
    Regulation (EC) No 1272/2008, Annex I, 3.1.3.6 with Tables 3.1.1 and 3.1.2; cut-off values of
    Table 1.1: 0.1 % for categories 1 to 3, 1 % for category 4.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from prepstore.cell_types import InhalationForm
from prepstore.safety.classes.finding import Finding, Findings, Undecided, number_text, percent_text
from prepstore.safety.classes.given import HazardRow
from prepstore.safety.classes.held import Held

_LEAST_SEVERE: Final = 4
_UNKNOWN_LEFT_OUT: Final = 10
_CUT_OFF: Final = {1: Decimal("0.1"), 2: Decimal("0.1"), 3: Decimal("0.1"), 4: Decimal(1)}
_UNKNOWN_CUT_OFF: Final = 1


@dataclass(frozen=True, slots=True)
class Scale:
    """The limits and point estimates of categories 1 to 4 for one way into the body."""

    unit: str
    limits: tuple[Decimal, ...]
    estimates: tuple[Decimal, ...]


def _scale(unit: str, limits: str, estimates: str) -> Scale:
    return Scale(
        unit,
        tuple(Decimal(one) for one in limits.split()),
        tuple(Decimal(one) for one in estimates.split()),
    )


@dataclass(frozen=True, slots=True)
class Route:
    """A way into the body, with the statements of categories 1 to 4."""

    name: str
    h_codes: tuple[str, ...]


ORAL: Final = Route("by mouth", ("H300", "H300", "H301", "H302"))
DERMAL: Final = Route("by skin", ("H310", "H310", "H311", "H312"))
INHALED: Final = Route("breathed in", ("H330", "H330", "H331", "H332"))

SCALES: Final = {
    ORAL.name: _scale("mg/kg", "5 50 300 2000", "0.5 5 100 500"),
    DERMAL.name: _scale("mg/kg", "50 200 1000 2000", "5 50 300 1100"),
    InhalationForm.GAS: _scale("ppmV", "100 500 2500 20000", "10 100 700 4500"),
    InhalationForm.VAPOUR: _scale("mg/L", "0.5 2 10 20", "0.05 0.5 3 11"),
    InhalationForm.MIST: _scale("mg/L", "0.05 0.5 1 5", "0.005 0.05 0.5 1.5"),
}


@dataclass(frozen=True, slots=True)
class Part:
    """A substance in the sum for one route: how much, which category, its estimate and form."""

    item: str
    percent: Fraction
    category: int
    ate: Decimal | None
    form: InhalationForm | None

    def estimate(self, scale: Scale) -> Decimal:
        """Return its ATE in the scale's unit: its own, or the point estimate of its category."""
        return self.ate if self.ate is not None else scale.estimates[self.category - 1]


@dataclass(frozen=True, slots=True)
class Result:
    """The category of a mixture for one route and form, 1 to 4, and the rule in words."""

    category: int
    rule: str


def unknown_percent(held: Iterable[Held]) -> Fraction:
    """Return how much of a mixture, % by mass, is of unknown acute toxicity.

    What nothing holds for, from 1 % each (Annex I, 3.1.3.6.2.2); water is known.
    """
    unknown = (
        one.percent
        for one in held
        if not one.rows and not one.is_water and one.percent >= _UNKNOWN_CUT_OFF
    )
    return sum(unknown, Fraction(0))


def acute(held: Sequence[Held]) -> Findings:
    """Return the classes of acute toxicity, and whether the form breathed in leaves them open."""
    unknown = unknown_percent(held)
    found = []
    for route in (ORAL, DERMAL):
        result = category_of(_parts(held, route), SCALES[route.name], unknown)
        if result is not None:
            found.append(_finding(route, result, route.name))
    inhaled = _inhaled(_parts(held, INHALED), unknown)
    return Findings((*found, *inhaled.found), inhaled.undecided)


def _parts(held: Iterable[Held], route: Route) -> list[Part]:
    """Return the relevant substances with a class for a route."""
    return [
        Part(one.item, one.percent, category, row.ate, row.form)
        for one in held
        for row in one.of("Acute Tox.")
        if row.h_code in route.h_codes and one.in_band(row)
        for category in [_category(row)]
        if one.percent >= _CUT_OFF[category]
    ]


def _category(row: HazardRow) -> int:
    return int(row.hazard_class.removeprefix("Acute Tox. ")[0])


def category_of(parts: Sequence[Part], scale: Scale, unknown: Fraction) -> Result | None:
    """Return the category of a mixture on one scale; None: not classified.

    Args:
        parts: The substances with a class for it.
        scale: Its limits and point estimates.
        unknown: % by mass of unknown acute toxicity, left out of the 100 % from above 10 %.

    Source:
        Annex I, 3.1.3.6.1 and 3.1.3.6.2.3. Never more severe than the most severe of its parts:
        the point estimate of a category may equal the limit of the next, and parts of one category
        make a mixture of that category (3.1.3.3(c)).
    """
    counted = [one for one in parts if one.estimate(scale) <= scale.limits[-1]]
    if not counted:
        return None
    whole = 100 - unknown if unknown > _UNKNOWN_LEFT_OUT else Fraction(100)
    ate = whole / sum((one.percent / Fraction(one.estimate(scale)) for one in counted), Fraction(0))
    reached = [number for number, limit in enumerate(scale.limits, start=1) if ate <= limit]
    if not reached:
        return None
    most_severe = min(one.category for one in counted)
    category = max(reached[0], most_severe)
    return Result(category, _in_words(counted, scale, ate, whole, capped=category > reached[0]))


def _in_words(
    counted: Sequence[Part], scale: Scale, ate: Fraction, whole: Fraction, *, capped: bool
) -> str:
    parts = " + ".join(
        f"{one.item} {percent_text(one.percent)} / {number_text(Fraction(one.estimate(scale)))}"
        for one in counted
    )
    place = "3.1.3.6.1" if whole == 100 else "3.1.3.6.2.3"  # noqa: PLR2004 - per cent
    rule = (
        f"Annex I, {place}: ATE of the mixture = {number_text(whole)} / ({parts}) = "
        f"{number_text(ate)} {scale.unit}; limits of categories 1 to 4 (Table 3.1.1): "
        f"{', '.join(f'{limit:f}' for limit in scale.limits)} {scale.unit}"
    )
    cap = "; not more severe than its most severe part (3.1.3.3(c))" if capped else ""
    left_out = (
        f"; {percent_text(100 - whole)} of the mixture is of unknown acute toxicity"
        if whole != 100  # noqa: PLR2004 - per cent
        else ""
    )
    return f"{rule}{cap}{left_out}."


def _inhaled(parts: Sequence[Part], unknown: Fraction) -> Findings:
    """Read a form that is not given as vapour and as mist; the milder category of both stands."""
    readings = [
        _read_as(form, parts, unknown) for form in (InhalationForm.VAPOUR, InhalationForm.MIST)
    ]
    milder = max(readings, key=_severity)
    undecided: tuple[Undecided, ...] = ()
    if _severity(readings[0]) != _severity(readings[1]):
        why = (
            "It is not given in which form it is breathed in: as vapour the mixture is "
            f"{_category_text(readings[0])}, as mist {_category_text(readings[1])}; "
            "the milder one stands."
        )
        blank = dict.fromkeys(one.item for one in parts if one.form is None)
        undecided = tuple(Undecided("inhalation form", item, why) for item in blank)
    found = () if milder is None else (_finding(INHALED, milder, INHALED.name),)
    return Findings(found, undecided)


def _read_as(form: InhalationForm, parts: Sequence[Part], unknown: Fraction) -> Result | None:
    """Return the most severe category of the forms, where one that is not given is this one."""
    results = [
        category_of([one for one in parts if (one.form or form) is own], SCALES[own], unknown)
        for own in InhalationForm
    ]
    return min(results, key=_severity)


def _severity(result: Result | None) -> int:
    return _LEAST_SEVERE + 1 if result is None else result.category


def _category_text(result: Result | None) -> str:
    return "not classified" if result is None else f"Acute Tox. {result.category}"


def _finding(route: Route, result: Result, way: str) -> Finding:
    name = f"Acute Tox. {result.category}"
    return Finding(
        name, (route.h_codes[result.category - 1],), f"Acute toxicity {way}. {result.rule}"
    )
