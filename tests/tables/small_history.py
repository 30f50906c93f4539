"""A small set of tables with the history that led to them, as text, and what is wrong with another.

Salt came with the first load; some was used, and half of that came back by an undo. A second lot
was received twice, the first time by mistake; a third is gone. Packs were ordered, and one came.
A can of acid was filled and sealed, another opened, and what was poured into that once taken out.
"""

from prepstore.problems import ProblemsError
from prepstore.tables.history_intake import history_intake
from tests.tables.written_rows import written

TABLES = {
    "items": "item,kind,unit\nsea salt,reagent,g\nglove,consumable,each",
    "suppliers": "supplier,lead_days\nHarbour,3",
    "packs": "pack,item,supplier,size,price\nH1,sea salt,Harbour,1 kg,12.40",
    "stock": "lot,item,amount,place\nS1,sea salt,480 g,shelf 2\nS2,sea salt,1 kg,\n"
    "G1,glove,0 each,",
    "on_order": "pack,packs,due,reference,price\nH1,1,2027-02-08,PO 7,12.40",
    "waste_streams": "stream,measure,container,empty_containers,part_full\n"
    "acid,volume,5 L,1,0.2 L\ntank,volume,,,",
}
HISTORY = {
    "entries": """entry,day,at_utc,by,session,reason
1,2027-01-25,2027-01-25T09:00:00.000000+00:00,Kim,,tables loaded
2,2027-02-01,2027-02-01T09:00:00.000000+00:00,Kim,Mon,
3,2027-02-01,2027-02-01T09:05:00.000000+00:00,Kim,,undoes entry 2
4,2027-02-01,2027-02-01T09:06:00.000000+00:00,Ana,Mon,
5,2027-02-02,2027-02-02T09:00:00.000000+00:00,Ana,,
6,2027-02-02,2027-02-02T09:01:00.000000+00:00,Ana,,undoes entry 5
7,2027-02-02,2027-02-02T09:02:00.000000+00:00,Ana,,
8,2027-02-03,2027-02-03T09:02:00.000000+00:00,Ana,,tidied
9,2027-02-04,2027-02-04T09:02:00.000000+00:00,Ana,,
10,2027-02-04,2027-02-04T09:03:00.000000+00:00,Ana,,undoes entry 9""",
    "movements": """movement,entry,lot,what,change,unit,written,changed,was,now,reverses,item
1,1,S1,opening amount,500,g,500 g,,,,,salt
2,1,G1,opening amount,0,each,0 each,,,,,glove
3,2,S1,used,-40,g,40 g,,,,,
4,3,S1,undone,40,g,,,,,3,
5,4,S1,used,-20,g,20 g,,,,,
6,5,S2,received,2000,g,2 kg,,,,,salt
7,6,S2,undone,-2000,g,,,,,6,
8,7,S2,received,1000,g,1 kg,,,,,salt
9,8,S1,moved,0,g,,place,shelf 1,shelf 2,,
10,9,S9,received,5,g,5 g,,,,,sea salt
11,10,S9,undone,-5,g,,,,,10,""",
    "session_uses": """session_use,entry,session,session_date,practical,item,unit,planned,used
1,2,Mon,2027-02-01,P,salt,g,25,40
2,3,Mon,2027-02-01,P,salt,g,-25,-40
3,4,Mon,2027-02-01,P,salt,g,25,20""",
    "order_changes": """order_change,entry,what,pack,packs,due,reference,price,reverses
1,4,placed,H1,2,2027-02-08,PO 7,12.40,
2,7,arrived,H1,-1,2027-02-08,PO 7,12.40,
3,8,cancelled,H1,-1,2027-02-08,PO 7,12.40,
4,9,undone,H1,1,2027-02-08,PO 7,12.40,3""",
    "name_changes": """name_change,entry,what,table,was,now
1,8,renamed,items,salt,rock salt
2,8,renamed,items,rock salt,sea salt
3,8,retired,suppliers,Harbour,2027-07-31
4,9,reinstated,suppliers,Harbour,2027-07-31""",
    "timetable_changes": """timetable_change,entry,session,changed,was,now
1,9,Tue,students,24,26
2,10,Tue,students,26,24""",
    "container_changes": "container_change,entry,stream,container,what,change,unit,written,was,"
    """now,empty,item,item_change,item_unit,lot,reverses
1,1,acid,W27-001,opening amount,3400,mL,3.4 L,,open,0,,0,,,
2,1,acid,,opening amount,0,mL,,,,2,,0,,,
3,2,acid,W27-001,filled,20,mL,,,,0,salt,40,g,,
4,3,acid,W27-001,undone,-20,mL,,,,0,salt,-40,g,,3
5,4,acid,W27-001,sealed,0,mL,,open,sealed,0,,0,,,
6,4,acid,W27-002,opened,0,mL,,,open,-1,,0,,,
7,4,acid,W27-002,filled,200,mL,,,,0,,0,,,""",
    "label_changes": """label_change,entry,what,label,solution,make_on
1,9,reserved,2027-02-05-1,brine,2027-02-05
2,9,reserved,2027-02-05-2,brine,2027-02-05
3,10,freed,2027-02-05-2,brine,2027-02-05""",
    "former_lots": "lot,item,amount,gone,above_row\nS9,sea salt,0 g,undone,3",
}
SET = {**TABLES, **HISTORY}


def changed(table: str, old: str, new: str) -> dict[str, str]:
    """Return the small set with one text of a table replaced by another."""
    assert old in SET[table], old
    return {**SET, table: SET[table].replace(old, new, 1)}


def sentences(tables: dict[str, str]) -> list[str]:
    """Return what is wrong with a set and its history; empty where nothing is."""
    try:
        history_intake(written(**tables), [])
    except ProblemsError as error:
        return [f"{problem.code} {problem.sentence}" for problem in error.problems]
    return []


def wrong(table: str, old: str, new: str) -> list[str]:
    """Return code and place of what is wrong once a text of the small set is another."""
    found = []
    try:
        history_intake(written(**changed(table, old, new)), [])
    except ProblemsError as error:
        for problem in error.problems:
            place = problem.place
            found.append(f"{problem.code} {place.table} {place.row} {place.column}")
    return found
