"""A small shelf in a line or two, in the notation of the tables."""

from datetime import date

from prepstore.movements import Booking, Movement
from prepstore.shelf.asked import Quantity, quantity
from prepstore.shelf.shelf import Department
from prepstore.stores import Holding
from prepstore.tables.units import read_amount
from tests.builders import facts_from

DAY = date(2027, 2, 3)

ITEMS = """
    item,kind,unit,density,formula,opened_life,supply,peroxide_test,peroxide_test_sealed,minimum
    salt,reagent,g,,NaCl,,,,,2 kg
    acetone,solvent,mL,0.79,,,,,,
    ether,solvent,mL,,,180,,30,540,
    water,solvent,mL,,,,made on site,,,
    glove,consumable,each,,,,,,,
"""
SOLUTIONS = "solution,shelf_life,storage\nbrine,30,shelf B\nsaline,,"
PARTS = """
    solution,item,amount
    brine,salt,20 % w/v
    brine,water,to volume
    saline,salt,0.1 mol/L
    saline,water,to volume
"""
STOCK = """
    lot,item,amount,expiry,opened,state,containers,place
    A1,acetone,1 L,2028-06-30,,,,shelf 1
    A2,acetone,500 mL,2027-12-31,,,,shelf 1
    A3,acetone,2 L,2027-01-31,,,,shelf 1
    A4,acetone,3 L,2027-06-30,,quarantine,,shelf 2
    E1,ether,1 L,2028-06-30,2027-01-04,,,cabinet C
    E3,ether,3 L,2028-06-30,,,3,cabinet C
    S1,salt,1.5 kg,,,,,shelf 3
    B1,brine,250 mL,2027-02-20,,,,shelf B
    G1,glove,20 each,,,,,drawer 1
    X1,salt,0 g,,,,,
"""
TABLES = {"items": ITEMS, "solutions": SOLUTIONS, "solution_parts": PARTS, "stock": STOCK}


def shelf(**tables: str) -> Department:
    """Return the small shelf; each lot holds what its row says.

    Other tables stand beside its own, or in place of them.
    """
    return facts_from({"practicals": "practical,title\nP,A practical", **TABLES, **tables})


def asked(of: Holding, text: str) -> Quantity:
    """Return a typed amount of what is in a lot; 0 is allowed."""
    return quantity(of.material, read_amount(text), may_be_nothing=True)


def moved(booking: Booking | tuple[Movement, ...] | Movement) -> dict[str, str]:
    """Return by lot how its amount changes, in digits."""
    if isinstance(booking, Movement):
        booking = (booking,)
    movements = booking.movements if isinstance(booking, Booking) else booking
    return {
        movement.lot: f"{movement.number.normalize():f} {movement.unit}"
        for movement in movements
        if movement.billionths
    }
