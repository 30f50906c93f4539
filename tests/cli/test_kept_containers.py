"""What the store has of waste containers, beside their level."""

from pathlib import Path

from prepstore.cli.kept_containers import containers_in, contents_in
from prepstore.ledger.store_file import reading
from tests.builders import figures
from tests.cli.conftest import SIGN, Run


def test_what_was_poured_into_an_open_container_is_known_and_what_began_with_a_load_is_not(
    waste: Run,
) -> None:
    waste("add", "aqueous acid", "300 mL", "--item", "acetone", *SIGN)
    waste("add", "aqueous acid", "200 mL", *SIGN)
    with reading(Path("prepstore.db")) as connection:
        held = containers_in(connection)
        (open_one,) = [one for one in held.containers if one.stream == "aqueous acid"]
        contents = contents_in(connection, [open_one.label])[open_one.label]
        assert contents_in(connection, []) == {}
    (known,) = held.known["aqueous acid"]
    assert figures(known.item, known.amount, known.level) == ("acetone", 300, 300)
    assert contents.parts == (known,)
    assert contents.unknown == 4700


def test_of_a_sealed_one_nothing_is_read_until_it_is_asked_for(waste: Run) -> None:
    waste("seal", "aqueous acid", *SIGN)
    with reading(Path("prepstore.db")) as connection:
        assert "aqueous acid" not in containers_in(connection).known
