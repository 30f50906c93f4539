import subprocess
import sys
from importlib import import_module

import pytest

from prepstore.tables.without import without


def test_what_is_left_out_is_not_found_meanwhile_and_is_found_again() -> None:
    was = sys.modules.pop("this", None)
    try:
        with without("this"), pytest.raises(ImportError):
            import_module("this")
        assert "this" not in sys.modules
    finally:
        if was is not None:
            sys.modules["this"] = was


def test_it_is_found_again_where_an_import_fails() -> None:
    with pytest.raises(ZeroDivisionError), without("antigravity"):
        raise ZeroDivisionError
    assert "antigravity" not in sys.modules


def test_what_is_there_already_stays() -> None:
    there = sys.modules["json"]
    with without("json"):
        assert import_module("json") is there
    assert sys.modules["json"] is there


def test_unit_words_are_read_without_numpy_and_pandas_finds_it_later() -> None:
    program = (
        "import sys\n"
        "from prepstore.tables.units import read_amount\n"
        "read_amount('24 mL')\n"
        "print('pint' in sys.modules, 'numpy' in sys.modules)\n"
        "import pandas\n"
        "print(pandas.Series([1, 2]).sum())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["True", "False", "3"]
