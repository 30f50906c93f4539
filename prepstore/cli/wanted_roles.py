"""Which role each command wants of a store on a server, so that a refusal can say it.

What a role may do is kept by the server itself; here it is only told.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final, cast

from prepstore.ledger.role import WANTED, Role

if TYPE_CHECKING:
    import typer

_READ: Final = (
    "demo", "template", "export", "plan", "ahead", "cautions", "trace", "backup", "check",
    "stock list", "stock history", "stock usage", "stock names", "stock expiry",
    "stock peroxides", "stock labels", "stock spending", "order export", "order list",
    "order history", "session list", "session history", "waste", "waste containers",
    "waste compare",
)  # fmt: skip
_RECORD: Final = (
    "labels", "stock receive", "stock use", "stock make", "stock count", "stock open",
    "stock move", "stock state", "stock correct", "stock discard", "stock undo", "stock test",
    "session add", "session students", "session move", "session swap", "session cancel",
    "waste open", "waste add", "waste measure", "waste seal", "waste empty", "waste call",
    "waste collect", "store take-in",
)  # fmt: skip
_KEEP: Final = (
    "load", "stock rename", "stock retire", "order place", "order due", "order cancel",
)  # fmt: skip
_OWN: Final = ("restore", "store copy", "store roles")

WANTED_BY: Final[Mapping[str, Role]] = {
    **dict.fromkeys(_READ, Role.READER),
    **dict.fromkeys(_RECORD, Role.RECORDER),
    **dict.fromkeys(_KEEP, Role.KEEPER),
    **dict.fromkeys(_OWN, Role.OWNER),
}
"""By the words of a command: the role for all that it may do. What a trial shows wants a reader."""


@contextmanager
def wanting(context: object) -> Iterator[None]:
    """Let the store know which role a command wants, by its context, while it is at work."""
    before = WANTED.set(wanted_by(cast("typer.Context | None", context)))
    try:
        yield
    finally:
        WANTED.reset(before)


def wanted_by(context: "typer.Context | None") -> Role:
    """Return the role that a running command wants; a reader's where it has no context."""
    words: list[str] = []
    while context is not None and context.parent is not None:
        words.insert(0, context.info_name or "")
        context = cast("typer.Context", context.parent)
    return WANTED_BY.get(" ".join(words), Role.READER)
