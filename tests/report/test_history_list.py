from dataclasses import replace

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat, RecordedContainer
from prepstore.movements import Movement, Recorded, What
from prepstore.report.history_list import HISTORY_COLUMNS, LotNames, history_lines, history_rows
from tests.builders import day

LOTS = LotNames({"a1": ("A1", "acetone")})


def _recorded(entry: int, what: What, ml: int, **others: object) -> Recorded:
    movement = Movement(
        lot="a1", what=what, billionths=ml * 10**9, unit=Kind.VOLUME, written=f"{abs(ml)} mL"
    )
    return Recorded(
        number=entry, entry=entry, movement=movement, on_day=day("02-03"), at_utc="then", by="Kim",
        **others,  # type: ignore[arg-type]
    )  # fmt: skip


HISTORY = [
    _recorded(1, What.RECEIVED, 1000),
    _recorded(2, What.USED, -250, session="Mon", undone_by=3),
    _recorded(3, What.UNDONE, 250, reason="undoes entry 2"),
]


def test_the_history_of_a_lot_reads_like_what_happened() -> None:
    assert list(history_lines(HISTORY, LOTS, {"a1": 1000 * 10**9})) == [
        "entry  day         lot  item     what            left    by   for or because",
        "1      2027-02-03  A1   acetone  received 1 L    1 L     Kim",
        "2      2027-02-03  A1   acetone  used 250 mL     750 mL  Kim  Mon; undone by entry 3",
        "3      2027-02-03  A1   acetone  undone +250 mL  1 L     Kim  undoes entry 2",
        "3 movements",
    ]


def test_what_is_left_is_not_said_where_movements_are_left_out() -> None:
    lines = list(history_lines(HISTORY, LOTS, {}))
    assert "left" not in lines[0]
    assert list(history_lines([], LOTS, {})) == ["0 movements"]


def test_rows_for_other_programs_keep_every_digit() -> None:
    rows = history_rows(HISTORY, LOTS)
    assert tuple(rows[0]) == HISTORY_COLUMNS
    assert [row["change"] for row in rows] == [1000, -250, 250]
    assert (rows[1]["session"], rows[1]["undone_by"], rows[1]["written"]) == ("Mon", 3, "250 mL")


def test_a_label_that_was_used_again_tells_what_was_in_each_lot() -> None:
    lots = LotNames({"a1": ("A1", "water")}, {"a1": [(1, "acetone"), (2, "water")]})
    assert [row["item"] for row in history_rows(HISTORY, lots)] == [
        "acetone" if one.number < 2 else "water" for one in HISTORY
    ]


def test_changes_of_waste_containers_stand_with_the_movements_of_their_entry() -> None:
    poured = ContainerChange(
        stream="solvent",
        what=ContainerWhat.FILLED,
        unit=Kind.VOLUME,
        container="W1",
        billionths=20 * 10**9,
        item="acetone",
    )
    sealed = replace(poured, what=ContainerWhat.SEALED, billionths=0, item=None, now="sealed")
    first = HISTORY[0]
    containers = [
        RecordedContainer(
            number=place,
            entry=first.entry,
            change=change,
            on_day=first.on_day,
            at_utc="",
            by="Kim",
            reason="spilt",
            undone_by=undone,
        )
        for place, (change, undone) in enumerate(((poured, None), (sealed, 9)), start=1)
    ]
    lines = list(history_lines(HISTORY, LOTS, {}, containers))
    assert lines[-1] == f"{len(HISTORY)} movements, 2 of waste containers"
    own = [line for line in lines if " W1 " in line]
    assert "filled 20 mL of acetone" in own[0]
    assert own[0].endswith("Kim  spilt")
    assert own[1].endswith("spilt; undone by entry 9")
    rows = history_rows(HISTORY, LOTS, containers)
    assert [row["entry"] for row in rows] == sorted(row["entry"] for row in rows)
    (row,) = [row for row in rows if row["what"] == "filled"]
    assert (row["container"], row["stream"], row["change"], row["item"], row["changed"]) == (
        "W1",
        "solvent",
        20,
        "acetone",
        None,
    )
    assert next(row for row in rows if row["what"] == "sealed")["changed"] == "state"
