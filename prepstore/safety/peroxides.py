"""When a container of what forms peroxides is to be tested, or discarded."""

from datetime import date, timedelta

from prepstore.facts import Item, Lot


def forms_peroxides(item: Item) -> bool:
    """Return whether the department has an item tested for peroxides."""
    return item.peroxide_test is not None or item.peroxide_test_sealed is not None


def reckoned_from(lot: Lot) -> date | None:
    """Return the day from which the time to a test counts; None where it is not known.

    It is the last test, or before the first one the opening or, of a sealed container, the receipt.
    """
    return max(
        (day for day in (lot.tested, lot.opened or lot.received) if day is not None), default=None
    )


def has_no_known_day(lot: Lot, item: Item) -> bool:
    """Return whether a lot is to be tested, and no day is known from which the time counts."""
    return forms_peroxides(item) and reckoned_from(lot) is None


def due_for_test(lot: Lot, item: Item) -> date | None:
    """Return the last day by which a lot is to be tested for peroxides; None where none is known.

    Source:
        Times after opening and unopened, as in the lists of Cornell University EHS (Appendix J) and
        USC EHS; how long they are is the department's to set.
    """
    days = item.peroxide_test if lot.opened is not None else item.peroxide_test_sealed
    start = reckoned_from(lot)
    if days is None or start is None:
        return None
    return start + timedelta(days=days)
