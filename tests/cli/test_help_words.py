import re

import pytest

from tests.cli.conftest import Run

COMMANDS = (
    ("plan",), ("load",), ("export",), ("trace",), ("waste",), ("demo",), ("restore",),
    ("stock", "list"), ("stock", "receive"), ("stock", "use"), ("stock", "undo"),
    ("stock", "history"), ("order", "place"), ("order", "cancel"), (),
)  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_value_is_named_by_a_type_of_the_program(run: Run, words: tuple[str, ...]) -> None:
    shown = run(*words, "--help").stdout
    named = set(re.findall(r"<([^>=]+)>", shown))
    assert not named & {"bool", "str", "int", "int range", "float", "datetime", "list"}
    assert all(name == name.lower() for name in named)


def test_values_are_named_for_people_and_a_flag_takes_none(run: Run) -> None:
    shown = run("stock", "receive", "--help").stdout
    assert "{<what>} [<amount>]" in shown
    assert re.search(r"--expiry +<date>", shown)
    assert re.search(r"--packs +<number>", shown)
    assert re.search(r"--dry-run +Show what", shown)
    used = run("stock", "use", "--help").stdout
    assert re.search(r"--back +<item>=<amount>", used)
