"""An earlier plan with nonsense somewhere in it: what differs from it, or one sentence."""

import json
import os
import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from prepstore.cli import rooms
from prepstore.cli.main import app
from prepstore.planning.calendar import Period
from prepstore.report.plan_json import plan_json
from tests.builders import day
from tests.cli.conftest import SAMPLE

_TIMES = int(os.environ.get("FUZZ_TIMES", "1"))
"""How many times the usual budget a run takes: set it for a long one."""

_DAY = ("--from", "2027-03-12", "--to", "2027-03-12", "--today", "2027-03-03")

Place = tuple[str | int, ...]

_GONE: Final = "(taken out)"
"""Stands for taking a key or a row out."""

_WHICH = st.integers(min_value=0, max_value=9999)
"""Which of a list, counted round and round, however long it is."""

_NONSENSE: Final[tuple[object, ...]] = (
    _GONE, None, True, False, 0, -1, 1, 7, 2.5, -0.0, 1e-300, 1e308, 10**30, float("nan"),
    float("inf"), "", " ", "x", "each", "mol", "late", "30", "2027-03-09", "2027-02-30",
    "2027-W10-2", "0001-01-01", "9999-12-31", "09:30", "25:00", "2027-03-08T09:30", "W10-Mon-1",
    "=1+1", "\0", "\x1b[2J", "\ud800", "A" * 33_000, [], {}, [None], [[]], ["L1"], {"item": 1},
)  # fmt: skip


Compared = Callable[[int, int, object], tuple[str, Result]]


def _places_in(rows: object, here: Place = ()) -> Iterator[Place]:
    inner: Iterable[tuple[str | int, object]] = ()
    if isinstance(rows, dict):
        inner = rows.items()
    elif isinstance(rows, list):
        inner = enumerate(rows)
    for step, value in inner:
        yield (*here, step)
        yield from _places_in(value, (*here, step))


def _keys_of(place: Place) -> str:
    return ".".join(one for one in place if isinstance(one, str))


@pytest.fixture(scope="module")
def compared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Compared]:
    """Yield what spoils a place of a plan, compares with it and returns the place's keys as well.

    The plan is made once, however often the command asks for it.
    """
    folder = tmp_path_factory.mktemp("kept")
    store, file = folder / "prepstore.db", folder / "spoilt.json"
    assert CliRunner().invoke(app, ["--db", str(store), "load", str(SAMPLE)]).exit_code == 0
    made = rooms.planned(store, Period(day(_DAY[1]), day(_DAY[3])), day(_DAY[5]))
    text = plan_json(made)
    places: dict[str, list[Place]] = {}
    for place in _places_in(json.loads(text)):
        places.setdefault(_keys_of(place), []).append(place)

    def compare(which: int, row: int, nonsense: object) -> tuple[str, Result]:
        keys = sorted(places)[which % len(places)]
        place = places[keys][row % len(places[keys])]
        file.write_text(_spoilt(text, place, nonsense), encoding="utf-8")
        options = ("--since", str(file), "--json", os.devnull)
        return keys, CliRunner().invoke(app, ["plan", *_DAY, *options])

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rooms, "planned", lambda *_: made)
        yield compare


def _spoilt(text: str, place: Place, nonsense: object) -> str:
    rows = json.loads(text)
    holder: Any = rows
    for step in place[:-1]:
        holder = holder[step]
    if nonsense == _GONE:
        del holder[place[-1]]
    else:
        holder[place[-1]] = nonsense
    return json.dumps(rows)


@settings(max_examples=40 * _TIMES, deadline=None)
@given(which=_WHICH, row=_WHICH, nonsense=st.sampled_from(_NONSENSE))
def test_a_spoilt_plan_is_compared_or_refused_with_a_sentence(
    compared: Compared, which: int, row: int, nonsense: object
) -> None:
    keys, result = compared(which, row, nonsense)
    assert result.exit_code in (0, 1, 2), result.exception
    assert result.exception is None or isinstance(result.exception, SystemExit)
    if result.exit_code == 0:
        assert result.stdout.startswith("Changes since spoilt.json\n")
    elif result.exit_code == 1:
        assert re.match(r".*spoilt\.json[,:] [^\n]+ wrote\.\n\Z", result.stderr)
    else:
        assert keys in ("period.from", "period.to", "today")
        assert not result.stdout
