import pytest

from tests.tables.small_history import SET, changed, sentences, wrong


@pytest.mark.parametrize(
    ("table", "old", "new", "told"),
    [
        # Amounts.
        ("stock", "480 g", "481 g", ["history-differs stock 2 amount"]),
        ("stock", "480 g", "0.48 kg", []),
        ("stock", "480 g", "some", ["amount-unreadable stock 2 amount"]),
        ("stock", "G1,glove,0 each", "G1,glove,1 each", ["history-differs stock 4 amount"]),
        ("stock", "\nG1,", "\nG2,glove,0 each,\nG1,", []),
        ("stock", "\nG1,", "\nG2,glove,4 each,\nG1,", ["history-differs stock 4 amount"]),
        ("movements", "0,each,0 each", "0,g,0 each", ["history-differs movements 3 unit"]),
        # Cells.
        ("stock", "shelf 2", "shelf 1", ["history-differs stock 2 place"]),
        ("stock", "shelf 2", "", ["history-differs stock 2 place"]),
        ("stock", "1 kg,", "1 kg,shelf 9", []),
        ("movements", ",place,shelf 1,shelf 2", ",place,shelf 1,",
         ["history-differs stock 2 place"]),
        ("movements", ",place,shelf 1,shelf 2", ",label,shelf 1,shelf 3", []),
        # Lots.
        ("movements", "2,S1,used", "2,S8,used", ["lot-unknown movements 4 lot"]),
        ("former_lots", "S9,", "s1,", ["name-twice former_lots 2 lot"]),
        ("former_lots", "sea salt", "see salt", ["name-unknown former_lots 2 item"]),
        # Orders.
        ("on_order", "H1,1,", "H1,2,", ["history-differs on_order 2 packs"]),
        ("on_order", "PO 7", "PO 8", ["history-differs on_order 2 packs",
                                      "history-differs order_changes 5 packs"]),
        ("on_order", "PO 7", "po 7", []),
        ("order_changes", "placed,H1", "placed,H3", ["name-unknown order_changes 2 pack"]),
        # Names.
        ("name_changes", "rock salt,sea salt", "rock salt,see salt",
         ["name-unknown name_changes 3 now"]),
        ("name_changes", "suppliers,Harbour", "suppliers,Harber",
         ["name-unknown name_changes 4 was"]),
    ],
)  # fmt: skip
def test_what_tables_and_history_say_otherwise_is_told_where_it_stands(
    table: str, old: str, new: str, told: list[str]
) -> None:
    found = wrong(table, old, new)
    assert [one for one in found if one in told] == told
    if not told:
        assert found == []


def test_the_sentences_give_both() -> None:
    (amount,) = sentences(changed("stock", "480 g", "481 g"))
    assert "'481 g' is not what the movements of this lot come to, 480 g. Export" in amount
    (blank,) = sentences(changed("stock", "shelf 2", ""))
    assert "The cell is blank, which is not what the movements of this lot say: it is 's" in blank
    (order,) = sentences(changed("on_order", "H1,1,", "H1,2,"))
    assert "'2' is not what the changes of this order come to, 1." in order
    left = sentences(changed("on_order", "\nH1,1,2027-02-08,PO 7,12.40", ""))
    assert "leaves 1 on order, of which there is no row in on_order." in left[0]


def test_all_is_told_in_one_go_in_the_order_of_the_tables() -> None:
    text = changed("stock", "480 g", "481 g")
    text["items"] = text["items"].replace("reagent", "reagens")
    text["movements"] = text["movements"].replace("11,10,S9", "11,10,S7")
    text["entries"] = text["entries"].replace("2027-02-04,", "4 Feb,", 1)
    assert [line.split()[0] for line in sentences(text)] == [
        "word-unknown",
        "date-unreadable",
        "reversal-differs",
        "below-nothing",
        "lot-unknown",
    ]


def test_amounts_are_compared_though_another_table_is_wrong() -> None:
    text = changed("stock", "480 g", "481 g")
    text["packs"] = text["packs"].replace("12.40", "much")
    codes = [line.split()[0] for line in sentences(text)]
    assert codes == ["history-differs", "number-unreadable"]


def test_only_what_happened_to_the_present_lot_of_a_label_says_what_its_cells_are() -> None:
    text = changed("movements", "6,5,S2,received,2000,g,2 kg,,,,,salt",
                   "6,5,S2,received,2000,g,2 kg,place,,shelf 5,,salt")  # fmt: skip
    assert sentences(text) == []
    assert "shelf 5" in text["movements"]
    assert SET["stock"].count("shelf 5") == 0


def test_two_former_lots_of_one_label_are_told() -> None:
    twice = {**SET, "former_lots": SET["former_lots"] + "\ns9,sea salt,0 g,undone,4"}
    (told,) = sentences(twice)
    assert told.startswith("name-twice table former_lots, row 3, column lot: (sea salt) 's9'")


def test_cells_are_not_judged_while_a_movement_of_the_lot_cannot_be_read() -> None:
    text = changed("movements", "5,4,S1,used,-20,g,20 g,,,,,",
                   "5,4,S1,used,-20,g,20 g,place,,shelf 1,,")  # fmt: skip
    assert sentences(text) == []
    for old, new in (("9,8,S1,moved,0", "9,8,S1,moved,no"), ("9,8,S1,", "9,8,,")):
        spoilt = {**text, "movements": text["movements"].replace(old, new)}
        (told,) = sentences(spoilt)
        assert "table movements, row 10" in told


def test_spaces_around_what_a_cell_was_changed_to_are_no_difference() -> None:
    assert wrong("movements", "shelf 1,shelf 2", "shelf 1, shelf 2 ") == []
