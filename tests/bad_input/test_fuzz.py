"""Whatever stands in a file: rows and sentences, or a ProblemsError, and soon."""

import datetime
import io
import os
import zipfile
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.columns import TABLES
from prepstore.facts import SettingRow
from prepstore.tables.cells import READERS
from prepstore.tables.unreadable import UnreadableError
from tests.bad_input.small_set import BASE, folder_of, problems_of, with_cell, workbook_of

_SOON = datetime.timedelta(seconds=3)
_TIMES = int(os.environ.get("FUZZ_TIMES", "1"))
"""How many times the usual budget a run takes: set it for a long one."""

_CELLS = [
    (table.name, row, column)
    for table in TABLES.values()
    for column in table.columns
    for row in (2, 3)
    if row <= BASE[table.name].count("\n")
]
_LONG_BITS = {"many digits": "9" * 5000, "brackets": "(" * 5000, "a long word": "A" * 33_000}
_BITS = st.sampled_from(
    [
        *_LONG_BITS,
        "1",
        "0",
        "9" * 40,
        ".",
        ",",
        " ",
        "-",
        "−",
        "+",
        "x",
        "×",
        "*",
        "%",
        "% w/w",
        "mL",
        "g",
        "mol",
        "mol/L",
        "kg",
        "each",
        "to volume",
        "parts",
        "ppm",
        "vol",
        "e3",
        "E+308",
        "nan",
        "inf",
        "²",
        "½",
        "٣",
        "２",
        "µ",
        "μ",
        "\ud800",
        "\0",
        "\ufeff",
        "\u202e",
        "\n",
        "\r\n",
        "\t",
        "'",
        '"',
        ";",
        "=",
        "(",
        ")",
        "[",
        "·",
        "Na",
        "Cl",
        "H2O",
        "H999999999999",
        "2027-02-01",
        "0000-00-00",
        "24:00",
        "Mon-Fri",
        "halogenated",
        "#REF!",
        "yes",
        "0.000000000000000001",
        "İ",
        "ß",
        "e\u0301",
    ]
).map(lambda bit: _LONG_BITS.get(bit, bit))
_TEXTS = st.one_of(st.text(max_size=30), st.lists(_BITS, max_size=6).map("".join))


def _told_in_lines(path: Path) -> None:
    for problem in problems_of(path):
        assert problem.sentence.isprintable()
        assert len(problem.sentence) < 2000


@settings(max_examples=150 * _TIMES, deadline=_SOON)
@given(table=st.sampled_from(sorted(TABLES)), content=st.binary(max_size=300), keep=st.booleans())
def test_any_bytes_as_a_csv_file(table: str, content: bytes, keep: bool) -> None:  # noqa: FBT001
    before = BASE[table].encode() if keep else b""
    with TemporaryDirectory() as folder:
        _told_in_lines(folder_of({**BASE, table: before + content}, Path(folder) / "set"))


@pytest.mark.slow
@settings(max_examples=300 * _TIMES, deadline=_SOON)
@given(cell=st.sampled_from(_CELLS), text=_TEXTS)
def test_any_text_in_any_cell(cell: tuple[str, int, str], text: str) -> None:
    texts = with_cell(*cell, text)
    content: dict[str, str | bytes] = {
        name: table.encode("utf-8", "surrogatepass") for name, table in texts.items()
    }
    with TemporaryDirectory() as folder:
        _told_in_lines(folder_of(content, Path(folder) / "set"))


@settings(max_examples=150 * _TIMES, deadline=_SOON)
@given(table=st.sampled_from(sorted(TABLES)), header=st.lists(_TEXTS, max_size=5))
def test_any_header(table: str, header: list[str]) -> None:
    first, _, rest = BASE[table].partition("\n")
    line = ",".join([*header, *first.split(",")[: 5 - len(header)]])
    content = f"{line}\n{rest}".encode("utf-8", "surrogatepass")
    with TemporaryDirectory() as folder:
        _told_in_lines(folder_of({**BASE, table: content}, Path(folder) / "set"))


@settings(max_examples=300 * _TIMES, deadline=_SOON)
@given(
    reads=st.sampled_from(
        [c.reads for t in TABLES.values() if t.fact is not SettingRow for c in t.columns.values()]
    ),
    text=_TEXTS.map(str.strip).filter(bool),
)
def test_a_reader_yields_a_value_or_says_why_not(reads: object, text: str) -> None:
    try:
        told = ["" if READERS[reads](text) is None else "."]
    except UnreadableError as error:
        told = [error.code, error.what, error.remedy or "."]
    assert all(told)
    assert told[-1].endswith((".", "?"))


@cache
def _parts() -> dict[str, bytes]:
    file = io.BytesIO()
    workbook_of(BASE).save(file)
    with zipfile.ZipFile(file) as book:
        return {name: book.read(name) for name in book.namelist()}


_MARKS = st.sampled_from(
    [
        b"",
        b"\0",
        b"<",
        b">",
        b"</c>",
        b'<c r="A1">',
        b't="s"',
        b't="d"',
        b't="e"',
        b'r="ZZ9"',
        b'r="A0"',
        b'r="A-1"',
        b's="99"',
        b"&amp;",
        b"&#0;",
        b"&x;",
        b"<!--",
        b"<![CDATA[",
        b"\xff",
        b"1e999",
        b"nan",
        b'<row r="0"/>',
        b"<v>x</v>",
        b"<f>1+1</f>",
        b"<!DOCTYPE x>",
    ]
)


@pytest.mark.slow
@settings(max_examples=150 * _TIMES, deadline=_SOON)
@given(
    part=st.sampled_from(sorted(_parts())),
    changes=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 40), _MARKS), max_size=3),
)
def test_any_change_of_a_part_of_a_workbook(
    part: str, changes: list[tuple[float, int, bytes]]
) -> None:
    parts = dict(_parts())
    for share, length, mark in changes:
        at = int(share * len(parts[part]))
        parts[part] = parts[part][:at] + mark + parts[part][at + length :]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "set.xlsx"
        with zipfile.ZipFile(path, "w") as book:
            for name, content in parts.items():
                book.writestr(name, content)
        _told_in_lines(path)


@settings(max_examples=150 * _TIMES, deadline=_SOON)
@given(
    changes=st.lists(st.tuples(st.floats(0, 1), st.binary(max_size=8)), max_size=4),
    length=st.floats(0, 1),
)
def test_any_change_of_a_workbooks_bytes(changes: list[tuple[float, bytes]], length: float) -> None:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in _parts().items():
            book.writestr(name, content)
    changed = bytearray(file.getvalue())
    for share, mark in changes:
        at = int(share * (len(changed) - 8))
        changed[at : at + len(mark)] = mark
    with TemporaryDirectory() as folder:
        path = Path(folder) / "set.xlsx"
        kept = max(int(length * len(changed)), 1) if length < 0.5 else len(changed)
        path.write_bytes(changed[:kept])
        _told_in_lines(path)
