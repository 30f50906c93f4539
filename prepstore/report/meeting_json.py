"""What must not meet, gas and acidity in a plan, as JSON."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from prepstore.amounts import ZERO
from prepstore.chemistry.carbon_dioxide import CarbonDioxide
from prepstore.chemistry.neutralising import AcidBaseBalance
from prepstore.planning.acidity import Gas, StreamAcidity
from prepstore.planning.acidity_of_containers import AcidityOfContainer
from prepstore.planning.plan import Plan
from prepstore.report.row_lists import number_in_json

Row = dict[str, Any]


def incompatible_rows(plan: Plan) -> Iterator[Row]:
    """Yield each pair of substances of which the chart says something, and where they meet."""
    for one in plan.meetings.hits:
        yield {
            "where": str(one.where),
            "name": one.name,
            "substances": list(one.hit.substances),
            "groups": list(one.hit.groups),
            "codes": list(one.hit.codes),
            "unknown": one.hit.unknown,
            "sessions": list(one.sessions),
            "in_one_thing": one.is_in_one_thing,
            "already_there": list(one.already_there),
        }


def unchecked_rows(plan: Plan) -> Iterator[Row]:
    """Yield each substance of which no pair could be looked up, and why."""
    for one in plan.meetings.not_checked:
        yield {
            "where": str(one.where),
            "name": one.name,
            "substance": one.unchecked.substance,
            "because": one.unchecked.because,
        }


def gas_rows(plan: Plan) -> Iterator[Row]:
    """Yield the most carbon dioxide of each session and stream that may give any off."""
    for key, found in (("session", plan.gas_of_sessions), ("stream", plan.gas_of_streams)):
        for one in found:
            limiting = one.expected or one.allow_for
            yield {
                "gas": "CO2",
                key: one.name,
                "limited_by": None if limiting is None else str(limiting.limited_by),
                "expected": _volume(one.expected, one),
                "allow_for": _volume(one.allow_for, one),
                "not_counted": list(one.not_counted),
            }


def _volume(found: CarbonDioxide | None, of: Gas) -> Row:
    mol, litres = (found.mol, found.litres) if found is not None else (ZERO, ZERO)
    return {
        "mol": number_in_json(mol),
        "litres": number_in_json(litres),
        "litres_a_group": number_in_json(litres / of.groups) if of.groups else None,
    }


def acid_base_row(one: StreamAcidity) -> Row:
    """Return the acids and bases of a stream, in mol of H+ that they give off or take up."""
    return {
        "stream": one.stream,
        **_balance(one.balance),
        "not_counted": list(one.not_counted),
    }


def in_container_row(one: AcidityOfContainer) -> Row:
    """Return gas, acids and bases of an open container with what is in it, as `gas` has them."""
    most = one.expected or one.allow_for
    return {
        "stream": one.stream,
        "container": one.container or None,
        "gas": "CO2",
        "limited_by": most and str(most.limited_by),
        "expected": _gas(one.expected, one.gas_before.expected),
        "allow_for": _gas(one.allow_for, one.gas_before.allow_for),
        "acid_base": {"now": _balance(one.now), "then": _balance(one.then)},
        "unknown": number_in_json(one.unknown),
        "unit": str(one.kind),
        "not_counted": list(one.not_counted),
        "sessions": list(one.sessions),
    }


def _gas(found: CarbonDioxide | None, before_mol: Decimal) -> Row:
    mol, litres = (found.mol, found.litres) if found is not None else (ZERO, ZERO)
    return {
        "mol": number_in_json(mol),
        "litres": number_in_json(litres),
        "mol_before": number_in_json(before_mol),
    }


def _balance(balance: AcidBaseBalance) -> Row:
    return {
        "strong_acid_mol": number_in_json(balance.strong_acid_mol),
        "weak_acid_mol": number_in_json(balance.weak_acid_mol),
        "strong_base_mol": number_in_json(balance.strong_base_mol),
        "weak_base_mol": number_in_json(balance.weak_base_mol),
        "excess_mol": number_in_json(balance.excess_mol),
        "excess": str(balance.excess),
    }
