"""The worked example of docs/explanation/what-is-in-the-waste.md, as tables."""

from prepstore.planning.plan import Plan
from tests.builders import plan_of

ITEMS = """
    item,          kind,       unit, density, cas,       formula, retention, group
    ethyl acetate, solvent,    mL,   0.9,     141-78-6,  ,        ,
    water,         solvent,    mL,   1,       7732-18-5, ,        ,
    salt,          reagent,    g,    ,        ,          NaCl,    ,
    drying agent,  reagent,    g,    ,        ,          ,        0.4 mL,
    filter paper,  consumable, each, ,        ,          ,        0.3 mL,
    chloroform,    solvent,    mL,   1.5,     ,          ,        ,          17
    glove,         consumable, each, ,        ,          ,        ,"""
SOLUTIONS = "solution, shelf_life, to\nbrine, 0, aqueous"
PARTS = "solution,item,amount\nbrine,salt,10 % w/v\nbrine,water,to volume"
LINES = (
    "ethyl acetate, 50 mL, solvent 90 %; air 10 %,",
    "drying agent, 5 g, solid, ethyl acetate",
    "filter paper, 1 each, solid, ethyl acetate",
    "brine, 30 mL, aqueous,",
)
STREAMS = "stream,measure\nsolvent,volume\naqueous,volume\nsolid,mass"


def a_wash(*lines: str, **tables: str) -> Plan:
    """Return the plan of two groups on 1 February; a line is item, amount, to, holds_back."""
    header = "practical,per,item,amount,to,holds_back"
    given = {
        "items": ITEMS,
        "solutions": SOLUTIONS,
        "solution_parts": PARTS,
        "practical_lines": "\n".join([header, *(f"P,group,{line}" for line in lines or LINES)]),
        "timetable": "session,practical,date,students\nS,P,2027-02-01,2",
        "waste_streams": STREAMS,
    }
    return plan_of(**{**given, **tables})
