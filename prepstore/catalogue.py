"""What is known whatever the week: what the stores keep, and what is done with it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from prepstore.cell_types import ItemKind, Supply, fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.makeup import Makeups
from prepstore.chemistry.materials import materials
from prepstore.facts import (
    HazardLimit,
    Item,
    Pack,
    Practical,
    PracticalLine,
    PriceBreak,
    Replacement,
    Solution,
    SolutionPart,
    StorageLimit,
    Supplier,
    WasteStream,
)
from prepstore.settings import Settings


class ReplacementCircleError(ValueError):
    """Replacements lead back to where they began; `names` says how."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        super().__init__(" is replaced by ".join(names))


@dataclass(frozen=True)
class Goods:
    """What the stores keep, who sells it, where its waste goes; the department's settings.

    Mappings go by folded name; `hazard_limits` by that of their item, `price_breaks` by that of
    their pack, `storage_limits` by that of the place of storage.
    """

    items: Mapping[str, Item]
    solutions: Mapping[str, Solution]
    parts: Mapping[str, tuple[SolutionPart, ...]]
    hazard_limits: Mapping[str, tuple[HazardLimit, ...]]
    suppliers: Mapping[str, Supplier]
    packs: Mapping[str, Pack]
    price_breaks: Mapping[str, tuple[PriceBreak, ...]]
    storage_limits: Mapping[str, StorageLimit]
    streams: Mapping[str, WasteStream]
    settings: Settings

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        """Return every item and solution as a material.

        Raises:
            SolutionCircleError: A solution is made from itself.
        """
        return materials(self.items, self.solutions, self.parts, self.settings.drop)

    @cached_property
    def makeups(self) -> Makeups:
        """Return what breaks items and solutions down into the items they are made of."""
        return Makeups(self.parts, self.materials)

    @cached_property
    def apparatus(self) -> Mapping[str, Item]:
        """Return the items that come back, by folded name."""
        return {name: item for name, item in self.items.items() if item.kind is ItemKind.APPARATUS}

    def is_bought(self, name: str) -> bool:
        """Return whether suppliers are asked for an item or solution (folded).

        A solution is where it is sold and nothing says how it is made.
        """
        item = self.items.get(name)
        if item is not None:
            return item.supply is Supply.BOUGHT
        return name in self._sold and not self.parts.get(name)

    @cached_property
    def _sold(self) -> frozenset[str]:
        return frozenset(fold(pack.item) for pack in self.packs.values())

    def kept(self, name: str) -> Item | Solution | None:
        """Return the item or solution of a folded name; None where there is none."""
        return self.items.get(name) or self.solutions.get(name)


@dataclass(frozen=True)
class Catalogue(Goods):
    """All that is known whatever the week: the goods, the practicals with their lines.

    `lines` go by the folded name of their practical, `replacements` by that of what is replaced.
    """

    practicals: Mapping[str, Practical]
    lines: Mapping[str, tuple[PracticalLine, ...]]
    replacements: Mapping[str, Replacement]

    def replaced(self, name: str) -> tuple[Replacement, ...]:
        """Return the replacements that a script's item goes through, in order; empty where none.

        Raises:
            ReplacementCircleError: They lead in a circle.
        """
        chain: list[Replacement] = []
        seen = {fold(name)}
        while (found := self.replacements.get(fold(name))) is not None:
            chain.append(found)
            name = found.replaced_by
            if fold(name) in seen:
                raise ReplacementCircleError((*(link.item for link in chain), name))
            seen.add(fold(name))
        return tuple(chain)

    def used_for(self, name: str) -> str:
        """Return what is used where a script names an item or solution, as it is spelled.

        Raises:
            ReplacementCircleError: Replacements lead in a circle.
        """
        chain = self.replaced(name)
        return chain[-1].replaced_by if chain else name
