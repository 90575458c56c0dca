"""The commands by name, each imported only when it is called.

Invariant: asking for help imports no command, so help answers at once.
"""

from __future__ import annotations

import gc
import importlib
import os
import sys
from enum import IntEnum
from typing import NoReturn

import click

COMMANDS = {
    "new": ("readiness.cli.new", "Ask ten questions and write a job file."),
    "check": ("readiness.cli.check", "Is it ready? The verdict, and what holds it up."),
    "when": ("readiness.cli.when", "First and last spray day of every surface, room and trip."),
    "ways": ("readiness.cli.ways", "The smallest change that makes a day work."),
    "plan": ("readiness.cli.plan", "Dates for everything that is open."),
    "chance": ("readiness.cli.chance", "How likely each day is, and which one to book."),
    "sequence": ("readiness.cli.sequence", "What waits for what, up to the start of board."),
    "conditions": (
        "readiness.cli.conditions",
        "Which hours lie within the limits, and what to read.",
    ),
    "foam": ("readiness.cli.foam", "Which foam where, what follows, drum sets and hours."),
    "calls": ("readiness.cli.calls", "Whom to call now, and what is overdue."),
    "note": ("readiness.cli.note", "Write into the diary: what was seen, said, decided."),
    "receive": ("readiness.cli.receive", "Take messages and answers, after showing them."),
    "record": ("readiness.cli.record", "What stays on paper once the foam has passed."),
    "open": ("readiness.cli.open", "The terminal screen."),
    "send": ("readiness.cli.send", "Write a calendar for each trade."),
    "page": ("readiness.cli.page", "One page for one role, to print or to open on a phone."),
    "spreadsheet": ("readiness.cli.spreadsheet", "The dates as a spreadsheet, to change there."),
    "handover": ("readiness.cli.handover", "What the other firm may see, and what goes back."),
    "share": ("readiness.cli.share", "Who may look at a job over the network."),
    "serve": ("readiness.cli.serve", "Feeds and phone pages for those with an address."),
    "schema": ("readiness.cli.schema", "The JSON Schema of the job file or of an answer."),
}
"""Module and one line of help by command; each module holds a function `command`."""

PROGRAM = "readiness"
"""What the shell completes, also where it was started as a module."""

COMPLETE_VARIABLE = "_READINESS_COMPLETE"
"""The variable by which a shell asks for completion, however the program was started."""

STAYING_OPEN = frozenset({"serve"})
"""Commands that run for hours: they collect cycles, which the start of a process leaves off.

`open` does so itself, once the job is read.
"""


class Exit(IntEnum):
    """What a command ends with."""

    YES = 0
    """The answer is yes, or it is done."""
    FAULT = 1
    """A fault of this program."""
    USAGE = 2
    """The words of the call are wrong."""
    INPUT = 3
    """An input is bad; every problem is told."""
    NO = 4
    """The answer is no."""
    INTERRUPTED = 130
    """It was interrupted; nothing was left half-written."""


class Commands(click.Group):
    """Finds commands by name and imports only the one that is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the order in which a job goes through them."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, imported now."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        if cmd_name in STAYING_OPEN:
            gc.enable()
        command: click.Command = importlib.import_module(COMMANDS[cmd_name][0]).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, told) for name, (_, told) in COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Resolve a command; a name that is not known brings the nearest ones."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError:
            if args[0] in COMMANDS or args[0].startswith("-"):
                raise
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, n=1)
            hint = f" Did you mean {near[0]}?" if near else ""
            message = f"There is no command {args[0]!r}.{hint}"
            raise click.UsageError(message, ctx) from None


@click.command(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="readiness", message="readiness %(version)s")
def readiness() -> None:
    """When a site can be sprayed, what exactly holds it up, and who clears that by when."""


def main() -> NoReturn:
    """Run the command that the words of the call name, and end with its exit code."""
    from readiness.job.problems import JobFileError

    try:
        name = PROGRAM if COMPLETE_VARIABLE in os.environ else None
        code = readiness(prog_name=name, standalone_mode=False, complete_var=COMPLETE_VARIABLE)
    except JobFileError as error:
        click.echo(str(error), err=True)
        code = Exit.INPUT
    except click.exceptions.Exit as error:
        code = error.exit_code
    except click.Abort:
        click.echo("interrupted; nothing was written", err=True)
        code = Exit.INTERRUPTED
    except click.ClickException as error:
        error.show()
        code = Exit.USAGE
    except BrokenPipeError:
        sys.stderr.close()
        code = Exit.YES
    sys.exit(int(code or 0))
