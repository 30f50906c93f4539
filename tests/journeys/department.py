"""A small department with something of everything, for journeys in which anything may happen."""

from collections.abc import Mapping
from typing import Final

from tests.bad_input.small_set import csv_of

WEEK: Final = "2027-W05"
"""Monday 1 to Sunday 7 February 2027: the week that it plans."""

_TABLES: Final = {
    "items": """
        item,kind,unit,formula,strength,density,measures,minimum,opened_life,supply,daily_capacity,peroxide_test,peroxide_test_sealed
        salt,reagent,g,NaCl,,,scoop = 2 g,4 kg,,,,,
        strong acid,reagent,mL,HCl,37 % w/w,1.18,drop = 0.05 mL,,180,,,,
        acetone,solvent,mL,,,0.79,,5 L,,,,,
        ether,solvent,mL,,,,,,180,,,30,540
        water,solvent,mL,,,1,,,,made on site,20 L,,
        glove,consumable,each,,,,box = 100 each,200 each,,,,,
        burette,apparatus,each,,,,,,,,,,
        old dye,reagent,g,,,,,,,,,,
    """,
    "solutions": """
        solution,shelf_life,step,largest_batch,minimum,storage
        brine,14,100 mL,5 L,,shelf B
        acid 2 mol/L,365,500 mL,5 L,1 L,acids
        acid 0.1 mol/L,90,100 mL,2 L,,acids
    """,
    "solution_parts": """
        solution,item,amount
        brine,salt,20 % w/v
        brine,water,to volume
        acid 2 mol/L,strong acid,2 mol/L
        acid 2 mol/L,water,to volume
        acid 0.1 mol/L,acid 2 mol/L,0.1 mol/L
        acid 0.1 mol/L,water,to volume
    """,
    "practicals": """
        practical,title,group_size
        TIT,Titration,2
        EXT,Extraction,3
        OLD,Not run any more,2
    """,
    "practical_lines": """
        practical,stage,item,amount,per,spare,optional,to,shared_by,container
        TIT,titrate,acid 0.1 mol/L,3 x 25 mL,group,25 %,,aqueous,4,bottle
        TIT,titrate,burette,1 each,group,,,,,
        TIT,titrate,glove,2 each,student,,,,,
        TIT,repeat,salt,2 scoop,student,,yes,aqueous,,
        EXT,extract,acetone,20 mL + 2 x 10 mL,group,,,solvents 90 %; air 10 %,,
        EXT,wash,brine,50 mL,group,,,aqueous,,
        EXT,dry,salt,5 g,group,,,kept,,
        EXT,extract,water,100 mL,group,,,drain,,
    """,
    "timetable": """
        session,practical,date,start,end,room,students,demonstrator_sets,leave_out
        Mon,TIT,2027-02-01,09:00,12:00,Lab 1,12,1,
        Mon late,EXT,2027-02-01,14:00,17:00,Lab 1,9,,
        Tue,EXT,2027-02-02,09:00,12:00,Lab 1,12,,
        Wed,TIT,2027-02-03,14:00,17:00,Lab 2,10,,repeat
        Empty,TIT,2027-02-03,09:00,12:00,Lab 2,0,,
        Next Mon,EXT,2027-02-08,09:00,12:00,Lab 1,9,,
    """,
    "stock": """
        lot,item,amount,expiry,opened,state,containers,place
        S1,salt,1.5 kg,,,,3,shelf 3
        S2,salt,0 g,,,,,
        A1,acetone,1 L,2028-06-30,,,,cabinet A
        A2,acetone,2.5 L,2027-12-31,,,5,cabinet A
        C1,strong acid,2.5 L,2028-06-30,2027-01-11,,,acids
        E1,ether,1 L,2028-06-30,2026-11-04,,,cabinet B
        E3,ether,3 L,2028-06-30,,,3,cabinet B
        D1,acid 2 mol/L,1.2 L,2027-06-30,,,,acids
        B1,brine,250 mL,2027-02-05,,reserved,,shelf B
        G1,glove,429 each,,,,5,drawer 1
        H1,burette,20 each,,,,,bench
    """,
    "suppliers": """
        supplier,lead_days,delivery_charge,minimum_order
        Harbour,1,8.50,50
        Quay,5,,
        Closed shop,9,,
    """,
    "packs": """
        pack,item,supplier,size,price
        H-1,salt,Harbour,1 kg,12.40
        H-2,strong acid,Harbour,2.5 L,18
        Q-1,acetone,Quay,2.5 L,22.10
        Q-2,glove,Quay,1 box,6.00
    """,
    "on_order": """
        pack,packs,due,reference,price
        H-1,2,2027-02-01,PO 1,12.00
        Q-2,3,2027-02-03,,
        Q-1,1,2027-01-20,PO 2,22.10
    """,
    "waste_streams": """
        stream,measure,container,fill_limit,empty_containers
        solvents,volume,5 L,80 %,2
        aqueous,volume,10 L,,1
    """,
    "settings": """
        setting,value
        spare reagent,15 %
        holidays,2027-03-26; 2027-03-29
    """,
}


def department() -> dict[str, str]:
    """Return its tables as CSV texts, by name."""
    return {name: table(text) for name, text in _TABLES.items()}


def table(text: str) -> str:
    """Return an indented table as CSV text; each row has a cell a column."""
    rows = [line.strip().split(",") for line in text.strip().splitlines()]
    width = len(rows[0])
    assert all(len(cells) == width for cells in rows), rows
    return csv_of(rows)


def rows_of(name: str, *rows: Mapping[str, str]) -> dict[str, str]:
    """Return a set of tables with one table of a few rows, as CSV texts."""
    columns = list(dict.fromkeys(column for row in rows for column in row))
    lines = [[row.get(column, "") for column in columns] for row in rows]
    return {name: csv_of([columns, *lines])}
