"""A warning as a value: what it is about, and the parts of its sentence."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from prepstore.amounts import Amount

Part = str | int | Decimal | Amount | date | datetime | tuple[str, ...] | None
Parts = Mapping[str, Part]


@dataclass(frozen=True, slots=True)
class Warned:
    """Something to look at; `about` names an item, stream, session or supplier.

    `code` says which warning it is; each has its sentence in `report/warning_sentences.py`, into
    which the `parts` go (a bare Decimal is money), and its heading in `docs/reference/warnings.md`.
    """

    code: str
    about: str
    parts: Parts = field(default_factory=dict)
