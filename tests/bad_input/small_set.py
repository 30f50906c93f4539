"""A small valid set of tables, ways to change it, and what a load says of the result."""

import csv
import io
from collections.abc import Mapping
from pathlib import Path

from openpyxl import Workbook

from prepstore.problems import Problem, ProblemsError
from prepstore.tables.intake import NOTHING_HELD, intake
from prepstore.tables.read import read_set

Texts = Mapping[str, str]

BASE: Texts = {
    "items": """\
item,kind,unit,cas,formula,strength,density,measures,minimum,restock_to,opened_life,supply,daily_capacity,turnaround,minutes_per_use,hazards,storage,notes
sodium chloride,reagent,g,7647-14-5,NaCl,,,scoop = 2 g,500 g,2 kg,,,,,,,,
hydrochloric acid,reagent,mL,7647-01-0,HCl,37 % w/w,1.18,drop = 0.05 mL,,,180,,,,,H290 H314,acids,
water,solvent,mL,7732-18-5,H2O,,1,,,,,made on site,20 L,,,,,
dichloromethane,solvent,mL,75-09-2,CH2Cl2,,1.33,,,,,,,,,H351,,
ethyl acetate,solvent,mL,141-78-6,C4H8O2,,0.902,,,,,,,,,H225 H319,,
burette,apparatus,each,,,,,,,,,,,60,,,,
spectrometer,apparatus,each,,,,,,,,,,,,16,,,
filter paper,consumable,each,,,,,,,,,,,,,,,
copper sulfate,reagent,g,7758-99-8,CuSO4·5H2O,,,,,,,,,,,,,
""",
    "solutions": """\
solution,shelf_life,step,largest_batch,density,minimum,restock_to,hazards,storage,instructions
acid 2 mol/L,365,500 mL,5 L,1.03,1 L,2 L,H314,shelf A,Acid into water.
acid 0.1 mol/L,90,100 mL,2 L,,,,,,
salt solution,,,,,,,,,
copper solution,30,,,,,,,,
""",
    "solution_parts": """\
solution,item,amount,as
acid 2 mol/L,hydrochloric acid,2 mol/L,
acid 2 mol/L,water,to volume,
acid 0.1 mol/L,acid 2 mol/L,0.1 mol/L,
acid 0.1 mol/L,water,to volume,
salt solution,sodium chloride,5 % w/v,
salt solution,water,to volume,
copper solution,copper sulfate,2 g/L,Cu
copper solution,water,to volume,
""",
    "hazard_limits": """\
item,class,h_code,from,below,m_factor,ate,form,in_force,source
hydrochloric acid,Skin Corr. 1B,H314,25 %,,,,,2010-12-01,
hydrochloric acid,Skin Irrit. 2,H315,10 %,25 %,,,,2010-12-01,
""",
    "practicals": """\
practical,title,group_size,notes
ANA-01,Titration,2,
ORG-01,Extraction,3,
""",
    "practical_lines": """\
practical,stage,item,amount,per,spare,optional,to,within,shared_by,container,notes
ANA-01,titration,acid 0.1 mol/L,3 x 25 mL,group,25 %,,aqueous,,4,bottle,
ANA-01,titration,burette,1 each,group,,,,,,,
ANA-01,repeat,sodium chloride,2 scoop,student,,yes,aqueous,,,,
ORG-01,extraction,dichloromethane,20 mL + 2 x 10 mL,group,,,halogenated 90 %; air 10 %,,,,
ORG-01,spectrum,spectrometer,1 each,group,,yes,,60,,,
ORG-01,extraction,filter paper,2 each,student,,,kept,,,,
""",
    "timetable": """\
session,practical,date,start,end,room,students,group_size,demonstrator_sets,leave_out
Mon am,ANA-01,2027-02-01,09:00,12:00,Lab 1,24,,1,
Tue am,ORG-01,2027-02-02,09:00,12:00,Lab 1,12,,,spectrum
Wed pm,ANA-01,2027-02-03,14:00,17:00,Lab 2,10,1,,repeat
""",
    "stock": """\
lot,item,amount,expiry,opened,state,containers,place
L1,sodium chloride,1.5 kg,,,,3,shelf B
L2,hydrochloric acid,2.5 L,2028-06-30,2027-01-11,,,acids
L3,acid 2 mol/L,1 L,2027-06-30,,,,shelf A
L4,burette,20 each,,,,,
L5,dichloromethane,1 L,,,quarantine,,
""",
    "suppliers": """\
supplier,lead_days,delivery_charge,minimum_order
Harbour,3,8.50,50
Quay,5,,
""",
    "packs": """\
pack,item,supplier,size,price
H-1,sodium chloride,Harbour,1 kg,12.40
H-2,hydrochloric acid,Harbour,2.5 L,18
Q-1,ethyl acetate,Quay,2.5 L,22.10
""",
    "price_breaks": """\
pack,from,price
H-1,10,11.20
""",
    "storage_limits": """\
storage,most
acids,20 L
""",
    "on_order": """\
pack,packs,due,reference
H-1,2,2027-02-01,PO 1
Q-1,1,2027-02-03,
""",
    "waste_streams": """\
stream,measure,container,fill_limit,empty_containers,part_full,list_code,notes
halogenated,volume,5 L,80 %,2,3.2 L,14 06 02*,
non-halogenated,volume,5 L,,1,,,
aqueous,volume,10 L,,1,,,
solids,mass,5 kg,,1,200 g,,
""",
    "replacements": """\
item,replaced_by,factor,to,reason
dichloromethane,ethyl acetate,1.2,non-halogenated 90 %; air 10 %,less hazardous
""",
    "settings": """\
setting,value
spare reagent,10 %
prep_lead,1
working_days,Mon-Fri
holidays,2027-03-26; 2027-03-29
""",
}


def with_change(table: str, old: str, new: str) -> dict[str, str]:
    """Return the base set with one text of one table, which stands there once, changed."""
    assert BASE[table].count(old) == 1, (table, old, BASE[table].count(old))
    return {**BASE, table: BASE[table].replace(old, new)}


def with_cell(table: str, row: int, column: str, text: str) -> dict[str, str]:
    """Return the base set with one cell changed, in a column it need not have had."""
    rows = list(csv.reader(io.StringIO(BASE[table])))
    if column not in rows[0]:
        rows = [[*cells, column if cells is rows[0] else ""] for cells in rows]
    rows[row - 1][rows[0].index(column)] = text
    return {**BASE, table: csv_of(rows)}


def csv_of(rows: list[list[str]]) -> str:
    """Return rows as CSV text."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def folder_of(texts: Mapping[str, str | bytes], folder: Path) -> Path:
    """Write a set of tables as CSV files."""
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        content = text if isinstance(text, bytes) else text.encode("utf-8")
        (folder / f"{name}.csv").write_bytes(content)
    return folder


def workbook_of(texts: Texts) -> Workbook:
    """Return a set of tables as a workbook of texts."""
    book = Workbook()
    for sheet in book.worksheets:
        book.remove(sheet)
    for name, text in texts.items():
        sheet = book.create_sheet(name)
        for row in csv.reader(io.StringIO(text)):
            sheet.append([cell or None for cell in row])
    return book


def saved(book: Workbook, folder: Path) -> Path:
    """Save a workbook and return its path."""
    path = folder / "set.xlsx"
    book.save(path)
    return path


def problems_of(path: Path) -> tuple[Problem, ...]:
    """Return all that loading a set into an empty store says is wrong with it."""
    try:
        rows, of_files = read_set(path)
        intake(rows, {}, of_files, held=NOTHING_HELD, count=False)
    except ProblemsError as error:
        return error.problems
    return ()


def sentences_of(path: Path) -> list[str]:
    """Return the sentences of `problems_of`."""
    return [problem.sentence for problem in problems_of(path)]
