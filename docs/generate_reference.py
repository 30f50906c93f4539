"""Write the reference pages that the program itself knows: tables, units and commands.

Run it after a change of columns, units or commands; a test says when a page is stale.
"""

from inspect import cleandoc
from pathlib import Path
from typing import Any

from typer.main import get_command

from prepstore.cli.help_words import value_in_words
from prepstore.cli.main import app
from prepstore.columns import NAMED_IN, SETTING_FIELD, TABLES, Column, Table, columns_of
from prepstore.history import HISTORY
from prepstore.settings import Settings
from prepstore.tables.units import CARD, unit_word

FOLDER = Path(__file__).parent / "reference"
NOTICE = "<!-- Written by docs/generate_reference.py; change the program, not this page. -->"


def pages() -> dict[str, str]:
    """Return each page's text by file name."""
    return {
        "tables.md": tables_page(),
        "history.md": history_page(),
        "units.md": units_page(),
        "commands.md": commands_page(),
    }


def tables_page() -> str:
    """Return the page of tables and columns."""
    parts = ["# Tables and columns", NOTICE, _ABOUT_TABLES]
    parts += [_table(table) for table in TABLES.values()]
    parts.append(_settings())
    return "\n\n".join(parts) + "\n"


_ABOUT_TABLES = """A set of tables is a folder of CSV files, or one `.xlsx` with a sheet a table.
Row 1 holds the headings, in any order. Columns in **bold** must be given; a blank cell means "not
given"."""


def _table(table: Table) -> str:
    return _described(table, _naming(table))


def _described(table: Table, naming: str) -> str:
    lines = [f"## {table.name}", "", table.about, "", naming, ""]
    lines += ["| column | holds | for example |", "|---|---|---|"]
    lines += [_column(table, column) for column in table.columns.values()]
    return "\n".join(lines)


def _naming(table: Table) -> str:
    if table.replaced_by:
        return f"A load replaces all rows of each {table.replaced_by} for which the set has rows."
    return f"A row is known by its {' and '.join(table.key)}; loading it again updates it."


def _column(table: Table, column: Column) -> str:
    name = f"**{column.name}**" if column.required else column.name
    words = column.fixed_words
    about = column.about
    if words:
        about += f" One of: {', '.join(f'`{word}`' for word in words)}."
    named_in = NAMED_IN.get((table.name, column.name))
    if named_in:
        about += f" From {' or '.join(named_in)}."
    example = f"`{column.example}`" if column.example else ""
    return f"| {name} | {about} | {example} |"


def _settings() -> str:
    lines = ["### The settings", "", "| setting | holds | for example |", "|---|---|---|"]
    columns = columns_of(Settings)
    for name, field in SETTING_FIELD.items():
        lines.append(f"| {name} | {columns[field].about} | `{columns[field].example}` |")
    return "\n".join(lines)


def history_page() -> str:
    """Return the page of the tables that a history is written in."""
    parts = ["# Tables of the history", NOTICE, _ABOUT_HISTORY]
    parts += [_described(table, _numbering(table)) for table in HISTORY.values()]
    return "\n\n".join(parts) + "\n"


_ABOUT_HISTORY = """What `prepstore export --history` writes beside the tables of a set, and what
a load into a new store reads: all six tables, as they were written. Days are ISO dates; amounts are
exact digits in the unit that is given beside them. Columns in **bold** are always given."""


def _numbering(table: Table) -> str:
    name = table.key[0]
    is_lot = name == "lot"
    return (
        f"A row is known by its {name.replace('_', ' ')}{'' if is_lot else ', a number from 1 on'}."
    )


def units_page() -> str:
    """Return the page of units."""
    lines = ["# Units", "", NOTICE, "", _ABOUT_UNITS, "", "| written | is |", "|---|---|"]
    for word in CARD:
        size, kind = unit_word(word) or (None, None)
        lines.append(f"| `{word}` | {size} {kind} |")
    return "\n".join(lines) + "\n"


_ABOUT_UNITS = """An amount is a number with a decimal point and one of these words, or one of the
item's own measures: `25 mL`, `3 x 15 mL` (or `15 mL x 3`), `20 mL + 2 x 10 mL`, `2 scoop`. A
concentration is one of
`2 mol/L` (`2 M`), `5 % w/v`, `37 % w/w`, `70 % v/v`, `20 g/L`, `500 mg/L`, `20 ppm` (mg per litre),
`125 mL/L`, `20 vol` (hydrogen peroxide: 1 vol is 1/11.2 mol/L), `4 parts` or `to volume`."""


def commands_page() -> str:
    """Return the page of commands: what each does, its arguments and its options."""
    program: Any = get_command(app)
    parts = ["# Commands", NOTICE, _command("prepstore", program)]
    for name, command in sorted(program.commands.items()):
        parts.append(_command(f"prepstore {name}", command))
        for below, inner in sorted(getattr(command, "commands", {}).items()):
            parts.append(_command(f"prepstore {name} {below}", inner))
    return "\n\n".join(parts) + "\n"


def _command(name: str, command: Any) -> str:  # noqa: ANN401 - typer gives it no public type
    lines = [f"## {name}", "", "\n\n".join(cleandoc(command.help or "").split("\n\n"))]
    options = [one for one in command.params if one.help and "completion" not in str(one.name)]
    if options:
        lines += ["", "| argument or option | does |", "|---|---|"]
        lines += [f"| `{_words(option)}` | {option.help} |" for option in options]
    return "\n".join(lines)


def _words(option: Any) -> str:  # noqa: ANN401 - typer gives it no public type
    value = value_in_words(option)
    return value if option.param_type_name == "argument" else f"{option.opts[0]} {value}".rstrip()


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in pages().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
