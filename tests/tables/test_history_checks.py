import pytest

from tests.tables.small_history import SET, changed, sentences, wrong


def test_a_history_that_is_right_has_no_mistake() -> None:
    assert sentences(SET) == []


@pytest.mark.parametrize(
    ("table", "old", "new", "told"),
    [
        # A number.
        ("entries", "\n9,", "\n8,", ["number-twice entries 10 entry"]),
        ("movements", "\n2,1,G1", "\n1,1,G1", ["number-twice movements 3 movement"]),
        ("movements", "\n11,10", "\n12,10", ["number-gap movements 12 movement"]),
        ("session_uses", "\n1,2", "\n4,2", ["number-gap session_uses 3 session_use"]),
        ("order_changes", "\n4,9", "\n6,9", ["number-gap order_changes 5 order_change"]),
        ("name_changes", "\n1,8", "\n5,8", ["number-gap name_changes 3 name_change"]),
        # An entry.
        ("movements", "\n3,2,", "\n3,12,", ["entry-unknown movements 4 entry"]),
        ("name_changes", "\n3,8", "\n3,80", ["entry-unknown name_changes 4 entry"]),
        ("timetable_changes", "\n2,10", "\n3,10",
         ["number-gap timetable_changes 3 timetable_change"]),
        ("timetable_changes", "students,26", "pupils,26",
         ["word-unknown timetable_changes 3 changed"]),
        ("label_changes", "\n3,10", "\n4,10", ["number-gap label_changes 4 label_change"]),
        ("label_changes", "\n3,10", "\n3,11", ["entry-unknown label_changes 4 entry"]),
        ("label_changes", "freed", "given up", ["word-unknown label_changes 4 what"]),
        ("label_changes", "brine,2027-02-05\n2", "brine,5 Feb\n2",
         ["date-unreadable label_changes 2 make_on"]),
        # What is undone.
        ("movements", ",,3,\n5", ",,4,\n5", ["reverses-unknown movements 5 reverses"]),
        ("movements", ",,3,\n5", ",,99,\n5", ["reverses-unknown movements 5 reverses"]),
        ("movements", ",,6,\n8", ",,3,\n8", ["reversed-twice movements 8 reverses"]),
        ("movements", ",,3,\n5", ",,2,\n5", ["reversal-differs movements 5 reverses"]),
        ("order_changes", "12.40,3", "12.40,2", []),
        ("order_changes", "12.40,3", "12.40,1", ["reversal-differs order_changes 5 reverses"]),
        # A sign.
        ("movements", "received,5,", "received,-5,", ["sign-wrong movements 11 change"]),
        ("movements", "used,-20,", "used,20,", ["sign-wrong movements 6 change"]),
        ("order_changes", "placed,H1,2", "placed,H1,0", ["sign-wrong order_changes 2 packs"]),
        ("order_changes", "arrived,H1,-1", "arrived,H1,0", ["sign-wrong order_changes 3 packs"]),
        # Nothing below nothing, and nothing above all bounds.
        ("movements", "used,-20,", "used,-501,", ["below-nothing movements 6 change"]),
        (
            "movements",
            "amount,500,",
            "amount,1000000000,",
            ["history-differs stock 2 amount"],
        ),
        (
            "movements",
            "received,1000,",
            "received,1000000000,",
            ["history-differs stock 3 amount"],
        ),
        ("session_uses", "25,20", "25,-1", ["below-nothing session_uses 4 used"]),
        ("name_changes", "retired,suppliers,Harbour,2027-07-31",
         "retired,suppliers,Harbour,soon", ["date-unreadable name_changes 4 now"]),
    ],
)  # fmt: skip
def test_each_mistake_within_a_history_is_told_with_its_place(
    table: str, old: str, new: str, told: list[str]
) -> None:
    found = wrong(table, old, new)
    assert [one for one in found if one in told] == told
    if not told:
        assert found == []


def test_a_lot_is_told_once_where_it_first_falls_below_nothing() -> None:
    (told,) = [
        line
        for line in sentences(changed("movements", "amount,500,", "amount,10,"))
        if line.startswith("below-nothing")
    ]
    assert "table movements, row 4, column change: (S1) '-40' leaves lot S1 with 30 g less" in told


def test_a_lot_that_holds_more_than_any_store_is_told() -> None:
    text = changed("movements", "amount,500,", "amount,1000000000,")
    text["movements"] = text["movements"].replace("used,-40,", "counted,1,")
    assert any(line.startswith("number-too-large") for line in sentences(text))


def test_entries_may_have_gaps_and_none_may_be_empty() -> None:
    assert wrong("entries", "\n10,", "\n11,") == [
        "entry-empty entries 11 entry",
        "entry-unknown movements 12 entry",
        "entry-unknown timetable_changes 3 entry",
        "entry-unknown label_changes 4 entry",
    ]
    last = "10,2027-02-04,2027-02-04T09:03:00.000000+00:00,Ana,,undoes entry 9"
    fewer = changed("entries", last, last.replace("10,", "15,", 1))
    fewer["movements"] = fewer["movements"].replace("\n11,10,", "\n11,15,")
    fewer["timetable_changes"] = fewer["timetable_changes"].replace("\n2,10,", "\n2,15,")
    fewer["label_changes"] = fewer["label_changes"].replace("\n3,10,", "\n3,15,")
    assert sentences(fewer) == []


def test_a_gap_says_what_is_missing() -> None:
    (one,) = sentences(changed("session_uses", "\n3,4", "\n4,4"))
    assert "'4' comes after 2: 3 is missing." in one
    (two,) = sentences(changed("session_uses", "\n3,4", "\n9,4"))
    assert "'9' comes after 2: 3 to 8 are missing." in two


def test_rows_may_stand_in_any_order() -> None:
    heading, *rows = SET["movements"].split("\n")
    assert sentences({**SET, "movements": "\n".join([heading, *rows[::-1]])}) == []


def test_what_follows_from_a_cell_that_cannot_be_read_is_not_told() -> None:
    assert wrong("movements", "used,-20,", "used,some,") == ["number-unreadable movements 6 change"]
    assert wrong("order_changes", "arrived,H1,-1", "arrived,H1,one") == [
        "count-unreadable order_changes 3 packs"
    ]
    assert wrong("session_uses", "25,20", "25,much") == ["number-unreadable session_uses 4 used"]
    assert wrong("entries", "Ana,,tidied", ",,tidied") == ["cell-missing entries 9 by"]


def test_nothing_is_neither_a_wrong_sign_nor_below_nothing() -> None:
    assert wrong("movements", "used,-20,", "used,0,") == ["history-differs stock 2 amount"]
    assert wrong("movements", "8,7,S2,received,1000,", "8,7,S2,received,0,") == [
        "history-differs stock 3 amount"
    ]
    assert wrong("session_uses", "25,20", "25,0") == []


def test_a_lot_may_hold_as_much_as_a_store_can() -> None:
    assert wrong("movements", "8,7,S2,received,1000,", "8,7,S2,received,1000000000,") == [
        "history-differs stock 3 amount"
    ]


def test_sums_are_not_judged_while_a_row_of_theirs_cannot_be_read() -> None:
    assert wrong("session_uses", "25,40", "25,much") == ["number-unreadable session_uses 2 used"]
    assert wrong("movements", "amount,500,", "amount,much,") == [
        "number-unreadable movements 2 change"
    ]
    assert wrong("movements", "1,1,S1,", "1,1,,") == ["cell-missing movements 2 lot"]
    assert wrong("movements", "6,5,S2,", "6,5,,") == ["cell-missing movements 7 lot"]
