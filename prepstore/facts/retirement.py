"""What is no longer used from a day on."""

import datetime

from prepstore.facts.goods import Item, Solution
from prepstore.facts.practicals import Practical
from prepstore.facts.supply import Supplier


def is_retired(fact: Item | Solution | Practical | Supplier, day: datetime.date) -> bool:
    """Return whether something is no longer used on a day."""
    return fact.retired is not None and fact.retired <= day
