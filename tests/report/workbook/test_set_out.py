from prepstore.report.workbook.page import Look, Value
from prepstore.report.workbook.set_out import BOX, set_out_page
from tests.report.workbook.a_week import TABLES, a_week, rows_of, told_in, values_of


def first_of(item: str, **tables: str) -> dict[str, Value]:
    page = set_out_page(a_week(**tables))
    return next(row for row in values_of(page) if row.get("Item or solution") == item)


FROM = "From lot (place): amount; note"


def note_below(item: str, **tables: str) -> str:
    """Return the long note of an item, which stands in a row of its own below it."""
    rows = rows_of(set_out_page(a_week(**tables)))
    at = next(at for at, row in enumerate(rows) if row.values[1:2] == (item,))
    below = rows[at + 1]
    assert below.is_tied
    assert below.runs_from == 1
    return str(below.values[1])


def test_a_session_is_headed_by_when_where_and_how_many() -> None:
    heads = [row.values[0] for row in rows_of(set_out_page(a_week())) if row.look is Look.BAND]
    assert heads[0] == (
        "Tue 2 Feb 2027 · 09:00–12:00 · Lab 1 · Tue am · ESTER Washing an ester · "
        "12 students, 6 groups, 7 sets · LATE"
    )


def test_sets_that_share_are_rounded_up_to_whole_containers() -> None:
    row = first_of("hydrogencarbonate wash")
    assert row["With spare"] == "350 mL"
    assert row["Set out in"] == (
        "1 × 250 mL bottle, 150 mL (3 sets)\n2 × 250 mL bottle, each 100 mL (2 sets)"
    )
    assert row[FROM] == "batch made up on Mon 1 Feb\nvent"


def test_what_replaces_what_is_said_with_the_reason() -> None:
    row = first_of("ethyl acetate")
    assert note_below("ethyl acetate") == "instead of dichloromethane: less harmful"
    assert row["With spare"] == "315 mL"
    assert str(row[FROM]).endswith("\nSHORT 215 mL")


def lines_below(**tables: str) -> dict[str, str]:
    """Return the lines of the first session's page that run over the columns, by their word."""
    return told_in(next(iter(set_out_page(a_week(**tables)).blocks)))


def test_apparatus_stands_in_one_line_with_a_box() -> None:
    block = next(iter(set_out_page(a_week()).blocks))
    (row,) = (row for row in block if "Apparatus: it comes back" in told_in([row]))
    assert [str(value) for value in row.values] == [
        BOX, "Apparatus: it comes back: 7 separating funnel",
    ]  # fmt: skip


def test_a_trolley_says_what_is_short_where_waste_goes_and_its_hazards() -> None:
    lines = lines_below()
    assert lines["SHORT"] == "ethyl acetate 215 mL; ice 400 g"
    # Seven sets of 50 mL and 20 mL; of 30 mL times 1.5; papers are not measured.
    assert lines["Waste containers to stand by"] == (
        "aqueous acid, up to 490 mL; non-halogenated solvent, up to 315 mL; contaminated solid"
    )
    assert "ethyl acetate: H225 Highly flammable liquid and vapour" in lines["Hazards"]
    assert "Left out" not in lines
    assert "The script says" not in lines


def test_a_container_to_stand_by_has_room_for_spare_and_for_what_agents_do_not_hold_back() -> None:
    """30 mL × 1.5 for six groups and a demonstrator, less what the papers take up."""
    lines = TABLES["practical_lines"].replace(
        "dichloromethane,30 mL,group,0 %", "dichloromethane,30 mL,group,20 %"
    )
    assert "non-halogenated solvent, up to 378 mL;" in _stand_by(practical_lines=lines)
    items = TABLES["items"].replace("hazards\n", "hazards,retention\n")
    items = items.replace(
        "filter paper,consumable,each,,,,,,,,", "filter paper,consumable,each,,,,,,,,,2 mL"
    )
    held = lines.replace("notes\n", "notes,holds_back\n")
    held = held.replace("contaminated solid,,,", "contaminated solid,,,,dichloromethane")
    held = held.replace("dichloromethane,30 mL,group,20 %", "dichloromethane,30 mL,group,0 %")
    # 42 papers hold back 84 mL; with their spare, 47 of them, 94 mL.
    assert "non-halogenated solvent, up to 231 mL;" in _stand_by(items=items, practical_lines=held)


def _stand_by(**tables: str) -> str:
    return lines_below(**tables)["Waste containers to stand by"]


def test_what_the_script_says_stands_above_the_list() -> None:
    practicals = "practical,title,group_size,notes\nESTER,Washing an ester,2,Vent often."
    block = next(iter(set_out_page(a_week(practicals=practicals)).blocks))
    assert told_in(block[1:2]) == {
        "SHORT": "ethyl acetate 215 mL; ice 400 g",
        "The script says": "Vent often.",
    }


def test_stages_left_out_stand_above_the_list() -> None:
    timetable = TABLES["timetable"].replace("sets\n", "sets,leave_out\n")
    timetable = timetable.replace("12,1", "12,1,cool").replace("6,0", "6,0,")
    lines = TABLES["practical_lines"].replace("notes\n", "notes,optional\n")
    lines = lines.replace("drain,,,", "drain,,,,yes")
    above = lines_below(timetable=timetable, practical_lines=lines)
    assert above["Left out"] == "cool"


def test_each_session_has_a_page_of_its_own() -> None:
    assert set_out_page(a_week()).has_a_page_each


def test_a_long_note_has_the_width_of_the_page_and_a_short_one_stands_beside_the_lot() -> None:
    short, long = "vent at every shake of the bag", "vent at every shake of the bags"
    assert (len(short), len(long)) == (30, 31)
    for told, is_short in ((short, True), (long, False)):
        lines = TABLES["practical_lines"].replace("bottle,vent", f"bottle,{told}")
        row = first_of("hydrogencarbonate wash", practical_lines=lines)
        assert (str(row[FROM]).endswith(f"\n{told}")) is is_short
    assert note_below("hydrogencarbonate wash", practical_lines=lines) == long


def test_counted_things_are_whole() -> None:
    assert first_of("filter paper")["With spare"] == "47"


def test_several_lines_that_share_each_have_their_own_containers() -> None:
    lines = TABLES["practical_lines"].rstrip()
    lines += "\n        ESTER,rinse,hydrogencarbonate wash,6 mL,group,0 %,aqueous acid,7,jar,\n"
    assert first_of("hydrogencarbonate wash", practical_lines=lines)["Set out in"] == (
        "wash: 1 × 250 mL bottle, 150 mL (3 sets)\n"
        "wash: 2 × 250 mL bottle, each 100 mL (2 sets)\n"
        "rinse: 1 × jar, 42 mL (7 sets)"
    )


def test_a_bottle_that_is_too_small_says_so_where_it_is_filled() -> None:
    small = TABLES["practical_lines"].replace("250 mL bottle", "120 mL bottle")
    assert first_of("hydrogencarbonate wash", practical_lines=small)["Set out in"] == (
        "1 × 120 mL bottle, 150 mL (3 sets): TOO SMALL\n2 × 120 mL bottle, each 100 mL (2 sets)"
    )


def test_what_comes_in_part_from_stock_says_how_much_of_each() -> None:
    stock = TABLES["stock"] + "        WASH-1,hydrogencarbonate wash,200 mL,shelf B,2027-03-01\n"
    assert first_of("hydrogencarbonate wash", stock=stock)[FROM] == (
        "WASH-1 (shelf B): 200 mL\nbatch made up on Mon 1 Feb: 150 mL\nvent"
    )


def test_a_container_that_ages_once_opened_is_dated_when_it_is_opened() -> None:
    items = TABLES["items"].replace("hazards\n", "hazards,opened_life\n").replace("H225", "H225,90")
    (told,) = _dated(items=items)
    assert told == ("ACETATE-1 is unopened: write the day on it; prepstore stock open ACETATE-1")
    opened = (
        TABLES["stock"]
        .replace("expiry", "expiry,opened")
        .replace("cabinet B,", "cabinet B,,2027-01-20")
    )
    assert _dated(items=items, stock=opened) == []
    assert _dated() == []


def _dated(**tables: str) -> list[str]:
    """Return what the first session's page says of containers to be dated."""
    block = next(iter(set_out_page(a_week(**tables)).blocks))
    return [str(value) for row in block for value in row.values if "unopened" in str(value)]


def test_hazards_follow_each_other_by_their_codes_however_they_were_typed() -> None:
    lines = lines_below(items=TABLES["items"].replace("2 L,H225", "2 L,H319 H225"))
    assert "ethyl acetate: H225 Highly" in lines["Hazards"]
    assert lines["Hazards"].index("H225") < lines["Hazards"].index("H319")
