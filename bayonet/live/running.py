"""Starting and stopping the server of one session."""

from __future__ import annotations

import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

import uvicorn

from bayonet.live import work
from bayonet.live.app import application
from bayonet.live.session import Session

_HOST = "127.0.0.1"


def run(
    file: Path | None, folder: Path, *, open_browser: bool, tell: Callable[[str], object]
) -> None:
    """Serve a design until the program is interrupted.

    Parameters
    ----------
    file : Path or None
    folder : Path
        Where files are made.
    open_browser : bool
    tell : callable
        Told the address.
    """
    session = Session(file, folder)
    with socket.create_server((_HOST, 0)) as door:
        port = int(door.getsockname()[1])
        address = f"http://{_HOST}:{port}/?token={session.token}"
        tell(f"{address}\nOnly this machine reaches it. Ctrl-C ends it.")
        config = uvicorn.Config(
            application(session, port=port), log_level="error", access_log=False, lifespan="off",
            timeout_graceful_shutdown=1,
        )  # fmt: skip
        _prepare(session)
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        try:
            uvicorn.Server(config).run(sockets=[door])
        except KeyboardInterrupt:
            pass
        finally:
            session.close()


def _prepare(session: Session) -> None:
    """Load what the first judgement and the first solid would wait for."""
    for worker, kernel in ((session.thinking, False), (session.kernel, True)):
        threading.Thread(
            target=lambda w=worker, k=kernel: list(w.stream(work.preparing, k)), daemon=True
        ).start()
