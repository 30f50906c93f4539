"""What all sessions to come leave behind, and what is left over of the batches made for them."""

from datetime import date

from prepstore.catalogue import Catalogue
from prepstore.planning.calendar import Period
from prepstore.planning.make_plan import waste_left
from prepstore.planning.waste import WastePlan
from prepstore.stores import Stores
from prepstore.timetable import Timetable


def waste_ahead(
    catalogue: Catalogue, timetable: Timetable, stores: Stores, today: date
) -> WastePlan:
    """Return what all sessions from a day on that are not booked out leave behind.

    What is left over of batches counts on their last day, be it after the last session. Batches are
    those that are made for all these sessions, planned on that day.
    """
    return waste_left(catalogue, timetable, stores, Period(today, date.max), today)
