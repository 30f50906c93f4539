import re
from decimal import Decimal
from itertools import takewhile

import pytest

from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError
from prepstore.report.trace import trace_of
from tests.planning.a_wash import a_wash


def test_an_unknown_item_is_answered_with_the_nearest(sample_plan: Plan) -> None:
    with pytest.raises(RefusedError, match=r"Did you mean acetone\?"):
        list(trace_of(sample_plan, "acetnoe"))


def test_what_each_demand_gets_adds_up_to_it(sample_plan: Plan) -> None:
    """Redo every sum of the sentences with a calculator."""
    checked = 0
    for name in sample_plan.stock:
        lines = list(trace_of(sample_plan, name))
        start = next(n for n, line in enumerate(lines) if line.startswith("In the order served"))
        for line in takewhile(str.strip, lines[start + 1 :]):
            sides = re.fullmatch(r"  .*?: ([\d.]+) (?:mL|g|each) = (.+)", line)
            if sides is None:
                assert line == "  none"
                continue
            parts = re.findall(r"(?:^|\+ )([\d.]+) (?:mL|g|each)\b", sides[2])
            difference = sum(Decimal(part) for part in parts) - Decimal(sides[1])
            assert abs(difference) <= Decimal("1e-9") * len(parts), line
            checked += 1
    assert checked > 100


def test_a_line_s_arithmetic_can_be_redone(sample_plan: Plan) -> None:
    """amount = each x count x (1 + spare), for every line of every item."""
    pattern = re.compile(
        r"(?:= |^ *(?:[^:=]*: )?)([\d.]+) (?:mL|g|each)[^=]*? x (\d+) (?:students?|sets?|sessions?)"
        r"(?: x \(1 \+ ([\d.]+) % spare\))? = ([\d.]+) "
    )
    found = 0
    for name in sample_plan.materials:
        for line in trace_of(sample_plan, name):
            redo = pattern.search(line)
            if redo:
                each, count, spare, amount = (Decimal(text or 0) for text in redo.groups())
                worked_out = each * count * (1 + spare / 100)
                assert abs(worked_out - amount) < Decimal("1e-6"), line
                found += 1
    assert found > 150


def test_a_replacement_is_visible_with_its_reason(sample_plan: Plan) -> None:
    text = "\n".join(trace_of(sample_plan, "ethyl acetate"))
    assert "dichloromethane is replaced by ethyl acetate x 1.25 (suspected carcinogen" in text


def test_apparatus_tells_who_holds_it_from_when(sample_plan: Plan) -> None:
    text = "\n".join(trace_of(sample_plan, "burette 50 mL"))
    assert "most in use at once: 55 from 2027-03-09 13:30; short: 5" in text


def test_a_batch_tells_its_wanted_volume_and_parts(sample_plan: Plan) -> None:
    text = "\n".join(trace_of(sample_plan, "sodium hydroxide 0.1 mol/L"))
    assert "7500 mL in 2 makings" in text
    assert "to volume" in text


def test_a_replaced_item_says_what_is_used_instead_and_where(sample_plan: Plan) -> None:
    text = "\n".join(trace_of(sample_plan, "dichloromethane"))
    assert "W10-Wed-1 (ORG-01): its script asks for dichloromethane; ethyl acetate is used" in text


def test_what_is_held_back_is_told_of_the_liquid_and_of_the_agent() -> None:
    words = (
        "    filter paper holds back ethyl acetate, 0.3 mL in each piece, at most all that goes to "
        "streams: 0.6 mL, with its spare 0.9 mL"
    )
    plan = a_wash()
    for name, others in (("ethyl acetate", 1), ("filter paper", 0)):
        lines = list(trace_of(plan, name))
        assert words in lines
        held = [line for line in lines if "holds back" in line]
        assert len(held) == 1 + others
    assert not [line for line in trace_of(plan, "brine") if "holds back" in line]


def test_what_is_left_of_a_batch_is_told_with_its_day_and_end() -> None:
    assert (
        "    left over on Mon 1 Feb 2027: 100 mL - 60 mL = 40 mL, where spare is used 28 mL: "
        "to aqueous"
    ) in list(trace_of(a_wash(), "brine"))
    no_end = a_wash(solutions="solution,shelf_life\nbrine,0")
    assert any(line.endswith(": no stream is given") for line in trace_of(no_end, "brine"))
