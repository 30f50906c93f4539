"""Rows by session, made once a size, are what they would be one by one."""

import json
from dataclasses import replace
from json import JSONEncoder
from typing import Any

from prepstore.planning.demands import NOTHING, Scale, SessionWork
from prepstore.report.rows_of_sessions import RowsOfSessions
from tests.builders import work

ENCODE = JSONEncoder(ensure_ascii=False).encode


def _work(name: str, sets: int) -> SessionWork:
    return replace(work(name), scale=replace(NOTHING, sets=sets))


def _rows(found: list[str]) -> RowsOfSessions:
    """Return the rows of three sessions, one without any, and note how often a size is asked."""

    def of_size(scale: Scale) -> list[dict[str, Any]]:
        found.append(str(scale.sets))
        return [{"item": f'"salt" {line}', "sets": scale.sets} for line in range(scale.sets)]

    works = [_work("Mön", sets=2), _work("Tue", sets=0), _work("Wed", sets=1)]
    return RowsOfSessions([*works, works[0]], of_size)


def test_each_row_has_its_session_s_name_in_front() -> None:
    assert list(_rows([]))[:3] == [
        {"session": "Mön", "item": '"salt" 0', "sets": 2},
        {"session": "Mön", "item": '"salt" 1', "sets": 2},
        {"session": "Wed", "item": '"salt" 0', "sets": 1},
    ]


def test_their_text_is_that_of_the_rows_one_by_one() -> None:
    texts = list(_rows([]).texts(ENCODE, ",\n"))
    assert ",\n".join(texts) == ",\n".join(map(ENCODE, _rows([])))
    assert [len(json.loads(f"[{text}]")) for text in texts] == [2, 1, 2]


def test_a_size_is_asked_for_its_rows_once() -> None:
    asked: list[str] = []
    list(_rows(asked).texts(ENCODE, ", "))
    assert asked == ["2", "0", "1"]
