import pytest

from prepstore.report.plan_json import plan_rows
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with


def test_incompatible_and_unchecked_have_the_keys_of_the_contract() -> None:
    rows = plan_rows(a_waste_room())
    found = next(one for one in rows["incompatible"] if "propanone" in one["substances"])
    assert found == {
        "where": "stream", "name": "acid waste", "substances": ["acid", "propanone"],
        "groups": [1, 19], "codes": ["H"], "unknown": False, "sessions": ["S2", "S3"],
        "in_one_thing": False, "already_there": [],
    }  # fmt: skip
    unchecked = {(one["where"], one["name"], one["substance"]) for one in rows["unchecked"]}
    assert ("stream", "non-halogenated", "unknown") in unchecked
    assert ("stream", "acid waste", "table salt") in unchecked


def test_a_pair_says_what_the_open_container_has_already() -> None:
    rows = plan_rows(planned_with("acid waste", "nitric"))["incompatible"]
    found = next(one for one in rows if one["substances"] == ["nitric", "propanone"])
    assert found["already_there"] == ["nitric"]


def test_gas_is_in_mol_and_litres_and_for_a_group() -> None:
    """By hand: 33.6 g of NaHCO3 are 0.4 mol, 9.62 L at 24.0551 L/mol, for four groups 2.4 L."""
    session, stream = plan_rows(a_waste_room())["gas"]
    assert (session["gas"], session["session"], session["limited_by"]) == ("CO2", "S2", "carbonate")
    assert session["expected"]["mol"] == pytest.approx(0.39997, rel=1e-4)
    assert session["expected"]["litres"] == pytest.approx(9.6213, rel=1e-4)
    assert session["expected"]["litres_a_group"] == pytest.approx(2.4053, rel=1e-4)
    assert session["allow_for"] == session["expected"]
    assert (stream["stream"], stream["expected"]["litres_a_group"]) == ("acid waste", None)
    assert "session" not in stream


def test_gas_without_spare_may_be_none() -> None:
    lines = TABLES["practical_lines"].replace("8.4 g,   0 %", "0 g,     0 %")
    assert plan_rows(a_waste_room(practical_lines=lines))["gas"] == []


def test_acids_and_bases_of_a_stream_are_in_mol() -> None:
    (row,) = plan_rows(a_waste_room())["acid_base"]
    assert row["stream"] == "acid waste"
    assert row["excess"] == "acid"
    acid, base = row["strong_acid_mol"], row["weak_base_mol"]
    assert row["excess_mol"] == pytest.approx(acid - base)
    assert (row["weak_acid_mol"], row["strong_base_mol"], row["not_counted"]) == (0, 0, [])


def test_an_open_container_has_gas_and_acids_of_its_own() -> None:
    """20 mL of acid are 0.2395 mol, less than the 0.4 mol of NaHCO3 that the wash brings."""
    rows = plan_rows(planned_with("acid waste", "acid", "bicarb", unknown=300))
    (row,) = rows["in_container"]
    assert (row["stream"], row["container"], row["gas"]) == ("acid waste", None, "CO2")
    assert (row["unknown"], row["unit"]) == (300, "mL")
    assert row["sessions"] == ["S1", "S2"]
    assert row["limited_by"] == "carbonate"
    assert row["expected"]["mol_before"] == pytest.approx(20 / 84.007, rel=1e-4)
    assert row["expected"]["mol"] == pytest.approx((20 + 33.6) / 84.007, rel=1e-4)
    assert row["expected"]["litres"] == pytest.approx(53.6 / 84.007 * 24.0551, rel=1e-4)
    assert row["acid_base"]["now"]["excess_mol"] == pytest.approx(0.23950 - 0.23807, abs=1e-4)
    assert row["acid_base"]["then"]["weak_base_mol"] == pytest.approx(53.6 / 84.007, rel=1e-4)
    assert row["not_counted"] == []
    assert [one["stream"] for one in rows["gas"] if "stream" in one] == ["acid waste"]
    assert rows["acid_base"][0]["weak_base_mol"] == pytest.approx(33.6 / 84.007, rel=1e-4)
