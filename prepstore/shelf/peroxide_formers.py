"""Substances that form peroxides, as one published list has them.

Source:
    Cornell University, Environment, Health and Safety, Appendix J, Peroxide forming chemicals
    (ehs.cornell.edu/book/export/html/1481). Other institutions name the classes otherwise and give
    other times, so a department sets its own (columns peroxide_test and peroxide_test_sealed of
    items); this list only reminds of what may have been forgotten.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from prepstore.cell_types import fold

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


INHIBITED: Final = "only while it is inhibited; uninhibited 24 hours"

_BY_CLASS: Final = (
    (("A", 3, 18), (
        "diisopropyl ether",
        "divinylacetylene",
        "vinylidene chloride",
        "potassium metal",
        "potassium amide",
        "sodium amide",
        "butadiene (liquid)",
        "chloroprene (liquid)",
        "tetrafluoroethylene (liquid)",
    )),
    (("B", 12, 18), (
        "diethyl ether",
        "tetrahydrofuran",
        "1,4-dioxane",
        "cyclohexene",
        "propan-2-ol",
        "butan-2-ol",
        "3-methylbutan-1-ol",
        "2-pentanol",
        "2-hexanol",
        "4-heptanol",
        "benzyl alcohol",
        "acetaldehyde",
        "acetal",
        "cumene",
        "decahydronaphthalene",
        "tetrahydronaphthalene",
        "dicyclopentadiene",
        "diglyme",
        "1,2-dimethoxyethane",
        "methylcyclopentane",
        "4-methylpentan-2-one",
        "vinyl ethers",
        "1-phenylethanol",
        "2-phenylethanol",
        "other secondary alcohols",
    )),
    (("C", 12, 18, INHIBITED), (
        "styrene",
        "vinyl acetate",
        "methyl methacrylate",
        "acrylonitrile",
        "acrylic acid",
        "vinyl chloride",
        "vinylpyridine",
        "vinylacetylene",
        "chlorotrifluoroethylene",
    )),
)  # fmt: skip

PUBLISHED: Final[Mapping[str, PublishedFormer]] = {
    fold(name): PublishedFormer(name, *of_class) for of_class, names in _BY_CLASS for name in names
}
"""By folded name."""


def published_former(name: str) -> PublishedFormer | None:
    """Return the substance of the list that an item is, by its name; None where it is on none.

    What stands after a comma is left out, as people write `tetrahydrofuran, dry`.
    """
    return PUBLISHED.get(fold(name)) or PUBLISHED.get(fold(name.partition(", ")[0]))
