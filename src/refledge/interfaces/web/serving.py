"""Starting and stopping the server: loopback only, one process."""

import os
import socket
import webbrowser
from contextlib import closing
from pathlib import Path
from threading import Timer
from typing import Any

from refledge.errors import InputError, Problem
from refledge.interfaces.console import say
from refledge.interfaces.web.memory import give_back_freed
from refledge.whole import reason

LOOPBACK = "127.0.0.1"
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS")
"""Matrices here are small: threads inside libraries only get in the way. Set before they load."""
SOON = 0.5
"""s until the browser is sent to the page, so that the server answers by then."""


def run(brief: Path | None, port: int, *, show: bool) -> None:
    """Serve until stopped. Raises InputError where the brief or the port cannot be used."""
    for name in THREADS:
        os.environ.setdefault(name, "1")
    give_back_freed()
    import uvicorn  # noqa: PLC0415 - after the threads are set

    from refledge.interfaces.web.application import create_app, project_of  # noqa: PLC0415
    from refledge.interfaces.web.security import Pass  # noqa: PLC0415
    from refledge.interfaces.web.workbench import Workbench  # noqa: PLC0415

    with closing(listening(port)) as sock:
        taken = int(sock.getsockname()[1])
        bench = Workbench(project_of(brief, Path.cwd()))
        try:
            if brief is not None:
                bench.open(brief.resolve())
            app = create_app(bench, Pass(taken))
            address = f"http://{LOOPBACK}:{taken}/"
            say(f"The workbench is at {address} (this machine only). Ctrl-C stops it.")
            if show:
                Timer(SOON, webbrowser.open, (address,)).start()
            uvicorn.Server(_config(app)).run(sockets=[sock])
        finally:
            bench.close()


def _config(app: Any) -> Any:
    import uvicorn  # noqa: PLC0415 - after the threads are set

    return uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        timeout_graceful_shutdown=3,
        lifespan="on",
    )


def listening(port: int) -> socket.socket:
    """A socket on the loopback address; raises InputError where the port is taken."""
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind((LOOPBACK, port))
    except OSError as error:
        sock.close()
        step = "name another with --port, or --port 0 for any that is free"
        given = f"{port}, which cannot be used: {reason(error)}"
        raise InputError(Problem("--port", "port", given, "a free port", step)) from error
    return sock
