"""The console script `commonrack`: the planner's commands, and demo and serve."""

from __future__ import annotations

import os
import socket
from contextlib import closing, nullcontext, suppress
from datetime import UTC, datetime
from typing import Annotated

import typer
import uvicorn
from rich.console import Console

from api.app import cookie_key
from api.cli import app as book_app
from api.cli.worker import a_worker_beside
from api.logs import log_as_json
from api.services.plans import keep
from api.settings import DATABASE_URL, Settings
from api.store import open_shelf
from scheduler.cli import app
from scheduler.cli.commands import Seed, limits_from, tell_faults
from scheduler.cli.live import lay_out_live
from scheduler.cli.plainly import EXIT_CODES, plainly, tell
from scheduler.day_sheet import day_sheet
from scheduler.domain.asked import Asked
from scheduler.domain.plan import Plan
from scheduler.domain.rules import FULL
from scheduler.scenario import load
from scheduler.terminal import sheet_text, week_text
from web import board_book, lay_out_book, suppose_book  # noqa: F401 they add their commands to the book's
from web.app import create_site
from web.board_book import INVENTED
from web.season_book import write_invented_season

__all__ = ["app", "main"]

app.registered_commands += book_app.registered_commands
app.registered_groups += book_app.registered_groups

HERE = "127.0.0.1"  # this machine only: who comes from elsewhere comes over HTTPS, by a proxy
FIRST_PORT, PORTS_TRIED = 8321, 20
TUESDAY = 1


@app.command("demo", epilog=EXIT_CODES)
def demo_command(
    scenario: Annotated[
        str, typer.Argument(help="A bundled week, a folder, or season: a whole one, written down.")
    ] = "august",
    seconds: Annotated[float, typer.Option(help="How long to look for better.", min=1)] = 15,
    seed: Seed = 1,
) -> None:
    """Lay out an invented week, keep the plan, print the week and a day sheet.

    season: an invented one from April to November with all that came of it, into an empty book.

    Example: commonrack demo, then commonrack serve
    """
    console = Console(highlight=False)
    with plainly():
        if scenario == INVENTED:
            write_invented_season(seed, console)
            return
        asked = load(scenario)
        limits = limits_from(seconds, None, seed=seed)
        laid_out = lay_out_live(asked, FULL, limits, console=console)
        console.print(week_text(asked, laid_out.plan))
        console.print()
        busy = asked.week.days[TUESDAY]
        console.print(sheet_text(day_sheet(asked, laid_out.plan, busy)))
        where = _keep(asked, laid_out.plan)
    console.print(
        f"\nThe plan is kept in {where}\nTo see it as pages: commonrack serve\n"
        f"Every fee line by line: commonrack fees {asked.week}",
        soft_wrap=True,
    )
    tell_faults(laid_out.faults)


def _keep(asked: Asked, plan: Plan) -> str:
    """Keep the plan; where, as a person would say it."""
    url = Settings.of(os.environ).database_url
    with closing(open_shelf(url)) as shelf, shelf.writing() as book:
        keep(book.plans, asked, plan, laid_out_at=datetime.now(UTC))
    file = url.removeprefix("sqlite:///")
    return file if file != url else f"the database of {DATABASE_URL}"


@app.command("serve", epilog=EXIT_CODES)
def serve_command(
    port: Annotated[int, typer.Option(help="Where to listen, on this machine only.", min=1)] = (
        FIRST_PORT
    ),
    worker: Annotated[
        bool, typer.Option(help="Start a worker beside it, which lays out what is asked for.")
    ] = True,
) -> None:
    """Serve the book: pages to read on this machine, and the JSON service under /api/v1.

    Example: commonrack serve --port 8400
    """
    with plainly():
        settings = Settings.of(os.environ)
        shelf = open_shelf(settings.database_url, queue=settings.queue)
        listening = _listen(port)
    taken = listening.getsockname()[1]
    if taken != port:
        tell(f"port {port} is in use; taking {taken} instead")
    Console(highlight=False).print(
        f"Commonrack is at http://{HERE}:{taken} (Ctrl-C stops)", soft_wrap=True
    )
    log_as_json()
    site = create_site(
        shelf,
        key=cookie_key(shelf),
        https_only=settings.https_only,
        metrics_token=settings.metrics_token,
    )
    config = uvicorn.Config(site, log_level="warning")
    beside = a_worker_beside(settings) if worker else nullcontext()
    with closing(shelf), suppress(KeyboardInterrupt), beside:
        uvicorn.Server(config).run(sockets=[listening])


def _listen(port: int) -> socket.socket:
    """A socket on that port or the next free one; OSError if twenty in a row are taken."""
    for candidate in range(port, port + PORTS_TRIED):
        # named a TCP socket, so that asyncio sends small answers at once
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, int(os.name == "posix"))
        try:
            listening.bind((HERE, candidate))
        except OSError:
            listening.close()
            continue
        return listening
    raise OSError(f"ports {port} to {port + PORTS_TRIED - 1} are all in use; name another: --port")


def main() -> None:
    """What the console script runs."""
    app(prog_name="commonrack")
