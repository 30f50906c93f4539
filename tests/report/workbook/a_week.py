"""A week to print: one washing-up of an ester, with something of every kind in it."""

from collections.abc import Iterable, Iterator

from prepstore.planning.plan import Plan
from prepstore.report.workbook.page import Page, SheetRow, Told, Value
from tests.builders import plan_of

TABLES = {
    "items": """
        item,kind,unit,formula,strength,density,supply,daily_capacity,minimum,restock_to,hazards
        sodium hydrogencarbonate,reagent,g,NaHCO3,,,,,,,
        "hydrochloric acid, concentrated",reagent,mL,HCl,37 % w/w,1.18,,,,,H290 H314 H335
        diethyl ether,solvent,mL,,,0.71,,,,,H224 EUH019
        dichloromethane,solvent,mL,,,1.33,,,,,H351
        ethyl acetate,solvent,mL,,,0.9,,,500 mL,2 L,H225
        deionised water,solvent,mL,,,1,made on site,20 L,,,
        ice,consumable,g,,,,made on site,1 kg,,,
        filter paper,consumable,each,,,,,,,,
        separating funnel,apparatus,each,,,,,,,,
        """,
    "solutions": """
        solution,shelf_life,step,largest_batch,hazards,storage,instructions
        hydrogencarbonate wash,30,100 mL,500 mL,,shelf B,Stir into cold water.
        hydrochloric acid 2 mol/L,365,250 mL,,H290,shelf A,Acid into water.
        """,
    "solution_parts": """
        solution,item,amount
        hydrogencarbonate wash,sodium hydrogencarbonate,5 % w/v
        hydrogencarbonate wash,deionised water,to volume
        hydrochloric acid 2 mol/L,"hydrochloric acid, concentrated",2 mol/L
        hydrochloric acid 2 mol/L,deionised water,to volume
        """,
    "practicals": "practical,title,group_size\nESTER,Washing an ester,2",
    "practical_lines": """
        practical,stage,item,amount,per,spare,to,shared_by,container,notes
        ESTER,wash,hydrogencarbonate wash,2 x 25 mL,group,0 %,aqueous acid,3,250 mL bottle,vent
        ESTER,wash,hydrochloric acid 2 mol/L,20 mL,group,0 %,aqueous acid,,,
        ESTER,extract,dichloromethane,30 mL,group,0 %,non-halogenated solvent,,,
        ESTER,extract,separating funnel,1 each,group,,,,,
        ESTER,dry,filter paper,3 each,student,10 %,contaminated solid,,,
        ESTER,cool,ice,200 g,group,0 %,drain,,,
        """,
    "replacements": """
        item,replaced_by,factor,to,reason
        dichloromethane,ethyl acetate,1.5,,less harmful
        """,
    "timetable": """
        session,practical,date,start,end,room,students,demonstrator_sets
        Tue am,ESTER,2027-02-02,09:00,12:00,Lab 1,12,1
        Thu pm,ESTER,2027-02-04,14:00,17:00,Lab 2,6,0
        """,
    "stock": """
        lot,item,amount,place,expiry
        BICARB-1,sodium hydrogencarbonate,1 kg,dry store,
        ACID-1,"hydrochloric acid, concentrated",1 L,acid cupboard,
        ACETATE-1,ethyl acetate,100 mL,cabinet B,
        PAPER-1,filter paper,500 each,drawer 1,
        FUNNEL,separating funnel,6 each,bay 1,
        """,
    "suppliers": """
        supplier,lead_days,delivery_charge,minimum_order
        Slow Solvents,20,12.50,
        Quick Papers,1,,100
        """,
    "packs": """
        pack,item,supplier,size,price
        ETAC-1,ethyl acetate,Slow Solvents,1 L,9.90
        ETAC-2.5,ethyl acetate,Slow Solvents,2.5 L,19.80
        """,
    "waste_streams": """
        stream,measure,container,fill_limit,empty_containers,part_full,list_code
        aqueous acid,volume,1 L,90 %,0,600 mL,06 01 06*
        non-halogenated solvent,volume,5 L,90 %,1,,14 06 03*
        contaminated solid,mass,5 kg,90 %,1,,
        """,
    "settings": "setting,value\ncurrency,EUR",
}
"""Seven sets on Tuesday and three on Thursday; ethyl acetate is short and comes too late."""


def a_week(**tables: str) -> Plan:
    """Return the plan of the week, some tables replaced."""
    return plan_of(**{**TABLES, **tables})


def an_empty_week() -> Plan:
    """Return the plan of a week without sessions, its shelf full."""
    tables = {**TABLES, "timetable": "session,practical,date,students"}
    return plan_of(**{**tables, "stock": "lot,item,amount\nA,ethyl acetate,1 L"})


def rows_of(page: Page) -> list[SheetRow]:
    """Return all rows of a page; those for the screen last."""
    return [*printed_rows(page), *page.if_room, *(row for block in page.on_screen for row in block)]


def printed_rows(page: Page) -> list[SheetRow]:
    """Return the rows of a page that are printed."""
    return [row for block in page.blocks for row in block]


def values_of(page: Page) -> Iterator[dict[str, Value]]:
    """Yield each row's values by heading."""
    headings = [column.heading for column in page.columns]
    for row in rows_of(page):
        yield dict(zip(headings, row.values, strict=False))


def told_in(rows: Iterable[SheetRow]) -> dict[str, str]:
    """Return what is told after its word in any cell of some rows; of one word the first."""
    found: dict[str, str] = {}
    for row in rows:
        for value in row.values:
            if isinstance(value, Told):
                for word, text in value.parts:
                    found.setdefault(word, text)
    return found


def texts_of(page: Page) -> str:
    """Return all that a page says, cell after cell."""
    return "\n".join(str(value) for row in rows_of(page) for value in row.values if value)
