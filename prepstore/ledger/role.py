"""What people may do with a store on a server; light, so that the door can say what it wants."""

from contextvars import ContextVar
from enum import Enum
from typing import Final


class Role(Enum):
    """Who may do what, each more than the one before."""

    READER = "reader"
    RECORDER = "recorder"
    KEEPER = "keeper"
    OWNER = "owner"


GIVEN: Final = (Role.READER, Role.RECORDER, Role.KEEPER)
"""The roles that a server has, and that are given to people; a store's owner needs none."""

WANTED: ContextVar[Role] = ContextVar("WANTED", default=Role.READER)
"""What the command wants that is at work; set by the door, and told where somebody lacks it."""
