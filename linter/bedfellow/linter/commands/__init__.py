"""Groups of commands, each in a module of its own that is imported only when it is asked for."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import typer.core
import typer.main

GROUPS = (
    "border",
    "cad",
    "catalogue",
    "combine",
    "draw",
    "handover",
    "mend",
    "page",
    "plants",
    "records",
    "rules",
    "store",
    "swap",
)


WHOLE = 500  # letters: no first sentence is longer


class Told(typer.core.TyperGroup):
    """A group whose help tells all of what each command does, on as many lines as that takes."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        commands: dict[str, Any] = {name: self.get_command(ctx, name) for name in self.list_commands(ctx)}
        with formatter.section("Commands"):
            formatter.write_dl([(name, command.get_short_help_str(WHOLE)) for name, command in commands.items()])


class Mounted(Told):
    """The command line with the groups mounted: linting pays for none of them."""

    def list_commands(self, ctx: Any) -> list[str]:
        return [*super().list_commands(ctx), *GROUPS]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        if cmd_name not in GROUPS:
            return super().get_command(ctx, cmd_name)
        module = import_module(f"{__name__}.{cmd_name}")
        return typer.main.get_command(module.app)
