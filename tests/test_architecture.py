"""Who may import whom, which test file belongs to which module, and how long a function may be."""

import ast
import sys
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.every_case import every_case

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "prepstore"
TESTS = ROOT / "tests"
LONGEST_BODY = 40
LONGEST_MODULE = 400

STANDARD = set(sys.stdlib_module_names)
TOUCHES_DISK = {"pathlib", "os", "io", "shutil", "tempfile", "sqlite3", "zipfile", "csv", "glob"}

FACTS = {"prepstore.cell_types", "prepstore.facts"}
ROOTS = {"prepstore.amounts", *FACTS, "prepstore.settings", "prepstore.columns",
         "prepstore.written", "prepstore.problems", "prepstore.movements",
         "prepstore.history", "prepstore.containers", "prepstore.lot_labels",
         "prepstore.recorded", "prepstore.copied"}  # fmt: skip
VALUES = {"prepstore.catalogue", "prepstore.timetable", "prepstore.stores", "prepstore.filling"}
"""What is known, what is asked and what is there: the three values that a plan is made from.

What is there is told in two modules: the stores, and how their waste containers fill.
"""

LEAVES = {"prepstore.formula_guard", "prepstore.parts", "prepstore.whole_file"}
"""Small modules that know nothing of the rooms and that more than one room uses."""

MAY_IMPORT: dict[str, set[str]] = {
    "amounts": set(),
    "cell_types": {"prepstore.amounts"},
    "facts": {"prepstore.amounts", "prepstore.cell_types"},
    "settings": {*FACTS, "prepstore.amounts"},
    "columns": {*FACTS, "prepstore.settings"},
    "written": {*FACTS, "prepstore.columns"},
    "problems": {*FACTS, "prepstore.written"},
    "recorded": set(),
    "containers": {*FACTS, "prepstore.amounts", "prepstore.recorded"},
    "lot_labels": {*FACTS, "prepstore.recorded"},
    "movements": {
        *FACTS, "prepstore.amounts", "prepstore.containers", "prepstore.lot_labels",
        "prepstore.recorded",
    },
    "copied": {"prepstore.movements"},
    "history": {
        *FACTS, "prepstore.columns", "prepstore.containers", "prepstore.lot_labels",
        "prepstore.movements",
    },
    "formula_guard": set(),
    "parts": set(),
    "whole_file": {"prepstore.parts"},
    "chemistry": {*FACTS, "prepstore.amounts"},
    "safety": {*FACTS, "prepstore.amounts", "prepstore.chemistry"},
    "catalogue": {*FACTS, "prepstore.settings", "prepstore.chemistry"},
    "timetable": {*FACTS},
    "filling": {*FACTS, "prepstore.amounts", "prepstore.containers"},
    "stores": {
        *FACTS, "prepstore.amounts", "prepstore.chemistry", "prepstore.catalogue",
        "prepstore.containers", "prepstore.filling", "prepstore.lot_labels",
    },
    "planning": {
        *FACTS, *VALUES, "prepstore.amounts", "prepstore.settings", "prepstore.chemistry",
        "prepstore.safety", "prepstore.containers",
    },
    "shelf": {*ROOTS, *VALUES, "prepstore.chemistry", "prepstore.safety", "prepstore.planning"},
    "tables": {
        *ROOTS, *VALUES, *LEAVES, "prepstore.chemistry", "prepstore.safety", "openpyxl",
    },
    "ledger": {*ROOTS, *LEAVES, "sqlalchemy", "sqlmodel", "pydantic"},
    "report": {
        *ROOTS, *VALUES, *LEAVES, "prepstore.chemistry", "prepstore.safety", "prepstore.planning",
        "prepstore.shelf",
    },
}  # fmt: skip
"""A room or a module of the package, and what it may import beside itself and the standard library.

`cli` is the door and may import all.
"""

ALONE: dict[str, set[str]] = {
    "ledger/server": {"psycopg"},
    "tables/units.py": {"pint"},
    "planning/ordering/solve.py": {"highspy", "numpy"},
    "report/workbook": {"xlsxwriter"},
    "report/totals.py": {"pandas"},
    "report/paper/drawing.py": {"fpdf"},
    "report/paper/scannable.py": {"segno"},
    "report/paper/typeface.py": {"fontTools"},
}
"""What one file or folder alone may import."""

MODULES = sorted(PACKAGE.rglob("*.py"))
NAMES = [str(path.relative_to(PACKAGE)) for path in MODULES]


PURE = {
    "amounts", "cell_types", "facts", "settings", "catalogue", "timetable", "stores", "chemistry",
    "planning", "shelf", "movements", "containers", "recorded", "filling", "lot_labels",
    "copied",
}  # fmt: skip
"""Rooms and modules that touch no disk and read no clock."""


@cache
def _imports(path: Path) -> set[str]:
    """Return every module that a file imports, wherever in it, those for typing alone included."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} has a relative import"
            assert node.module is not None
            if node.module != "prepstore":
                found.add(node.module)
            if node.module.split(".")[0] == "prepstore":  # a module, or something in one
                found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def _is_in(name: str, allowed: set[str]) -> bool:
    return any(name == one or name.startswith(f"{one}.") for one in allowed)


def _room(name: str) -> str:
    return name.split("/", maxsplit=1)[0].removesuffix(".py")


def _allowed(name: str) -> set[str]:
    alone = [names for place, names in ALONE.items() if name.startswith(place)]
    return MAY_IMPORT[_room(name)].union(*alone) | {f"prepstore.{_room(name)}"}


INSIDE = [name for name in NAMES if _room(name) not in ("cli", "__init__")]


@every_case("name", INSIDE)
def test_a_module_imports_only_what_its_room_may(name: str) -> None:
    foreign = {one for one in _imports(PACKAGE / name) if one.split(".")[0] not in STANDARD}
    assert {one for one in foreign if not _is_in(one, _allowed(name))} == set()


@every_case(
    "name",
    [name for name in INSIDE if _room(name) in PURE],
)
def test_chemistry_and_planning_are_pure(name: str) -> None:
    assert {one for one in _imports(PACKAGE / name) if _is_in(one, TOUCHES_DISK)} == set()


@every_case(
    "name",
    [name for name in INSIDE if _room(name) in PURE],
)
def test_no_clock_is_read_where_plans_are_made(name: str) -> None:
    tree = ast.parse((PACKAGE / name).read_text(encoding="utf-8"))
    called = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    of_days = {
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute)
        and node.attr in ("now", "utcnow", "today")
        and isinstance(node.value, ast.Name)
        and node.value.id in ("date", "datetime", "time")
    }
    assert of_days == set()
    assert "perf_counter" not in called


SPEAK_TO_SQLITE = {
    f"ledger/{name}.py"
    for name in (
        "connections", "copies", "damage", "page_copy", "sentences", "store_file", "waiting",
    )
}  # fmt: skip


OF_FILES = {
    *SPEAK_TO_SQLITE,
    *(f"ledger/{name}.py" for name in ("drives", "file_keeper", "holders", "private_copy")),
}
"""What is of stores in a file alone; `ledger/store.py` is the one way to it."""

ASK_FOR_FILES = {
    "ledger/place.py": {"ledger/drives.py"},
    "ledger/store.py": {"ledger/file_keeper.py", "ledger/damage.py"},
}
ASK_FOR_SERVERS = {
    "ledger/store.py": {"ledger/server/server_keeper.py", "ledger/server/faults.py"},
}


def test_a_few_modules_alone_speak_to_sqlite() -> None:
    """A server has others such, and nothing else: docs/explanation/one-store-on-a-server.md."""
    speaking = {name for name in NAMES if "sqlite3" in _imports(PACKAGE / name)}
    assert speaking == SPEAK_TO_SQLITE


def test_nobody_else_knows_which_database_keeps_a_store() -> None:
    """Commands ask `ledger/store.py`, which alone knows it."""
    of_servers = {name for name in NAMES if name.startswith("ledger/server/")}
    for those, askers in ((OF_FILES, ASK_FOR_FILES), (of_servers, ASK_FOR_SERVERS)):
        asking = {name: used & those for name, used in _graph().items() if name not in those}
        assert {name: used for name, used in asking.items() if used} == askers


def test_every_room_of_the_package_stands_in_the_table() -> None:
    assert {_room(name) for name in NAMES} - {"cli", "__init__"} == set(MAY_IMPORT)


def test_the_map_of_the_package_imports_nothing_of_the_rooms() -> None:
    """`import prepstore` is instant: --help and --version rest on it."""
    assert not {one for one in _imports(PACKAGE / "__init__.py") if one.startswith("prepstore")}


WITHOUT_A_FILE: dict[str, str] = {
    "planning/plan.py": "records; made and held to in test_make_plan.py",
    "planning/warned.py": "a record; made in test_warnings.py",
    "report/labels/label_kind.py": "a word each; asked for in cli/test_labels.py",
    "planning/scaled_lines.py": "records; made in test_demands.py",
    "cell_types.py": "types alone; `fold` is held to in test_facts.py",
    **{
        f"facts/{name}.py": "records; held to in test_columns.py"
        for name in ("department", "described", "goods", "hazards", "practicals", "supply")
    },
    "facts/retirement.py": "one question; held to in shelf/test_names.py",
    "safety/cautions.py": "rules; held to by plans in planning/test_handled.py",
    "tables/cell_text.py": "held to in test_read.py",
    "tables/written_tables.py": "held to in test_write.py",
    "cli/stock_history.py": "held to in test_stock.py",
    "tables/booked_sessions.py": "a check of a load; held to in cli/test_tables.py",
    "tables/substance_cells.py": "readers of cells; held to in test_cells.py",
    "tables/amount_checks.py": "checks of a set; held to in test_crosscheck.py",
    "tables/name_checks.py": "checks of a set; held to in test_crosscheck.py",
    "tables/part_checks.py": "checks of a set; held to in test_crosscheck.py",
    "ledger/errors.py": "exceptions without code",
    "ledger/keeper.py": "protocols without code",
    "ledger/ledger.py": "a protocol without code",
    "ledger/server/dialect.py": "what is left out; every test of the rest speaks through it",
    "ledger/role.py": "words, and one setting; held to in journeys/test_roles.py",
    "ledger/teller.py": "one setting; used in test_waiting.py",
    "report/plan_shape.py": "a table; held to in test_earlier_plan.py and planning/test_laws.py",
    "report/errors.py": "an exception without code",
    "report/labels/contents.py": "records; said in words in report/labels/test_label_text.py",
    "cli/store_option.py": "one option, used by every command in tests/cli",
}
"""Modules without a test file of their own, and where they are tested instead."""


def _test_files(name: str) -> list[Path]:
    """Return where the tests of a module may be: its mirrored place, or one file for its folder."""
    path = Path(name)
    beside = TESTS / path.parent / f"test_{path.stem}.py"
    return (
        [beside, TESTS / path.parent.with_name(f"test_{path.parent.name}.py")]
        if (len(path.parts) > 2)
        else [beside]
    )


@every_case(
    "name",
    [name for name in NAMES if not name.endswith("__init__.py") and name not in WITHOUT_A_FILE],
)
def test_every_module_has_its_test_in_the_mirrored_place(name: str) -> None:
    expected = _test_files(name)
    assert any(path.exists() for path in expected), f"none of {expected}"


@every_case("name", WITHOUT_A_FILE)
def test_a_module_excused_from_a_test_file_exists_and_has_none(name: str) -> None:
    assert (PACKAGE / name).exists()
    assert not any(path.exists() for path in _test_files(name))


def _functions(path: Path) -> Iterator[tuple[str, int]]:
    """Yield each function and the lines of its body, docstring left out."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) is not None else node.body
            if body:
                yield node.name, (body[-1].end_lineno or 0) - body[0].lineno + 1


@every_case("name", NAMES)
def test_no_function_body_is_over_forty_lines(name: str) -> None:
    long = {one: lines for one, lines in _functions(PACKAGE / name) if lines > LONGEST_BODY}
    assert long == {}


def _graph() -> dict[str, set[str]]:
    """Return which modules of the package each module imports at its top, typing included."""
    names = {f"prepstore.{name.removesuffix('.py').replace('/', '.')}": name for name in NAMES}
    return {
        name: {names[one] for one in _imports(PACKAGE / name) if one in names} - {name}
        for name in NAMES
        if not name.endswith("__init__.py")
    }


def test_no_module_leads_back_to_itself() -> None:
    """Neither between rooms nor between the files of one; `cli` imports within its commands."""
    inside = {
        name: {one for one in imported if _room(one) != "cli"}
        for name, imported in _graph().items()
        if _room(name) != "cli"
    }
    try:
        TopologicalSorter(inside).prepare()
    except CycleError as circle:
        pytest.fail(f"a circle: {' -> '.join(circle.args[1])}")


def test_no_module_is_over_four_hundred_lines() -> None:
    """Above that it yields two things."""
    lines = {name: len((PACKAGE / name).read_text(encoding="utf-8").splitlines()) for name in NAMES}
    assert {name: count for name, count in lines.items() if count > LONGEST_MODULE} == {}
