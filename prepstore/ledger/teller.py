"""What tells people whom a command waits for; light, so that the door can set it."""

from collections.abc import Callable
from contextvars import ContextVar

Tell = Callable[[str], None]

TOLD_BY: ContextVar[Tell] = ContextVar("TOLD_BY", default=lambda _: None)
"""Set once by the door, since the ledger prints nothing; silent until then."""
