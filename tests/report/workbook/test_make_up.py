from prepstore.report.workbook.make_up import make_up_page
from prepstore.report.workbook.page import Block, Look
from tests.report.workbook.a_week import TABLES, a_week, texts_of


def block_of(name: str, **tables: str) -> Block:
    return next(
        block for block in make_up_page(a_week(**tables)).blocks if name in str(block[0].values[0])
    )


def text_after(block: Block, word: str) -> str:
    return next(str(row.values[1]) for row in block if row.values[0] == word)


def test_a_batch_is_headed_by_day_name_volume_and_makings() -> None:
    head = block_of("wash", practical_lines=MORE_WASH)[0]
    assert head.look is Look.BAND
    assert head.values[0] == (
        "Mon 1 Feb 2027 · hydrogencarbonate wash · 700 mL, in 2 makings of at most 500 mL"
    )


MORE_WASH = """
    practical,item,amount,per,spare,to
    ESTER,hydrogencarbonate wash,100 mL,group,0 %,aqueous acid
    """


def test_a_part_says_how_much_from_which_lot_and_place() -> None:
    weighed = block_of("wash")[1]
    assert weighed.values == (
        "", "sodium hydrogencarbonate", "5 % w/v", "25 g", "BICARB-1 (dry store): 25 g",
    )  # fmt: skip


def test_what_makes_up_to_volume_is_named_by_the_mark() -> None:
    water = block_of("wash")[2]
    assert water.values[3] == "make up to the mark in 500 mL (about 500 mL)"


def test_instructions_label_and_room_to_sign_follow() -> None:
    block = block_of("hydrochloric")
    assert text_after(block, "How") == "Acid into water."
    label = text_after(block, "Label")
    assert "made on Mon 1 Feb 2027 · keep until Tue 1 Feb 2028" in label
    assert "H290 May be corrosive to metals" in label
    assert "shelf A" in label
    assert "______" in text_after(block, "Made by")


def test_a_part_that_is_short_says_how_much_is_missing() -> None:
    stock = TABLES["stock"].replace("BICARB-1,sodium hydrogencarbonate,1 kg", "B,ice,1 g")
    weighed = block_of("wash", stock=stock)[1]
    assert (weighed.values[0], weighed.look) == ("SHORT 25 g", Look.ALERT)


def test_what_a_batch_is_for_names_its_sessions() -> None:
    assert "500 mL wanted: Tue am (Tue 2 Feb 09:00), Thu pm (Thu 4 Feb 14:00)" in texts_of(
        make_up_page(a_week())
    )
