"""What holds for each substance of a mixture on a day: its classes, and how much is counted."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final

from prepstore.cell_types import fold
from prepstore.chemistry.formulae import FormulaError, elements, molar_mass
from prepstore.safety.classes.entries import Entries, Entry
from prepstore.safety.classes.given import HazardRow, Ingredient, Mixture
from prepstore.safety.classes.hydrates import (
    anhydrous_formula,
    anhydrous_share,
    entry_cas,
    has_an_entry_of_its_own,
)

WATER_CAS: Final = "7732-18-5"
_ALL: Final = Fraction(1)
_WATER_NAMES: Final = {"water", "ice", "deionised water", "distilled water", "purified water"}


@dataclass(frozen=True, slots=True)
class Held:
    """A substance of a mixture and what holds for it on the make-day.

    Attributes:
        item: Its name as spelled.
        cas: The CAS number by which it goes, or blank.
        percent: Its % by mass in the mixture; of a hydrate that goes by its anhydrous form's entry,
            that of the anhydrous part.
        rows: Its classes; none where nothing holds.
        by: What holds, in words: an entry of Annex VI, or the department's rows.
        is_water: Whether it is water, which needs no entry.
        is_acid_or_base: As of its ingredient.
        is_boron: Whether note 11 adds it to the boron compounds.
        counted: The % compared with generic limits: that of the metal by note 1.
        counted_specific: The % compared with specific limits: that of chromate ions by note 3.
    """

    item: str
    cas: str
    percent: Fraction
    rows: tuple[HazardRow, ...]
    by: str
    is_water: bool
    is_acid_or_base: bool
    is_boron: bool
    counted: Fraction
    counted_specific: Fraction

    def of(self, *names: str) -> tuple[HazardRow, ...]:
        """Return its rows of classes with these names, or with names that begin so and a space."""
        return tuple(
            row
            for row in self.rows
            if any(row.hazard_class == name or _begins(row, name) for name in names)
        )

    def start(self, *names: str) -> Decimal | None:
        """Return the lowest specific limit, % by mass, of such classes; None: none is set."""
        return min(
            (row.band.start for row in self.of(*names) if row.band.start is not None), default=None
        )

    def in_band(self, row: HazardRow) -> bool:
        """Return whether its concentration is within the specific limits of a row."""
        return row.band.holds(self.counted_specific)


def _begins(row: HazardRow, name: str) -> bool:
    return row.hazard_class.startswith(f"{name} ")


def held_on(
    ingredients: Iterable[Ingredient], mixture: Mixture, on: date, entries: Entries
) -> tuple[Held, ...]:
    """Return what holds for each substance, by name; one that comes in several items stands once.

    Args:
        ingredients: What the mixture is made of; what is 0 % of it is left out.
        mixture: Its form decides between an entry for a gas and one for its solution.
        on: The make-day.
        entries: The catalogue of harmonised entries.
    """
    present = sorted((one for one in ingredients if one.percent > 0), key=_by_name)
    strengths: dict[str, Fraction] = {}
    for one in present:
        strengths[_cas(one)] = strengths.get(_cas(one), Fraction(0)) + _percent(one)
    merged: dict[tuple[object, ...], Held] = {}
    for one in present:
        entry = entries.holding(_cas(one), on, strengths[_cas(one)], mixture.physical_form)
        held = _held(one, on, None if one.limits else entry, entries)
        key = (held.cas or fold(held.item), held.rows)
        merged[key] = _together(merged[key], held) if key in merged else held
    return tuple(merged.values())


def _by_name(one: Ingredient) -> tuple[str, str]:
    return fold(one.item), one.item


def _cas(one: Ingredient) -> str:
    return one.cas if one.limits else entry_cas(one.cas)


def _percent(one: Ingredient) -> Fraction:
    """Return the % by mass of what its entry is for: of a hydrate its anhydrous part."""
    goes_as_it_is = one.limits or has_an_entry_of_its_own(one.cas)
    return Fraction(one.percent) * (1 if goes_as_it_is else anhydrous_share(one.formula))


def _held(one: Ingredient, on: date, entry: Entry | None, entries: Entries) -> Held:
    percent = _percent(one)
    rows = entry.rows if entry else _settled(rows_in_force(one.limits, on))
    share = _share_counted(one, entry)
    return Held(
        item=one.item,
        cas=_cas(one),
        percent=percent,
        rows=rows,
        by=f"Annex VI, {entry.index_no}" if entry else "hazard_limits",
        is_water=_is_water(one),
        is_acid_or_base=one.is_acid_or_base,
        is_boron=entries.is_summed_by_note_11(entry_cas(one.cas), on),
        counted=percent * (share if entry and "1" in entry.notes else 1),
        counted_specific=percent * share,
    )


def _together(one: Held, other: Held) -> Held:
    return replace(
        one,
        percent=one.percent + other.percent,
        counted=one.counted + other.counted,
        counted_specific=one.counted_specific + other.counted_specific,
        is_acid_or_base=one.is_acid_or_base or other.is_acid_or_base,
    )


def rows_in_force(rows: Sequence[HazardRow], on: date) -> tuple[HazardRow, ...]:
    """Return the rows of the latest day up to a day; a row without one is older than any other."""
    begun = [row for row in rows if (row.in_force or date.min) <= on]
    latest = max((row.in_force or date.min for row in begun), default=date.min)
    return tuple(row for row in begun if (row.in_force or date.min) == latest)


def _settled(rows: Iterable[HazardRow]) -> tuple[HazardRow, ...]:
    """Return rows in order, each once; a class with a specific limit needs none without one."""
    named = [replace(row, hazard_class=_class_name(row.hazard_class)) for row in rows]
    limited = {(row.hazard_class, row.h_code) for row in named if row.band.is_set}
    kept = {
        row: None
        for row in named
        if row.band.is_set or (row.hazard_class, row.h_code) not in limited
    }
    return tuple(sorted(kept, key=repr))


def _class_name(text: str) -> str:
    """Return a class without the stars that Annex VI prints behind some, and single spaces."""
    return " ".join(text.replace("*", " ").split())


def _share_counted(one: Ingredient, entry: Entry | None) -> Fraction:
    """Return which share of a substance notes 1 and 3 count: that of the metal or of chromate.

    1 without such a note, and where the formula is not known: the stricter of the two.
    """
    if entry is None or not entry.counted_as:
        return _ALL
    part, _, formula = entry.counted_as.partition(" in ")
    symbol = "Cr" if part == "CrO4" else part
    try:
        whole = formula or anhydrous_formula(one.formula)
        atoms = elements(whole).get(symbol, Decimal(0)) if whole else Decimal(0)
        return Fraction(atoms * molar_mass(part)) / Fraction(molar_mass(whole)) if atoms else _ALL
    except FormulaError:
        return _ALL


def _is_water(one: Ingredient) -> bool:
    if one.cas:
        return one.cas == WATER_CAS
    return one.formula.strip() in ("H2O", "H₂O") or fold(one.item) in _WATER_NAMES
