"""What can be done about a late session: by hand, from tables."""

from prepstore.planning.options import Option, OptionKind, options_for
from prepstore.planning.plan import Plan
from tests.builders import plan_of

TABLES = {
    "items": "item,kind,unit,supply,daily_capacity\nsalt,reagent,g,{supply},{capacity}",
    "practical_lines": "practical,item,amount,per,spare\nP,salt,10 g,group,{spare}",
    "timetable": """
        session,practical,date,start,end,room,students
        S1,P,2027-02-02,09:00,12:00,Lab,{first}
        S2,P,2027-02-03,09:00,12:00,Lab,4
        S3,Q,{other},11:00,13:00,Lab,{others}
        """,
    "practicals": "practical,title\nP,Salting\nQ,Another",
    "stock": "lot,item,amount,state,expiry\nA,salt,{stock} g,,\n{held}",
    "suppliers": "supplier,lead_days\nSlow,8",
    "packs": "pack,item,supplier,size,price\nP1,salt,Slow,100 g,5",
}
BLANK = {
    "supply": "", "capacity": "", "spare": "0 %", "first": "0", "other": "2027-03-30",
    "others": "1", "stock": "25", "held": "",
}  # fmt: skip


def options(**given: str) -> dict[OptionKind, Option]:
    """Return what can be done about S2, which needs 40 g; today is 25 January."""
    plan: Plan = plan_of(
        today="2027-01-28",
        **{name: text.format(**{**BLANK, **given}) for name, text in TABLES.items()},
    )
    session = next(one for one in plan.sessions if one.work.session.session == "S2")
    return {option.kind: option for option in options_for(plan, session)}


def test_fewer_sets_work_with_what_is_there() -> None:
    """By hand: 25 g are enough for two of four sets of 10 g."""
    assert options()[OptionKind.FEWER_SETS].sets == 2
    assert OptionKind.FEWER_SETS not in options(stock="9")


def test_a_lot_that_is_held_back_is_named_where_it_is_enough() -> None:
    held = options(held="B,salt,15 g,quarantine,2027-02-03")[OptionKind.FREE_LOTS]
    assert [lot.label for lot in held.lots] == ["B"]
    assert OptionKind.FREE_LOTS not in options(held="B,salt,14 g,quarantine,")
    assert OptionKind.FREE_LOTS in options(spare="50 %", held="B,salt,15 g,quarantine,")
    assert OptionKind.FREE_LOTS not in options(held="B,salt,15 g,quarantine,2027-02-02")


def test_the_spare_of_sessions_before_it_may_be_enough() -> None:
    """By hand: S1 takes 40 g and 20 g of spare, so S2 lacks 15 g of its 40 and 20 g."""
    found = options(first="4", spare="50 %", stock="85")[OptionKind.LESS_SPARE]
    assert found.amount == 15
    assert OptionKind.LESS_SPARE not in options(first="4", spare="50 %", stock="75")


def test_of_what_is_made_on_site_only_the_spare_of_the_day_can_be_had() -> None:
    made = {
        "supply": "made on site",
        "capacity": "35 g",
        "stock": "0",
        "first": "2",
        "spare": "50 %",
    }
    assert OptionKind.LESS_SPARE not in options(**made)


def test_a_session_may_move_to_the_first_day_on_which_all_is_there_and_the_room_is_free() -> None:
    """By hand: ordered on Thursday 28 January it comes on Tuesday the 9th, in hand for the 10th."""
    assert str(options()[OptionKind.MOVE].day) == "2027-02-10"
    assert str(options(other="2027-02-10")[OptionKind.MOVE].day) == "2027-02-11"
    assert str(options(other="2027-02-10", others="0")[OptionKind.MOVE].day) == "2027-02-10"


def test_a_session_that_is_not_late_has_no_options() -> None:
    assert options(stock="40") == {}


SHOP = {name: TABLES[name] for name in ("suppliers", "packs")}
SOLUTIONS = {
    "items": """
        item,kind,unit,supply
        salt,reagent,g,
        water,solvent,mL,made on site
        spirit,solvent,mL,
        """,
    "solutions": "solution\nweak\nstrong\nstronger\nin spirit\nmixed",
    "solution_parts": """
        solution,item,amount
        weak,salt,{weak} g/L
        weak,water,to volume
        strong,salt,50 g/L
        strong,water,to volume
        stronger,salt,200 g/L
        stronger,water,to volume
        in spirit,salt,200 g/L
        in spirit,spirit,to volume
        mixed,salt,200 g/L
        mixed,spirit,10 mL/L
        mixed,water,to volume
        """,
    "practical_lines": "practical,item,amount,per,spare\nP,weak,100 mL,group,{spare}\n{also}",
    "timetable": "session,practical,date,students\nS2,P,2027-02-03,4",
    "stock": """
        lot,item,amount,expiry,state
        W,water,90 L,,
        A,strong,{there} mL,{expiry},{state}
        B,stronger,10 mL,,
        C,in spirit,5 L,,
        D,mixed,5 L,,
        """,
}


def to_dilute(**given: str) -> Plan:
    """Return a plan in which S2 needs 400 mL of 20 g/L of salt, of which there is none."""
    blank = {"weak": "20", "spare": "0 %", "there": "200", "expiry": "", "state": "", "also": ""}
    tables = {
        name: given.get(name, SOLUTIONS.get(name, "")).format(**{**blank, **given})
        for name in (*SOLUTIONS, *(table for table in given if table not in blank))
    }
    return plan_of(today="2027-01-28", **SHOP | tables)


def diluted(**given: str) -> list[tuple[str, int, str]]:
    """Return what could be diluted, how much of it, and for which solution."""
    plan = to_dilute(**given)
    session = next(one for one in plan.sessions if one.work.session.session == "S2")
    return [
        (option.name, int(option.amount), option.made)
        for option in options_for(plan, session)
        if option.kind is OptionKind.DILUTE
    ]


def test_a_stronger_solution_in_the_same_solvent_may_be_diluted() -> None:
    """By hand: 400 mL are made as 500 mL, whose 10 g are in 200 mL of 50 g/L."""
    assert diluted() == [("strong", 200, "weak")]
    assert diluted(there="199") == []
    assert diluted(weak="50", there="900") == []  # no stronger than what is to be made
    assert diluted(expiry="2027-02-01") == []
    assert diluted(state="quarantine") == []


def test_what_others_take_of_a_stronger_solution_is_not_offered() -> None:
    assert diluted(there="600", also="P,strong,100 mL,group,0 %") == [("strong", 200, "weak")]
    assert diluted(there="599", also="P,strong,100 mL,group,0 %") == []


def test_a_session_that_uses_the_substance_itself_is_helped_by_no_solution() -> None:
    assert diluted(practical_lines="practical,item,amount,per,spare\nP,salt,10 g,group,0 %") == []
    both = "practical,item,amount,per,spare\nP,salt,10 g,group,0 %\nQ,weak,100 mL,group,0 %"
    two = "session,practical,date,students\nS1,Q,2027-02-03,4\nS2,P,2027-02-03,4"
    named = "practical,title\nP,Salting\nQ,Another"
    assert diluted(practical_lines=both, timetable=two, practicals=named, there="900") == []
