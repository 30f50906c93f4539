"""The small shelf with a timetable: two sessions of one practical, on Monday and on Tuesday."""

from prepstore.shelf.shelf import Department
from tests.shelf.small_shelf import shelf

LINES = """
    practical,item,amount,per,spare
    P,acetone,100 mL,group,0 %
    P,brine,50 mL,group,0 %
    P,glove,1 each,student,0 %
    P,water,1 L,group,0 %
    P,hotplate,1 each,group,0 %
"""
TIMETABLE = """
    session,practical,date,start,end,students
    Mon,P,2027-02-01,09:00,11:00,4
    Mon late,P,2027-02-01,14:00,16:00,4
    Tue,P,2027-02-02,09:00,11:00,2
    Empty,P,2027-02-02,14:00,16:00,0
"""
ITEMS = """
    item,kind,unit,density,formula,supply
    salt,reagent,g,,NaCl,
    acetone,solvent,mL,0.79,,
    water,solvent,mL,,,made on site
    glove,consumable,each,,,
    hotplate,apparatus,each,,,
"""
STOCK = """
    lot,item,amount,expiry,opened,place
    A1,acetone,1 L,2028-06-30,,shelf 1
    A2,acetone,500 mL,2027-12-31,,shelf 1
    S1,salt,1.5 kg,,,shelf 3
    B1,brine,250 mL,2027-02-20,,shelf B
    G1,glove,20 each,,,drawer 1
    H1,hotplate,9 each,,,bench
"""


def week(**tables: str) -> Department:
    """Return the shelf of a week; students work alone."""
    given = {
        "items": ITEMS,
        "stock": STOCK,
        "practical_lines": LINES,
        "timetable": TIMETABLE,
        "solutions": "solution,shelf_life,step,storage\nbrine,30,100 mL,shelf B",
        "solution_parts": """
            solution,item,amount
            brine,salt,20 % w/v
            brine,water,to volume
        """,
    }
    return shelf(**{**given, **tables})
