"""The harmonised classes of substances, with the day from which each version of them applies.

Source:
    Regulation (EC) No 1272/2008, Annex VI, Table 3, as amended up to Delegated Regulation (EU)
    2025/1222 (CELEX 32025R1222): the entries that a teaching laboratory is likely to meet.
    A version that no longer applied on 1 January 2020 is left out.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Final

from prepstore.cell_types import InhalationForm
from prepstore.safety.classes.given import Band, HazardRow, PhysicalForm
from prepstore.safety.data_files import rows_of

_ROW: Final = re.compile(
    r"(?P<hazard_class>EUH\d{3}|.+?)"
    r"(?: (?P<h_code>H\d{3}[A-Za-z]*))?"
    r"(?: (?P<start_word>from|over) (?P<start>[\d.]+))?"
    r"(?: (?P<end_word>below|to) (?P<end>[\d.]+))?"
    r"(?: M (?P<m_factor>\d+))?"
    r"(?: ATE (?P<ate>[\d.]+))?"
    r"(?: (?P<form>gas|vapour|mist))?"
)
_WHEN: Final = re.compile(r"(over|to) (\d+)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One version of one entry of Annex VI.

    Attributes:
        index_no: Its index number.
        substance: Its name, shortened.
        cas: The CAS numbers that it covers.
        in_force: The day from which this version applies.
        when: Which form of the substance it is for, where there are several entries: `solution`,
            `gas`, `over 70` or `to 70` (% by mass); else blank.
        rows: Its classes.
        notes: The notes of Annex VI, 1.1.3.2, that change what is counted (`1`, `3`, `11`).
        counted_as: What notes 1 and 3 count in its place, the metal or chromate ions, and in which
            formula: `Co in CoCl2`; `Pb` for a group, where the item's formula tells the rest.
        source: The act that this version comes from.
    """

    index_no: str
    substance: str
    cas: tuple[str, ...]
    in_force: date
    when: str
    rows: tuple[HazardRow, ...]
    notes: tuple[str, ...]
    counted_as: str
    source: str

    def suits(self, percent: Fraction) -> bool:
        """Return whether it is for a solution of this strength, % by mass."""
        bound = _WHEN.fullmatch(self.when)
        if bound is None:
            return True
        limit = int(bound[2])
        return percent > limit if bound[1] == "over" else percent <= limit


@dataclass(frozen=True, slots=True)
class Entries:
    """A catalogue of entries by CAS number, their versions in order of date."""

    by_cas: Mapping[str, tuple[Entry, ...]]
    latest: Mapping[str, tuple[Entry, ...]]

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> "Entries":
        """Return the catalogue of these versions, in whatever order they come."""
        by_cas: dict[str, tuple[Entry, ...]] = {}
        by_index: dict[str, tuple[Entry, ...]] = {}
        for entry in sorted(entries, key=lambda one: one.in_force):
            by_index[entry.index_no] = (*by_index.get(entry.index_no, ()), entry)
            for cas in entry.cas:
                by_cas[cas] = (*by_cas.get(cas, ()), entry)
        return cls(by_cas, by_index)

    def holding(
        self, cas: str, on: date, percent: Fraction, form: PhysicalForm = PhysicalForm.LIQUID
    ) -> Entry | None:
        """Return the version of an entry that holds for a substance in a mixture on a day.

        Of an entry for the gas and one for its solution (note B), the solution's holds in a
        liquid. None where no entry names the substance on that day.
        """
        versions = self.by_cas.get(cas, ())
        held = [one for one in versions if one == self._in_force(one.index_no, on)]
        suited = [one for one in held if one.suits(percent)]
        wanted = "gas" if form is PhysicalForm.GAS else "solution"
        suited.sort(key=lambda one: one.when != wanted)
        return suited[0] if suited else None

    def is_summed_by_note_11(self, cas: str, on: date) -> bool:
        """Return whether note 11 adds a substance to the boron compounds on a day."""
        versions = self.by_cas.get(cas, ())
        return any("11" in one.notes for one in versions if one.in_force <= on)

    def _in_force(self, index_no: str, on: date) -> Entry | None:
        begun = [one for one in self.latest[index_no] if one.in_force <= on]
        return begun[-1] if begun else None


@cache
def harmonised_entries() -> Entries:
    """Return the catalogue that is shipped."""
    return Entries.of(_entry(row) for row in rows_of("harmonised_classes.csv"))


def _entry(cells: Mapping[str, str]) -> Entry:
    return Entry(
        index_no=cells["index_no"],
        substance=cells["substance"],
        cas=tuple(cells["cas"].split()),
        in_force=date.fromisoformat(cells["in_force"]),
        when=cells["when"],
        rows=tuple(_row(text, cells) for text in cells["classes"].split("; ")),
        notes=tuple(cells["notes"].split()),
        counted_as=cells["counted_as"],
        source=cells["source"],
    )


def _row(text: str, cells: Mapping[str, str]) -> HazardRow:
    """Read one class, as `Skin Corr. 1B H314 from 2 below 5`.

    Raises:
        ValueError: It is not written so, which a test of the whole file keeps from happening.
    """
    found = _ROW.fullmatch(text)
    if found is None:
        raise ValueError(f"'{text}' of entry {cells['index_no']} is not a class")
    name = found["hazard_class"]
    return HazardRow(
        hazard_class=name,
        h_code=name if name.startswith("EUH") else found["h_code"] or "",
        band=Band(
            _number(found["start"]),
            _number(found["end"]),
            is_start_out=found["start_word"] == "over",
            is_end_in=found["end_word"] == "to",
        ),
        m_factor=_number(found["m_factor"]),
        ate=_number(found["ate"]),
        form=InhalationForm(found["form"]) if found["form"] else None,
        in_force=date.fromisoformat(cells["in_force"]),
        source=cells["source"],
    )


def _number(text: str | None) -> Decimal | None:
    return Decimal(text) if text else None
