"""What the help calls the values of arguments and options: `<date>`, `<amount>`, `<number>`."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final, TypeVar, get_args

import typer
from typer.core import TyperCommand, TyperGroup

Function = TypeVar("Function", bound=Callable[..., Any])

_OF_TYPES: Final[Mapping[object, str]] = {int: "number", float: "number", Path: "path"}
"""What a value is called by its type, where neither the option nor its name says it better."""


def value_in_words(parameter: Any) -> str:  # noqa: ANN401 - typer gives it no public type
    """Return what the help calls the value of an argument or option; blank for a bare flag."""
    if getattr(parameter, "is_flag", False):
        return ""
    words = parameter.metavar or _OF_TYPES.get(_type_of(parameter), parameter.name)
    if "<" in words:
        return str(words)
    return "=".join(f"<{word.lower().replace('_', ' ')}>" for word in words.split("="))


def _type_of(parameter: Any) -> object:  # noqa: ANN401 - typer gives it no public type
    annotation = getattr(getattr(parameter, "type_descriptor", None), "annotation", None)
    named = set(get_args(annotation)) & _OF_TYPES.keys()
    return next(iter(named), annotation)


def _named(parameters: list[Any]) -> list[Any]:
    """Return the parameters of a command with their values named in words."""
    for parameter in parameters:
        parameter.metavar = value_in_words(parameter) or None
        if parameter.param_type_name == "argument" or parameter.metavar is None:
            # An argument's name says it, and a flag has no value.
            parameter.display_type = parameter.display_type_rich = lambda ctx: ""  # noqa: ARG005
    return parameters


class _Command(TyperCommand):
    """A command whose help names values in words."""

    def get_params(self, ctx: Any) -> list[Any]:  # noqa: ANN401 - as TyperCommand
        """Return arguments and options, --help among them."""
        return _named(super().get_params(ctx))


class _Group(TyperGroup):
    """A group of commands whose help names values in words."""

    def get_params(self, ctx: Any) -> list[Any]:  # noqa: ANN401 - as TyperGroup
        """Return arguments and options, --help among them."""
        return _named(super().get_params(ctx))


class Commands(typer.Typer):
    """Commands whose help names values in words."""

    def __init__(self, **options: Any) -> None:  # noqa: ANN401 - as Typer
        super().__init__(cls=_Group, **options)

    def command(self, name: str | None = None, **options: Any) -> Callable[[Function], Function]:  # noqa: ANN401
        """Register a command, as typer does."""
        return super().command(name, **{"cls": _Command, **options})

    def callback(self, **options: Any) -> Callable[[Function], Function]:  # noqa: ANN401
        """Register what stands before every command, as typer does."""
        return super().callback(**{"cls": _Group, **options})
