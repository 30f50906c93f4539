"""Mixtures for tests, in few words: parts of some substances, and water to 100 %."""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

from prepstore.cell_types import InhalationForm
from prepstore.safety.classes.classified import Classified, classified
from prepstore.safety.classes.entries import harmonised_entries
from prepstore.safety.classes.given import Band, HazardRow, Ingredient, Mixture
from prepstore.safety.classes.held import Held, held_on

TODAY = date(2026, 11, 30)
NOTHING_KNOWN = Mixture()
FOLDER = Path(__file__).parent


def table(name: str) -> list[dict[str, str]]:
    """Return the rows of a table of check values beside this file."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def part(cas: str, percent: str, item: str = "", *, acid_or_base: bool = False) -> Ingredient:
    """Return so many % of what has a CAS number; its name is that number unless given."""
    return Ingredient(item or cas, Decimal(percent), cas, is_acid_or_base=acid_or_base)


def own(item: str, percent: str, *rows: HazardRow, cas: str = "") -> Ingredient:
    """Return so many % of something with rows of the department's own."""
    return Ingredient(item, Decimal(percent), cas, limits=rows)


def row(
    hazard_class: str,
    h_code: str,
    *limits: str,
    ate: str = "",
    form: str = "",
    since: str = "",
) -> HazardRow:
    """Return a row: its class and code, then from and below; an M-factor is written `M 10`."""
    numbers = [one for one in limits if not one.startswith("M ")]
    m_factors = [one.removeprefix("M ") for one in limits if one.startswith("M ")]
    start, end = [*(Decimal(one) if one else None for one in numbers), None, None][:2]
    return HazardRow(
        hazard_class,
        h_code,
        Band(start, end),
        Decimal(m_factors[0]) if m_factors else None,
        Decimal(ate) if ate else None,
        InhalationForm(form) if form else None,
        date.fromisoformat(since) if since else None,
    )


def in_water(*parts: Ingredient) -> tuple[Ingredient, ...]:
    """Return parts with water to 100 %."""
    rest = 100 - sum(Decimal(str(one.percent)) for one in parts)
    return (*parts, part("7732-18-5", str(rest), "water")) if rest else parts


def mixed(*parts: Ingredient, on: date = TODAY, mixture: Mixture = NOTHING_KNOWN) -> Classified:
    """Return the classes of parts with water to 100 %."""
    return classified(in_water(*parts), mixture, on, harmonised_entries())


def held(*parts: Ingredient, on: date = TODAY) -> tuple[Held, ...]:
    """Return what holds for parts with water to 100 %."""
    return held_on(in_water(*parts), NOTHING_KNOWN, on, harmonised_entries())


def open_questions(result: Classified) -> set[tuple[str, str]]:
    """Return what is undecided, and the items that raise it."""
    return {(one.what, one.item) for one in result.undecided}


def reasons(result: Classified, hazard_class: str) -> str:
    """Return why a class holds."""
    return " ".join(one.rule for one in result.because if one.hazard_class == hazard_class)
