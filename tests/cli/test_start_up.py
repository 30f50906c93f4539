import subprocess
import sys
from pathlib import Path

HEAVY = ("pandas", "openpyxl", "xlsxwriter", "pint", "sqlmodel", "sqlalchemy", "highspy", "numpy",
         "fpdf", "fontTools", "segno", "psycopg")  # fmt: skip


HELP = [
    ["--help"],
    ["--version"],
    ["plan", "--help"],
    ["ahead", "--help"],
    ["stock", "list", "--help"],
]


def test_help_imports_nothing_heavy() -> None:
    """All in one process: what one of them imports is still there after the next."""
    program = (
        "import sys\n"
        "from prepstore.cli.main import run\n"
        f"for words in {HELP!r}:\n"
        "    sys.argv = ['prepstore', *words]\n"
        "    try:\n        run()\n    except SystemExit as left:\n        assert not left.code\n"
        f"    print(words, [n for n in {HEAVY!r} if n in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stderr.splitlines() == [f"{words} []" for words in HELP]


def test_a_store_in_a_file_needs_nothing_of_servers(sample_store: Path) -> None:
    program = (
        "import sys\n"
        f"sys.argv = ['prepstore', '--db', {str(sample_store)!r}, 'stock', 'list', '--csv']\n"
        "from prepstore.cli.main import run\n"
        "try:\n    run()\nexcept SystemExit:\n    pass\n"
        "of_servers = ('psycopg', 'prepstore.ledger.server', 'sqlalchemy.dialects.postgresql')\n"
        "print([name for name in of_servers if name in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stderr.strip() == "[]"


def test_listing_stock_needs_neither_pint_nor_openpyxl_nor_pandas() -> None:
    program = (
        "import sys\n"
        "from prepstore.cli import rooms\n"
        "from prepstore.report import stock_list\n"
        "print([n for n in ('pandas', 'openpyxl', 'pint') if n in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_a_plan_with_its_workbook_needs_neither_openpyxl_nor_pandas(
    sample_store: Path, tmp_path: Path
) -> None:
    words = ["--db", str(sample_store), "plan", "--week", "2027-W10", "--today", "2027-03-03"]
    out = tmp_path / "plan.xlsx"
    program = (
        "import sys\n"
        f"sys.argv = ['prepstore', *{words!r}, '--out', {str(out)!r}]\n"
        "from prepstore.cli.main import run\n"
        "try:\n    run()\nexcept SystemExit:\n    pass\n"
        "print([n for n in ('pandas', 'openpyxl') if n in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stderr.strip() == "[]"
    assert out.exists()
