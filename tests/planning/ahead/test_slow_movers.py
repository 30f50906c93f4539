from prepstore.planning.ahead.slow_movers import slow_movers
from tests.builders import day
from tests.planning.ahead.terms import ahead, tables_of

TODAY_LESS_730 = "2025-02-01"


def found(since: dict[str, str], **given: str) -> list[str]:
    tables = tables_of(**given)
    tables["stock"] += "\nB1,salt,1 kg,\nB2,salt,0 g,"
    term = ahead(tables=tables).term
    return [
        one.held.label for one in slow_movers(term, {lot: day(on) for lot, on in since.items()})
    ]


def test_a_lot_unused_for_so_many_days_that_no_session_takes_is_a_slow_mover() -> None:
    assert found({"b1": TODAY_LESS_730}) == ["B1"]
    assert found({"b1": "2025-02-02"}) == []


def test_what_a_session_takes_what_is_empty_and_what_is_not_known_is_none() -> None:
    assert found({"a1": "2020-01-01", "b2": "2020-01-01"}) == []
    assert found({}) == []


def test_a_slow_mover_has_the_value_of_the_cheapest_pack() -> None:
    tables = tables_of(packs="\nN2,salt,North,500 g,4\nN3,salt,North,1 kg,6")
    tables["stock"] += "\nB1,salt,250 g,"
    term = ahead(tables=tables).term
    (one,) = slow_movers(term, {"b1": day("2020-01-01")})
    assert one.value == 250 * 6 / 1000
