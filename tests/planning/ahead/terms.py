"""A small department and its weeks, from the notation that people use in their tables."""

from collections.abc import Mapping

from prepstore.planning.ahead.ahead import Ahead, ahead_of
from prepstore.planning.ahead.term import term_of, weeks_from
from prepstore.planning.calendar import Period
from tests.builders import day, facts_from

TABLES = {
    "items": """
        item,kind,unit,density,storage,minimum,shelf_life,most_held
        acetone,solvent,mL,0.79,cabinet,{minimum},{keeps},{most}
        salt,reagent,g,,,,,
        """,
    "practicals": "practical,title\nP,Washing\nQ,Salting",
    "practical_lines": """
        practical,item,amount,per,spare,to
        P,acetone,1 L,session,{spare},organic
        Q,salt,10 g,session,,
        """,
    "waste_streams": "stream,measure\norganic,volume",
    "timetable": """
        session,practical,date,students
        S1,P,2027-02-03,4
        S2,P,2027-02-10,4
        S3,P,2027-02-17,4
        """,
    "stock": "lot,item,amount,expiry\nA1,acetone,{stock},{expiry}",
    "suppliers": """
        supplier,lead_days,delivery_charge,minimum_order
        North,2,{charge},{least}
        """,
    "packs": "pack,item,supplier,size,price\nN1,acetone,North,1 L,10{packs}",
    "on_order": "pack,packs,due{due}",
    "settings": "setting,value\nholding_cost,{holding}",
}
BLANK = {
    "minimum": "", "keeps": "", "most": "", "spare": "0 %", "stock": "1 L", "expiry": "",
    "charge": "8", "least": "", "packs": "", "due": "", "holding": "0 %",
}  # fmt: skip


def tables_of(**given: str) -> dict[str, str]:
    """Return the tables with some cells filled in."""
    return {name: text.format(**{**BLANK, **given}) for name, text in TABLES.items()}


def ahead(
    first: str = "2027-W05",
    weeks: int = 3,
    today: str = "2027-02-01",
    tables: Mapping[str, str] | None = None,
    **given: str,
) -> Ahead:
    """Return a term of three weeks with a litre of acetone in each, one of which is there."""
    checked = facts_from(tables or tables_of(**given))
    asked_from = Period.of_week(first)
    stores = checked.stores
    plans = term_of(
        checked.catalogue,
        checked.timetable,
        stores,
        weeks_from(asked_from, weeks, day(today)),
        day(today),
    )
    return ahead_of(stores, list(plans), checked.catalogue.settings, asked_from)
