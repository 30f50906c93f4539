"""A Plan as JSON, contract 2: numbers in the item's unit, days as ISO dates."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from json import JSONEncoder
from typing import Final, TypeGuard

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.planning.apparatus import ApparatusPlan
from prepstore.planning.batches import Batch
from prepstore.planning.demands import Scale, SessionWork
from prepstore.planning.draws import Served
from prepstore.planning.ordering.order_choice import OrderChoice
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.setting_out import OnBenches, set_out_by
from prepstore.planning.states import Lack, SessionPlan
from prepstore.report.meeting_json import (
    acid_base_row,
    gas_rows,
    in_container_row,
    incompatible_rows,
    unchecked_rows,
)
from prepstore.report.row_lists import number_in_json
from prepstore.report.rows_of_sessions import Row, RowsOfSessions
from prepstore.report.warning_sentences import warning_in_words
from prepstore.report.waste_json import balance_rows, leftover_row, other_end_rows, stream_row
from prepstore.report.wording import lack_in_words

CONTRACT = 2
_IN_JSON: Final = JSONEncoder(ensure_ascii=False).encode


def plan_json(plan: Plan) -> str:
    """Return the plan as JSON text."""
    return "".join(json_parts(plan))


def json_parts(plan: Plan) -> Iterator[str]:
    """Yield the plan as JSON text, a row a line, so that no more than a session of it is held."""
    before = "{"
    for name, section in _sections(plan).items():
        yield f"{before}\n{_IN_JSON(name)}: "
        yield from _list_parts(section) if _is_made_by_row(section) else [_IN_JSON(section)]
        before = ","
    yield "\n}\n"


def _is_made_by_row(section: object) -> TypeGuard[RowsOfSessions | Iterator[Row]]:
    return isinstance(section, RowsOfSessions | Iterator)


def _list_parts(rows: RowsOfSessions | Iterator[Row]) -> Iterator[str]:
    before = "["
    texts = rows.texts(_IN_JSON, ",\n") if isinstance(rows, RowsOfSessions) else map(_IN_JSON, rows)
    for text in texts:
        yield f"{before}\n{text}"
        before = ","
    yield "[]" if before == "[" else "\n]"


def plan_rows(plan: Plan) -> Row:
    """Return the plan as what JSON is made of."""
    return {
        name: list(section) if _is_made_by_row(section) else section
        for name, section in _sections(plan).items()
    }


def _sections(plan: Plan) -> Row:
    """Return each table of the plan by its key; rows are made as they are asked for."""
    period = plan.period
    return {
        "contract": CONTRACT,
        "period": {
            "from": period.first.isoformat(),
            "to": period.last.isoformat(),
            "week": period.week,
        },
        "today": plan.today.isoformat(),
        "sessions": (_session(plan, session) for session in plan.sessions),
        "needs": _needs(plan),
        "making_up": (_batch(plan, batch) for batch in plan.batches),
        "setting_out": _set_out(plan),
        "stock": (_stock(row) for row in plan.stock.values()),
        "orders": (_order(plan, row) for row in plan.orders),
        "ordering": _ordering(plan.ordering, plan.today),
        "deliveries": _deliveries(plan),
        "behind": (_behind(plan, work) for work in plan.behind),
        "waste": [stream_row(plan, stream) for stream in plan.waste.streams],
        "other_ends": other_end_rows(plan),
        "balance": balance_rows(plan),
        "leftover": [leftover_row(plan, leftover) for leftover in plan.leftovers],
        "incompatible": incompatible_rows(plan),
        "unchecked": unchecked_rows(plan),
        "gas": gas_rows(plan),
        "acid_base": [acid_base_row(one) for one in plan.acidity_of_streams],
        "in_container": [in_container_row(one) for one in plan.acidity_of_containers],
        "apparatus": [_apparatus(apparatus) for apparatus in plan.apparatus],
        "warnings": [
            {"code": one.code, "about": one.about, "message": warning_in_words(one)}
            for one in plan.warnings
        ],
    }


def _session(plan: Plan, planned: SessionPlan) -> Row:
    session, scale = planned.work.session, planned.work.scale
    return {
        "session": session.session,
        "practical": plan.catalogue.practicals[fold(session.practical)].practical,
        "date": session.date.isoformat(),
        "start": session.start and session.start.isoformat("minutes"),
        "end": session.end and session.end.isoformat("minutes"),
        "room": session.room,
        "students": session.students,
        "groups": scale.groups,
        "sets": scale.sets,
        "prepare_by": planned.work.day_of_need.isoformat(),
        "state": str(planned.state),
        "lacks": [_lack(plan.materials[lack.name], lack) for lack in planned.lacks],
    }


def _lack(material: Material, lack: Lack) -> Row:
    return {
        "item": material.name,
        "unit": str(material.unit),
        "amount": number_in_json(lack.amount),
        "of_spare": number_in_json(lack.of_spare),
        "why": lack_in_words(lack),
    }


def _needs(plan: Plan) -> Iterator[Row]:
    users: dict[str, list[SessionWork]] = {}
    for work in plan.works:
        for name in work.scale.needs:
            users.setdefault(name, []).append(work)
    for name, works in users.items():
        lots = _lots_by_session(plan, name)
        yield {
            "item": plan.label(name),
            "unit": str(plan.materials[name].unit),
            "amount": number_in_json(sum((work.scale.needs[name] for work in works), ZERO)),
            "by_session": [
                {
                    "session": work.session.session,
                    "amount": number_in_json(work.scale.needs[name]),
                    "lots": lots.get(work.session.session, []),
                }
                for work in works
            ],
        }


def _lots_by_session(plan: Plan, name: str) -> dict[str, list[str]]:
    """Return the lots that sessions take an item or solution from; apparatus has none."""
    row = plan.stock.get(name)
    served = row.served if row is not None else ()
    return {one.demand.wanted_by: _lots(one) for one in served if not one.demand.is_for_batch}


def _lots(served: Served) -> list[str]:
    """Return the lots that a demand is taken from."""
    return [draw.lot.lot for draw in served.draws if draw.lot is not None]


def _batch(plan: Plan, batch: Batch) -> Row:
    return {
        "solution": batch.solution.solution,
        "make_on": batch.make_on.isoformat(),
        "use_by": batch.use_by and batch.use_by.isoformat(),
        "volume_mL": number_in_json(batch.volume_ml),
        "makings": batch.makings,
        "sessions": [work.session.session for work in batch.sessions],
        "parts": [
            {
                "item": part.ingredient.material.name,
                "unit": str(part.ingredient.material.unit),
                "amount": number_in_json(part.amount),
                "lots": _lots(plan.served_to_batches[demand]),
            }
            for part, demand in zip(batch.parts, batch.demands, strict=True)
        ],
    }


def _set_out(plan: Plan) -> RowsOfSessions:
    """Return what each session has set out in containers that sets share."""

    def of_size(scale: Scale) -> list[Row]:
        return [_on_benches(plan, one) for one in set_out_by(scale, plan) if one.containers]

    return RowsOfSessions(plan.works, of_size)


def _on_benches(plan: Plan, one: OnBenches) -> Row:
    return {
        "item": plan.label(one.name),
        "unit": str(plan.materials[one.name].unit),
        "amount": number_in_json(one.amount),
        "containers": one.containers,
        "fill": number_in_json(one.fill),
    }


def _stock(row: StockRow) -> Row:
    return {
        "item": row.material.name,
        "unit": str(row.material.unit),
        "promised": number_in_json(row.promised),
        "needed": number_in_json(row.needed),
        "usable": number_in_json(row.usable),
        "short": number_in_json(row.short),
        "restock": number_in_json(row.restock),
        "left": number_in_json(row.left),
        "lots": [{"lot": lot.lot, "amount": number_in_json(amount)} for lot, amount in row.lots],
    }


def _order(plan: Plan, row: OrderRow) -> Row:
    pack = row.offer.pack
    return {
        "supplier": row.offer.supplier.supplier,
        "item": plan.label(row.name),
        "unit": str(plan.materials[row.name].unit),
        "pack": pack.pack,
        "packs": row.packs,
        "size": number_in_json(row.offer.size),
        "price": number_in_json(row.price),
        "cost": number_in_json(row.cost),
        "needed_by": row.needed_by and row.needed_by.isoformat(),
        "order_by": row.order_by and row.order_by.isoformat(),
        "late": row.is_late,
        "for_spare": row.is_for_spare,
        "stops": [work.session.session for work in row.stops],
    }


def _ordering(choice: OrderChoice, today: date) -> Row:
    """Return what all orders cost, by which mode, and what no order can cost less than."""
    return {
        "mode": str(choice.mode),
        "goods": number_in_json(choice.goods),
        "charges": number_in_json(choice.charges),
        "total": number_in_json(choice.total),
        "bound": None if choice.bound is None else number_in_json(choice.bound),
        "proven": choice.is_proven,
        "suppliers": [
            {
                "supplier": one.supplier.supplier,
                "goods": number_in_json(one.goods),
                "charge": number_in_json(one.charge),
                "send_by": one.order_by and max(one.order_by, today).isoformat(),
            }
            for one in choice.suppliers
        ],
    }


def _behind(plan: Plan, work: SessionWork) -> Row:
    """Return a session that is over and not booked out, with what it was to use up."""
    return {
        "session": work.session.session,
        "date": work.session.date.isoformat(),
        "takes": [
            {
                "item": plan.label(name),
                "unit": str(plan.materials[name].unit),
                "amount": number_in_json(amount),
            }
            for name, amount in work.scale.needs.items()
            if name in plan.stock
        ],
    }


def _deliveries(plan: Plan) -> Iterator[Row]:
    """Yield what is on order, and what of it the plan takes."""
    taken = plan.of_deliveries
    for delivery in plan.stores.deliveries:
        yield {
            "pack": delivery.pack,
            "item": plan.label(delivery.name),
            "unit": str(plan.materials[delivery.name].unit),
            "packs": delivery.order.packs,
            "amount": number_in_json(delivery.amount),
            "due": delivery.due.isoformat(),
            "reference": delivery.order.reference or "",
            "taken": number_in_json(taken.get(delivery, Decimal(0))),
        }


def _apparatus(planned: ApparatusPlan) -> Row:
    return {
        "item": planned.item.item,
        "peak": planned.peak,
        "held": number_in_json(planned.held),
        "short": number_in_json(planned.short),
        "at": planned.at and planned.at.strftime("%Y-%m-%dT%H:%M"),
    }
