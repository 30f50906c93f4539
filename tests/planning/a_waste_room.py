"""A small department whose waste reacts, worked out by hand."""

from dataclasses import replace
from decimal import Decimal

from prepstore.cell_types import fold
from prepstore.containers import level_of
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.planning.pours import content_of
from prepstore.shelf.shelf import Department
from tests.builders import TODAY, WEEK, day, facts_from, plan_of

TABLES = {
    "items": """
        item,kind,unit,density,cas,formula,strength,acid_or_base,group,retention
        acid,reagent,mL,1.18,7647-01-0,HCl,37 % w/w,strong acid 1,,
        nitric,reagent,mL,1.41,7697-37-2,HNO3,70 % w/w,strong acid 1,,
        soda,reagent,g,,497-19-8,Na2CO3,,carbonate,,
        bicarb,reagent,g,,144-55-8,NaHCO3,,hydrogencarbonate,,
        alkali,reagent,g,,1310-73-2,NaOH,,strong base 1,,
        propanone,solvent,mL,0.79,67-64-1,,,,,
        chloroform,solvent,mL,1.48,67-66-3,,,,,
        table salt,reagent,g,,,,,,,
        vinegar,reagent,mL,1,,,,weak acid 1,3,
        water,solvent,mL,1,7732-18-5,H2O,,,,
        powder,reagent,g,,,,,,,1 mL
        glove,consumable,each,,,,,,,""",
    "solutions": "solution\nthin acid",
    "solution_parts": """
        solution,  item,  amount
        thin acid, acid,  100 mL/L
        thin acid, water, to volume""",
    "practicals": "practical,title\nP,Oxidising\nQ,Washing\nR,Drying",
    "practical_lines": """
        practical, per,   item,       amount,  spare, to,                    holds_back
        P,         group, nitric,     10 mL,   0 %,   acid waste,
        P,         group, table salt, 1 g,     0 %,   acid waste,
        Q,         group, thin acid,  100 mL,  10 %,  acid waste,
        Q,         group, bicarb,     8.4 g,   0 %,   acid waste,
        Q,         group, glove,      1 each,  0 %,   acid waste,
        R,         group, propanone,  20 mL,   0 %,   acid waste 50 %; air 50 %,
        R,         group, chloroform, 5 mL,    0 %,   non-halogenated,
        R,         group, powder,     2 g,     0 %,   solids,                propanone""",
    "timetable": """
        session, practical, date,       students
        S1,      P,         2027-02-01, 2
        S2,      Q,         2027-02-02, 4
        S3,      R,         2027-02-03, 2""",
    "waste_streams": """
        stream,          measure, part_full, container
        acid waste,      volume,  ,          5 L
        non-halogenated, volume,  200 mL,    5 L
        solids,          mass,    ,          1 kg""",
    "stock": """
        lot, item,       amount, place
        A,   acid,       5 L,    cupboard
        N,   nitric,     5 L,    Cupboard
        T,   thin acid,  9 L,    bench
        P,   propanone,  5 L,    shelf
        C,   chloroform, 0 L,    cupboard
        G,   glove,      99 each, cupboard""",
}


def a_waste_room(**tables: str) -> Plan:
    """Return the plan of the week, some tables replaced."""
    return plan_of(**{**TABLES, **tables})


def holding_already(
    stream: str, *things: str, unknown: int = 0, of_each: int = 20, **tables: str
) -> Department:
    """Return the department with so much of each of some things in the open one of a stream.

    Each is in its own unit; `unknown` are mL or g beside them of which nobody knows what it is.
    """
    made = facts_from({**TABLES, **tables})
    held = made.stores.containers[fold(stream)]
    kind = made.goods.streams[fold(stream)].measure.kind
    known = tuple(content_of(made.materials[fold(one)], Decimal(of_each), kind) for one in things)
    filled = level_of(known) + unknown
    held = replace(held, known=known, filled=filled, is_open=True)
    containers = {**made.stores.containers, fold(stream): held}
    return replace(made, stores=replace(made.stores, containers=containers))


def planned_with(
    stream: str, *things: str, unknown: int = 0, of_each: int = 20, **tables: str
) -> Plan:
    """Return the plan of the week of a department as `holding_already` says."""
    made = holding_already(stream, *things, unknown=unknown, of_each=of_each, **tables)
    return made.plan(Period.of_week(WEEK), day(TODAY))
