"""What stands on a label, as values; nothing here knows of paper."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.lot_labels import LabelChange
from prepstore.report.labels.label_kind import LabelKind
from prepstore.safety.classes.classified import Because
from prepstore.safety.classes.finding import Undecided

CALCULATED: Final = (
    "Calculated by Regulation (EC) No 1272/2008, Annex I; see the safety data sheet."
)
AS_ENTERED: Final = "Hazards as entered for this item; see the safety data sheet."

AS_POURED: Final = (
    "Signs of all that is known to be in it, or goes in, as entered; see the safety data sheets "
    "and local rules."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazards:
    """What a label says of hazards.

    `contains` are the substances that the hazards of a mixture come from (Article 18(3)(b)),
    `sensitisers` those that EUH208 names. `basis` is the sentence that says where it all comes
    from.
    """

    signal_word: str | None = None
    pictograms: tuple[str, ...] = ()
    h_codes: tuple[str, ...] = ()
    euh: tuple[str, ...] = ()
    contains: tuple[str, ...] = ()
    sensitisers: tuple[str, ...] = ()
    undecided: tuple[Undecided, ...] = ()
    basis: str = CALCULATED


@dataclass(frozen=True, slots=True)
class Share:
    """A substance of a solution, in % by mass of it."""

    item: str
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Classified:
    """How the hazards of a solution were worked out; for other programs, not on the label."""

    volume_ml: Decimal
    composition: tuple[Share, ...]
    classes: tuple[str, ...]
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelContent:
    """All that stands on one label; what is None or empty is left off.

    `number` is typed or scanned where the tool asks for a lot or a container. `capacity_ml` is
    what the container holds; sizes go by it. `volume` is in words, as `500 mL`. With
    `is_initialled` there is room for the maker's initials.
    """

    kind: LabelKind
    number: str
    name: str
    capacity_ml: Decimal
    hazards: Hazards = field(default_factory=Hazards)
    concentration: str | None = None
    volume: str | None = None
    made_on: date | None = None
    received_on: date | None = None
    opened_on: date | None = None
    keep_until: date | None = None
    is_initialled: bool = False
    session: str | None = None
    sets: str | None = None
    list_code: str | None = None
    components: tuple[str, ...] = ()
    classified: Classified | None = None


@dataclass(frozen=True, slots=True)
class LabelSet:
    """The labels that were asked for, and the day whose rules and entries hold for them.

    `to_reserve` are the numbers that printing them reserves for batches.
    """

    date_of_rules: date
    contents: tuple[LabelContent, ...]
    to_reserve: tuple[LabelChange, ...] = ()
