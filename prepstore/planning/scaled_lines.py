"""A line of a script as one size of session takes it."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Final

from prepstore.cell_types import Share
from prepstore.chemistry.routes import Route
from prepstore.facts import PracticalLine, Replacement

ONE: Final = Decimal(1)


@dataclass(frozen=True, slots=True)
class Retention:
    """What an agent or paper holds back of a liquid (folded): so much for `each` unit of it.

    The amount is in the liquid's unit. Agents that are counted are whole.
    """

    liquid: str
    each: Decimal
    is_counted: bool


@dataclass(frozen=True)
class ScaledLine:
    """A line of a script for one session.

    `name` is the folded name of what is used, after replacements (`chain`). `route` leads to the
    amount for one student, group or session in that item's unit, `count` is how many of them there
    are.
    `ends` are where it ends (folded), in shares that add up to 1; none for what is not followed,
    such as apparatus and consumables without a `to`. A line of containers that are apparatus
    follows the line of what is in them, which it `holds` (as spelled). `retention` is what the
    line's agent or paper holds back.
    """

    line: PracticalLine
    name: str
    chain: tuple[Replacement, ...]
    route: Route
    count: int
    spare: Decimal
    ends: tuple[Share, ...]
    holds: str | None = None
    retention: Retention | None = None

    def times(self, count: int) -> "ScaledLine":
        """Return the same line for so many students, groups or sessions."""
        return ScaledLine(
            self.line,
            self.name,
            self.chain,
            self.route,
            count,
            self.spare,
            self.ends,
            self.holds,
            self.retention,
        )

    @property
    def each(self) -> Decimal:
        """Return the amount for one student, group or session, in the item's unit."""
        return self.route.number

    @cached_property
    def expected(self) -> Decimal:
        """Return the amount without spare, in the item's unit."""
        return self.each * self.count

    @cached_property
    def amount(self) -> Decimal:
        """Return the amount with spare, in the item's unit, unrounded."""
        return self.expected * (ONE + self.spare)
