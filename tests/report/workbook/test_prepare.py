from dataclasses import replace

from prepstore.report.workbook.page import Look
from prepstore.report.workbook.prepare import BOX, prepare_page
from prepstore.settings import Settings
from tests.planning.a_wash import a_wash
from tests.planning.test_collection_tasks import called_plan
from tests.report.workbook.a_week import TABLES, a_week, rows_of, texts_of

Line = tuple[str, ...]

SETTINGS = TABLES["settings"] + "\nordering,by item"


def lines_of(task: str, **tables: str) -> list[Line]:
    """Return by, what, how much and remark of the lines of a task."""
    rows = [row for row in rows_of(prepare_page(a_week(**tables))) if row.look is not Look.NOTE]
    return [
        (str(by), str(what), "".join(map(str, how_much)), str(remark))
        for row in rows
        if row.look is not Look.BAND
        for _, by, kind, what, *how_much, remark in [row.values]
        if kind == task
    ]


def test_each_line_says_by_when() -> None:
    rows = [row.values for row in rows_of(prepare_page(a_week())) if len(row.values) > 1]
    undated = [row for row in rows if not row[1]]
    assert all("with the next order" in str(row[5]) for row in undated)
    assert lines_of("Fetch")[0][0] == "09:00"
    assert lines_of("Set out")[0][0] == "today"


def test_an_order_says_what_it_comes_to_with_charge_and_minimum() -> None:
    by, supplier, total, remark = lines_of("Order", settings=SETTINGS)[0]
    assert (by, supplier, total) == ("today", "Slow Solvents", "19.80 EUR")
    assert remark.startswith("LATE; send by Mon 25 Jan; delivery 12.50 EUR; ")
    assert "1 × ETAC-2.5 ethyl acetate LATE, comes Mon 22 Feb" in remark


def test_what_comes_back_says_how_many_and_where_it_goes() -> None:
    lines = lines_of("Clear, book out")
    assert [line[0] for line in lines] == ["12:00", "17:00"]
    assert lines[0][3] == "7 separating funnel"


def test_commands_that_record_what_is_done_stand_once_at_the_head_as_they_run() -> None:
    first = rows_of(prepare_page(a_week()))[0]
    assert first.values == (
        'What is done is recorded like this: prepstore stock use --session "Tue am"',
    )
    stock = TABLES["stock"].replace("expiry\n", "expiry,opened\n")
    stock = stock.replace("cabinet B,", "cabinet B,,2026-10-01")
    stock += "        OLD,ethyl acetate,300 mL,cabinet C,2027-01-20\n"
    tables = {
        "stock": stock,
        "items": TABLES["items"]
        .replace("hazards\n", "hazards,peroxide_test\n")
        .replace("H225", "H225,90"),
        "on_order": "pack,packs,due,reference\nETAC-1,1,2027-02-01,PO 7",
    }
    first = rows_of(prepare_page(a_week(**tables)))[0]
    assert first.values == (
        'What is done is recorded like this: prepstore stock test ACETATE-1 --result "______"; '
        'prepstore stock discard OLD --reason "out of date"; prepstore stock receive ETAC-1; '
        'prepstore stock use --session "Tue am"',
    )


def test_a_remark_without_an_amount_before_it_has_its_room_and_leaves_that_for_initials() -> None:
    rows = [row for row in rows_of(prepare_page(a_week())) if "Clear, book out" in row.values]
    assert {(row.runs_from, row.then_from) for row in rows} == {(4, 6)}


def test_a_session_that_runs_takes_no_initials() -> None:
    rows = [row for row in rows_of(prepare_page(a_week())) if "Session" in row.values]
    assert {(row.runs_from, row.then_from) for row in rows} == {(5, None)}


def test_a_full_container_is_changed_and_too_few_empty_ones_are_got() -> None:
    assert lines_of("Change container")[0][1:3] == ("aqueous acid", "1 full")
    assert lines_of("Get containers")[0][3].startswith("SHORT; ")


LEAD = TABLES["settings"].rstrip() + "\ncollection_lead,5"


def test_a_collection_is_called_by_its_day_and_says_of_what_how_many_and_why() -> None:
    """600 mL and 490 mL on Tuesday 2 February are more than the 900 mL of the only container."""
    (line,) = lines_of("Call collection", settings=LEAD)
    assert line == (
        "today",
        "aqueous acid",
        "1 full",
        "it must come by Tue 2 Feb, when the last container is full; list code 06 01 06*",
    )
    rows = [row.values for row in rows_of(prepare_page(a_week(settings=LEAD)))]
    place = next(place for place, row in enumerate(rows) if "Call collection" in row)
    assert rows[place - 1] == ("Tue 26 Jan 2027",)
    assert lines_of("Call collection") == []  # nobody knows how long before it is called


def test_a_collection_that_is_late_is_told_and_calls_stand_once() -> None:
    week = a_week(settings=LEAD, today="2027-01-28")
    (line,) = [row.values for row in rows_of(prepare_page(week)) if "Call collection" in row.values]
    assert str(line[5]).startswith("LATE if not called yet: by Tue 26 Jan; it must come by Tue 2")
    assert "call for its collection" in lines_of("Change container")[0][3]
    assert "collection" not in lines_of("Change container", settings=LEAD)[0][3]
    assert "collection" not in lines_of("Get containers", settings=LEAD)[0][3]


def _called(expected: str, **given: str) -> list[tuple[object, ...]]:
    """Return the lines of the collection of the bin, called on 29 January."""
    rows = rows_of(prepare_page(called_plan(expected, "bin", **given)))
    return [row.values[1:6] for row in rows if "Collection expected" in row.values]


def test_a_collection_that_was_called_stands_on_its_day() -> None:
    plan = called_plan("02-03", "bin", "tank")
    rows = [row.values for row in rows_of(prepare_page(plan))]
    (place,) = (place for place, row in enumerate(rows) if "Collection expected" in row)
    assert rows[place - 1] == ("Wed 3 Feb 2027",)
    assert rows[place][1:] == (
        "today", "Collection expected", "bin / tank", "0 full",
        "called Fri 29 Jan, expected on Wed 3 Feb 2027: seal and label what is full, hand over its "
        "list",
    )  # fmt: skip
    assert not any("Call collection" in row for row in rows)
    assert "prepstore waste collect" in str(rows[0][0])


def test_a_collection_that_comes_too_late_or_did_not_come_stands_out() -> None:
    ((*_, late),) = _called("02-05")
    assert str(late).startswith("TOO LATE: it must come by Thu 4 Feb; called Fri 29 Jan")
    ((*_, overdue),) = _called("02-02", today="2027-02-03")
    assert str(overdue).startswith("NOT RECORDED: did it come? If not, ask when; called Fri 29")


def test_the_command_of_a_call_stands_at_the_head() -> None:
    first = rows_of(prepare_page(a_week(settings=LEAD)))[0].values[0]
    assert 'prepstore waste call "aqueous acid" --expected ______' in str(first)
    settings = f"{LEAD}\nwaste_most_held,0.6 L"
    first = rows_of(prepare_page(a_week(settings=settings)))[0].values[0]
    assert "prepstore waste call STREAM … --expected ______" in str(first)


def test_a_full_one_whose_collection_is_called_calls_for_none() -> None:
    changed = [
        str(row.values[5])
        for plan in (called_plan("02-03", "bin"), called_plan(None))
        for row in rows_of(
            prepare_page(replace(plan, catalogue=replace(plan.catalogue, settings=Settings())))
        )
        if "Change container" in row.values
    ]
    assert ["call for its collection" in words for words in changed] == [False, True]


def test_a_collection_of_all_streams_says_so() -> None:
    settings = f"{LEAD}\nwaste_most_held,0.6 L"
    first, _ = lines_of("Call collection", settings=settings)
    assert first[1:] == (
        "all streams by volume",
        "1 full",
        "it must come by Tue 2 Feb, when there is more waste than waste_most_held",
    )


def test_a_delivery_that_the_plan_counts_on_is_taken_in() -> None:
    on_order = "pack,packs,due,reference\nETAC-1,1,2027-02-01,PO 7"
    (line,) = lines_of("Take in", on_order=on_order)
    assert line == (
        "in the day",
        "ethyl acetate",
        "1 L",
        "delivery of ETAC-1 PO 7: this plan counts on it",
    )


def test_a_batch_that_lacks_a_part_says_short_of_what() -> None:
    stock = "\n".join(line for line in TABLES["stock"].split("\n") if "BICARB" not in line)
    wash = next(line for line in lines_of("Make up", stock=stock) if "wash" in line[1])
    assert wash[3].startswith("SHORT of sodium hydrogencarbonate; for Tue am")


def test_what_is_out_of_date_is_discarded_by_its_lot() -> None:
    stock = TABLES["stock"] + "        OLD,ethyl acetate,300 mL,cabinet C,2027-01-20\n"
    (line,) = lines_of("Discard", stock=stock)
    assert line[1:3] == ("ethyl acetate", "300 mL")
    assert line[3].endswith(
        "last day Wed 20 Jan 2027; by its stream (scripts send it to non-halogenated solvent)"
    )


def test_an_old_peroxide_former_is_not_touched_before_it_is_looked_at() -> None:
    stock = TABLES["stock"] + "        OLD,ethyl acetate,300 mL,cabinet C,2027-01-20\n"
    items = (
        TABLES["items"].replace("hazards\n", "hazards,peroxide_test\n").replace("H225", "H225,90")
    )
    (line,) = lines_of("Discard", stock=stock, items=items)
    caution = "crystals in it or around its cap: do not open or move it, ask the competent person"
    assert line[3].endswith(caution)
    opened = TABLES["stock"].replace("expiry\n", "expiry,opened\n")
    opened = opened.replace("cabinet B,", "cabinet B,,2026-10-01")
    (test,) = lines_of("Test", stock=opened, items=items)
    assert test[3].endswith(f"or discard it; {caution}")


def test_each_task_has_a_box_and_an_alert_stands_out() -> None:
    rows = [row for row in rows_of(prepare_page(a_week())) if len(row.values) > 1]
    assert {row.values[0] for row in rows} == {BOX}
    assert any(row.look is Look.ALERT for row in rows)


def test_an_order_below_the_minimum_alone_is_sent_with_the_rest_from_that_supplier() -> None:
    suppliers = TABLES["suppliers"].replace("20,12.50,", "20,12.50,{}")
    packs = TABLES["packs"] + "        ICE,filter paper,Slow Solvents,500 each,5\n"
    items = TABLES["items"].replace(
        "filter paper,consumable,each,,,,,,,,",
        "filter paper,consumable,each,,,,,,900 each,1000 each,",
    )
    for least, words in (
        ("30", "minimum 30.00 EUR, BELOW IT"),
        ("22", "minimum 22.00 EUR: send all 29.80 EUR together"),
        ("29.80", "minimum 29.80 EUR: send all 29.80 EUR together"),
        ("19.80", "minimum 19.80 EUR; "),
    ):
        lines = lines_of(
            "Order", suppliers=suppliers.format(least), packs=packs, items=items, settings=SETTINGS
        )
        (remark,) = (line[3] for line in lines if "LATE" in line[3])
        assert words in remark


def test_a_session_that_shares_too_little_apparatus_says_so_where_it_is_set_out() -> None:
    first, second = lines_of("Set out")
    assert "SHORT of 1 separating funnel at Tue 2 Feb 09:00: see Stock" in first[3]
    assert "SHORT" not in second[3]


def test_a_late_order_names_what_is_on_its_way_and_comes_after() -> None:
    on_order = "pack,packs,due,reference\nETAC-1,2,2027-02-03,PO 7"
    remark = lines_of("Order", on_order=on_order)[0][3]
    assert "2 × ETAC-1 (PO 7) on order comes Wed 3 Feb: ask for it sooner" in remark
    in_time = "pack,packs,due,reference\nETAC-1,1,2027-02-01,PO 7"
    assert all("ask for it sooner" not in line[3] for line in lines_of("Order", on_order=in_time))
    small = TABLES["packs"] + "        S,ethyl acetate,Slow Solvents,50 mL,99\n"
    too_little = "pack,packs,due,reference\nS,1,2027-02-01,PO 7"
    late = lines_of("Order", on_order=too_little, packs=small)[0][3]
    assert "LATE" in late
    assert "ask for it sooner" not in late


def test_what_is_left_of_a_batch_goes_where_its_solution_says() -> None:
    text = texts_of(prepare_page(a_wash()))
    assert "what is left of the batch of Mon 1 Feb; to aqueous" in text
