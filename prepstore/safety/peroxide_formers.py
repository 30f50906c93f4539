"""Substances that form peroxides, as one published list has them.

Source:
    Cornell University, Environment, Health and Safety, Appendix J, Peroxide forming chemicals
    (ehs.cornell.edu/book/export/html/1481). Other institutions name the classes otherwise and give
    other times, so a department sets its own (columns peroxide_test and peroxide_test_sealed of
    items); this list only reminds of what may have been forgotten.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from prepstore.cell_types import fold
from prepstore.safety.data_files import rows_of

SOURCE: Final = "Cornell University EHS, Appendix J"


@dataclass(frozen=True, slots=True)
class PublishedFormer:
    """A substance of the list: the months after opening, or unopened, within which to test.

    `listed_as` is the class that this list, and no other, puts it in; `note` what holds beside.
    """

    substance: str
    listed_as: str
    months_opened: int
    months_unopened: int
    note: str = ""


@cache
def published_formers() -> Mapping[str, PublishedFormer]:
    """Return the substances of the list by folded name."""
    return {
        fold(row["substance"]): PublishedFormer(
            row["substance"],
            row["listed_as"],
            int(row["months_opened"]),
            int(row["months_unopened"]),
            row["note"],
        )
        for row in rows_of("peroxide_formers.csv")
    }


def published_former(name: str) -> PublishedFormer | None:
    """Return the substance of the list that an item is, by its name; None where it is on none.

    What stands after a comma is left out, as people write `tetrahydrofuran, dry`.
    """
    published = published_formers()
    return published.get(fold(name)) or published.get(fold(name.partition(", ")[0]))
