"""What can be done about a late session, in words."""

from collections.abc import Iterator

from prepstore.planning.options import Option, OptionKind, options_for
from prepstore.planning.plan import Plan
from prepstore.planning.states import SessionPlan
from prepstore.report.wording import amount_in_words, far_day_in_words


def options_in_words(plan: Plan, session: SessionPlan) -> Iterator[str]:
    """Yield each option, worked out; none of them is taken."""
    for option in options_for(plan, session):
        yield _in_words(plan, session, option)


def _in_words(plan: Plan, session: SessionPlan, option: Option) -> str:
    if option.kind is OptionKind.MOVE:
        day = far_day_in_words(option.day) if option.day else ""
        room = f", {session.work.session.room} is free then" if session.work.session.room else ""
        return f"move it to {day}: all of it can be there{room}"
    material = plan.materials[option.name]
    amount = amount_in_words(option.amount, material.unit)
    if option.kind is OptionKind.FREE_LOTS:
        lots = ", ".join(f"{held.label} ({held.lot.state})" for held in option.lots)
        return f"{material.name}: {amount} is held back in {lots}, if it may be used"
    if option.kind is OptionKind.DILUTE:
        made = plan.label(option.made)
        return f"{made}: dilute {amount} of {material.name}, which is left over, for what is short"
    if option.kind is OptionKind.LESS_SPARE:
        return f"{material.name}: take {amount} from the spare of sessions before it"
    return (
        f"{material.name}: what is there is enough for {option.sets} of "
        f"{session.work.scale.sets} sets, without spare"
    )
