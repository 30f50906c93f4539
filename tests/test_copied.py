from dataclasses import replace

from prepstore.copied import key_of
from tests.ledger.rows_of import SIGNED


def test_an_entry_is_known_by_its_instant_person_and_day() -> None:
    assert key_of(SIGNED) == ("2027-01-25T09:00:00.000000+00:00", "somebody", "2027-01-25")
    # Where it was taken in from is not what it is.
    assert key_of(replace(SIGNED, taken_from="a.db", taken_in="2027")) == key_of(SIGNED)
    assert key_of(replace(SIGNED, by="kim")) != key_of(SIGNED)
