from datetime import date

import pytest

from prepstore import history
from prepstore.columns import Column
from prepstore.history import HISTORY
from prepstore.movements import What
from prepstore.tables.history_cells import HISTORY_READERS
from prepstore.tables.unreadable import UnreadableError
from tests.every_case import every_case

COLUMNS = [column for table in HISTORY.values() for column in table.columns.values()]


@every_case("column", COLUMNS, ids=lambda column: column.name)
def test_the_example_of_a_column_can_be_read(column: Column) -> None:
    assert HISTORY_READERS[column.reads](column.example) is not None


@pytest.mark.parametrize(
    ("reads", "text", "is_read_as"),
    [
        (history.Verbatim, " two  words ", " two  words "),
        (history.Number, "1", 1),
        (history.Number, "900000000000000000", 9 * 10**17),
        (history.Packs, "-3", -3),
        (history.Packs, "0", 0),
        (history.Billionths, "0.000000001", 1),
        (history.Billionths, "-25.5", -25_500_000_000),
        (history.Billionths, "1000000000", 10**18),
        (history.Day, "3027-01-31", date(3027, 1, 31)),
        (history.Instant, "2027-03-08T16:40:12+01:00", "2027-03-08T16:40:12+01:00"),
        (history.Digits, "12.40", "12.40"),
        (history.ChangedCell, "place", "place"),
        (history.ChangedCell, "label", "label"),
        (What, "Opening amount", What.OPENING_AMOUNT),
    ],
)
def test_a_cell_is_read_exactly(reads: object, text: str, is_read_as: object) -> None:
    assert HISTORY_READERS[reads](text) == is_read_as


@pytest.mark.parametrize(
    ("reads", "text", "code"),
    [
        (history.Number, "0", "count-unreadable"),
        (history.Number, "-1", "count-unreadable"),
        (history.Number, "1.0", "count-unreadable"),
        (history.Number, "1" * 19, "count-unreadable"),
        (history.Packs, "1.5", "count-unreadable"),
        (history.Billionths, "1,5", "number-unreadable"),
        (history.Billionths, "0.0000000001", "number-unreadable"),
        (history.Billionths, "25 mL", "number-unreadable"),
        (history.Billionths, "1000000000.000000001", "number-too-large"),
        (history.Billionths, "-1000000001", "number-too-large"),
        (history.Day, "2027-02-30", "date-unreadable"),
        (history.Day, "20270203", "date-unreadable"),
        (history.Day, "3 Feb 2027", "date-unreadable"),
        (history.Instant, "2027-03-08T16:40:12", "time-unreadable"),
        (history.Instant, "yesterday", "time-unreadable"),
        (history.Digits, "-1", "number-unreadable"),
        (history.ChangedCell, "plaec", "word-unknown"),
        (history.NamedTable, "packs", "word-unknown"),
        (What, "eaten", "word-unknown"),
    ],
)
def test_what_cannot_be_read_says_why(reads: object, text: str, code: str) -> None:
    with pytest.raises(UnreadableError) as told:
        HISTORY_READERS[reads](text)
    assert told.value.code == code


def test_a_column_that_is_misspelt_is_told_its_name() -> None:
    with pytest.raises(UnreadableError) as told:
        HISTORY_READERS[history.ChangedCell]("plaec")
    assert told.value.remedy == "Did you mean place?"
