from prepstore.report.workbook.make_up import make_up_page
from prepstore.report.workbook.page import Block, Look
from tests.report.workbook.a_week import (
    TABLES,
    a_week,
    an_empty_week,
    rows_of,
    texts_of,
    told_in,
)


def block_of(name: str, **tables: str) -> Block:
    return next(
        block for block in make_up_page(a_week(**tables)).blocks if name in str(block[0].values[0])
    )


def text_after(block: Block, word: str) -> str:
    return told_in(block)[word]


def test_a_batch_is_headed_by_day_name_volume_and_makings() -> None:
    head = block_of("wash", practical_lines=MORE_WASH)[0]
    assert head.look is Look.BAND
    assert head.values[0] == (
        "Mon 1 Feb 2027 · hydrogencarbonate wash · 700 mL, in 2 makings of 350 mL (at most 500 mL)"
    )


def test_a_batch_of_several_makings_says_what_each_takes_and_has_room_for_each() -> None:
    _, weighed, water, *_ = block_of("wash", practical_lines=MORE_WASH)
    assert weighed.values[2] == "35 g in all; 17.5 g each making"
    assert water.values[0] == (
        "deionised water: up to 350 mL, each making (about 700 mL in all; 350 mL each making)"
    )
    assert weighed.values[4] == water.values[4] == "1:\n\n2:"


MORE_WASH = """
    practical,item,amount,per,spare,to
    ESTER,hydrogencarbonate wash,100 mL,group,0 %,aqueous acid
    """


def test_a_part_says_how_much_and_which_lot_and_place() -> None:
    weighed = block_of("wash")[1]
    assert weighed.values == (
        "sodium hydrogencarbonate", "5 % w/v", "25 g", "BICARB-1 (dry store)", None,
    )  # fmt: skip


def test_what_makes_up_to_volume_is_named_by_the_mark() -> None:
    water = block_of("wash")[2]
    assert water.values == (
        "deionised water: to the mark of a 500 mL flask (about 500 mL)", None, None,
        "made on site", None,
    )  # fmt: skip
    assert (water.runs_from, water.runs_to) == (0, 2)


def test_instructions_label_and_room_to_sign_follow() -> None:
    block = block_of("hydrochloric")
    assert text_after(block, "How") == "Acid into water."
    label = text_after(block, "Label")
    assert "made on Mon 1 Feb 2027 · keep until Tue 1 Feb 2028" in label
    assert "H290 May be corrosive to metals" in label
    assert "shelf A" in label


def test_the_room_to_sign_is_in_the_line_of_the_batch_and_high_enough_for_a_hand() -> None:
    head = block_of("hydrochloric")[0]
    assert (head.runs_from, head.then_from, head.is_written_in) == (0, 3, True)
    assert head.values[3] == "Made by ____ on _____ lot _______ checked ____"


def test_a_part_that_is_short_says_how_much_is_missing() -> None:
    stock = TABLES["stock"].replace("BICARB-1,sodium hydrogencarbonate,1 kg", "B,ice,1 g")
    weighed = block_of("wash", stock=stock)[1]
    assert (weighed.values[3], weighed.look) == ("SHORT 25 g", Look.ALERT)


def test_what_a_batch_is_for_names_its_sessions() -> None:
    assert "500 mL wanted: Tue am (Tue 2 Feb 09:00), Thu pm (Thu 4 Feb 14:00)" in texts_of(
        make_up_page(a_week())
    )


def bottles_of(block: Block) -> str:
    """Return what a batch's bottles are, or nothing."""
    return text_after(block, "For").partition(" · bottles ")[2]


def test_bottles_to_fill_are_named_for_their_session() -> None:
    assert bottles_of(block_of("wash")) == (
        "for Tue am: 1 × 250 mL bottle, 150 mL (3 sets); "
        "2 × 250 mL bottle, each 100 mL (2 sets); "
        "for Thu pm: 1 × 250 mL bottle, 150 mL (3 sets)"
    )


def test_a_solution_whose_lines_name_no_bottle_has_none_to_fill() -> None:
    assert bottles_of(block_of("hydrochloric")) == ""


def test_a_bottle_that_no_sets_share_is_one_for_each() -> None:
    lines = TABLES["practical_lines"].replace("3,250 mL bottle", ",250 mL bottle")
    assert bottles_of(block_of("wash", practical_lines=lines)).startswith(
        "for Tue am: 7 × 250 mL bottle, each 50 mL (1 set)"
    )


def test_a_bottle_that_stock_helps_to_fill_says_so() -> None:
    stock = TABLES["stock"] + "        W-1,hydrogencarbonate wash,50 mL,,2027-03-01\n"
    first, second = bottles_of(block_of("wash", stock=stock)).split("; for Thu pm")
    assert first.endswith("(2 sets); part of it comes from stock")
    assert second.endswith("(3 sets)")


def test_the_label_says_where_the_waste_goes() -> None:
    assert text_after(block_of("wash"), "Label").endswith("store: shelf B · waste to: aqueous acid")


def test_the_label_names_practicals_whose_waste_goes_elsewhere() -> None:
    tables = {
        "practicals": TABLES["practicals"] + "\nBASE,Another,2",
        "practical_lines": TABLES["practical_lines"].rstrip()
        + "\n        BASE,,hydrogencarbonate wash,10 mL,group,0 %,contaminated solid,,,\n",
        "timetable": TABLES["timetable"].replace("12,1", "6,0").rstrip()
        + "\n        Fri am,BASE,2027-02-05,09:00,12:00,Lab 1,4,0\n",
    }
    label = text_after(block_of("wash", **tables), "Label")
    assert "waste to: aqueous acid (ESTER); contaminated solid (BASE)" in label


def test_the_label_of_what_is_only_made_into_others_points_to_them() -> None:
    parts = TABLES["solution_parts"].replace(
        "hydrogencarbonate wash,sodium hydrogencarbonate,5 % w/v",
        "hydrogencarbonate wash,bicarbonate stock,500 mL/L",
    )
    tables = {
        "solutions": TABLES["solutions"].rstrip() + "\n        bicarbonate stock,30,,,,,\n",
        "solution_parts": parts.rstrip()
        + "\n        bicarbonate stock,sodium hydrogencarbonate,8 % w/v"
        + "\n        bicarbonate stock,deionised water,to volume\n",
    }
    label = text_after(block_of("· bicarbonate stock", **tables), "Label")
    assert "waste to: see what is made from it" in label


def test_batches_stand_by_the_clock_and_say_the_day_on_which_they_are_made() -> None:
    """The wash of Tuesday's session is made within two hours of it, so on Tuesday by nine."""
    solutions = (
        TABLES["solutions"]
        .replace("instructions\n", "instructions,make_within\n")
        .replace("cold water.", "cold water.,2")
    )
    rows = rows_of(make_up_page(a_week(solutions=solutions)))
    heads = [str(row.values[0]) for row in rows if row.look is Look.BAND]
    assert heads == [
        "Mon 1 Feb 2027 · hydrochloric acid 2 mol/L · 250 mL",
        "Tue 2 Feb 2027 · hydrogencarbonate wash · 500 mL",
    ]
    assert any("made on Tue 2 Feb 2027" in str(row.values[-1]) for row in rows)


def test_a_batch_says_by_which_command_it_is_recorded() -> None:
    first = rows_of(make_up_page(a_week()))[0]
    assert first.values == (
        "Put your initials on each label. Record each batch: prepstore stock make NAME --week "
        "2027-W05. Where no hazards are entered, prepstore labels --week 2027-W05 calculates them.",
    )
    assert "record it with" not in text_after(block_of("wash"), "For")
    short_lived = TABLES["solutions"].replace("wash,30", "wash,1")
    purpose = text_after(block_of("wash", solutions=short_lived), "For")
    assert purpose.endswith(" · record it with --planned-for 2027-02-01")


def test_a_label_without_hazards_says_so() -> None:
    assert "hazards: none entered ·" in text_after(block_of("wash"), "Label")


def test_a_week_without_batches_takes_no_paper() -> None:
    assert not make_up_page(an_empty_week()).takes_paper
    assert make_up_page(a_week()).takes_paper
