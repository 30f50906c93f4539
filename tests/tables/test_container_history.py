"""What must hold of the waste containers of a history."""

import pytest

from tests.tables.small_history import changed, sentences, wrong

CHANGES = "container_changes"


@pytest.mark.parametrize(
    ("table", "old", "new", "told"),
    [
        (CHANGES, "filled,200,", "filled,-200,",
         ["history-differs waste_streams 2 part_full", "sign-wrong container_changes 8 change"]),
        (CHANGES, "sealed,0,mL,,open,", "sealed,0,mL,,,",
         ["container-state container_changes 6 was"]),
        (CHANGES, "opened,0,mL,,,open", "opened,0,mL,,sealed,open",
         ["container-state container_changes 7 was"]),
        (CHANGES, "sealed,0,mL,,open,sealed", "sealed,0,mL,,open,open",
         ["history-differs waste_streams 2 part_full", "container-state container_changes 7 now"]),
        (CHANGES, "undone,-20,", "undone,-21,", ["reversal-differs container_changes 5 reverses"]),
        (CHANGES, "sealed,0,", "measured,-3401,", ["below-nothing container_changes 6 change"]),
        (CHANGES, "amount,3400,", "amount,1000000000,",
         ["number-too-large container_changes 4 change"]),
        (CHANGES, "open,-1,", "open,-3,",
         ["history-differs waste_streams 2 empty_containers",
          "below-nothing container_changes 7 empty"]),
        (CHANGES, "\n7,4,acid,", "\n7,4,base,", ["name-unknown container_changes 8 stream"]),
        (CHANGES, "\n7,4,", "\n8,4,", ["number-gap container_changes 8 container_change"]),
        (CHANGES, "sealed,0,", "vanished,0,", ["word-unknown container_changes 6 what"]),
        (CHANGES, "sealed,0,", "collection called,0,",
         ["container-state container_changes 6 what"]),
        # Beside the rows of the streams.
        (CHANGES, "filled,200,", "filled,201,", ["history-differs waste_streams 2 part_full"]),
        (CHANGES, "open,-1,", "open,0,", ["history-differs waste_streams 2 empty_containers"]),
        ("waste_streams", ",0.2 L", ",", ["history-differs waste_streams 2 part_full"]),
        ("waste_streams", "tank,volume,,,", "tank,volume,,,5 mL",
         ["history-differs waste_streams 3 part_full"]),
        ("waste_streams", "tank,volume,,,", "tank,volume,,0,",
         ["history-differs waste_streams 3 empty_containers"]),
        ("waste_streams", "5 L,1,", "5 L,,", ["history-differs waste_streams 2 empty_containers"]),
        ("waste_streams", ",0.2 L", ",200 mL", []),
    ],
)  # fmt: skip
def test_each_mistake_of_containers_is_told_with_its_place(
    table: str, old: str, new: str, told: list[str]
) -> None:
    assert wrong(table, old, new) == told


def test_a_blank_cell_and_what_is_held_stand_in_the_sentence() -> None:
    (sentence,) = sentences(changed("waste_streams", ",0.2 L", ","))
    assert "part_full is blank, which is not what the changes of its containers come to: 200." in (
        sentence
    )


def test_the_number_is_known_only_while_what_told_it_counts() -> None:
    tables = changed("waste_streams", "5 L,1,", "5 L,,")
    told = "\n8,10,acid,,undone,0,mL,,,,-2,,0,,,2"
    tables[CHANGES] = tables[CHANGES].replace("open,-1,", "open,0,") + told
    assert sentences(tables) == []


def test_a_collection_that_was_called_says_nothing_of_the_empty_ones() -> None:
    tables = changed("waste_streams", "5 L,1,", "5 L,1,")
    columns = tables[CHANGES].splitlines()[0].split(",")
    cells = {
        "container_change": "8", "entry": "10", "stream": "tank", "what": "collection called",
        "change": "0", "unit": "mL", "empty": "0", "item_change": "0",
    }  # fmt: skip
    tables[CHANGES] += "\n" + ",".join(cells.get(name, "") for name in columns)
    assert sentences(tables) == []
    tables[CHANGES] = tables[CHANGES].replace("called,0,mL,,,,0", "called,0,mL,,,,1")
    assert len(sentences(tables)) >= 1
