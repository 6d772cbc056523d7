"""Starting and ending the desk."""

import logging
import signal
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from http import HTTPStatus

import uvicorn
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from quietus.closing.office import Office
from quietus.desk.app import build_app
from quietus.desk.door import Door
from quietus.desk.pictures import Pictures
from quietus.desk.room import Desk
from quietus.model.errors import MachineFault

HERE = "127.0.0.1"
_LAST_SECONDS = 3  # for answers under way when Ctrl-C comes


@dataclass(slots=True)
class _Seen:
    """When somebody who was let in last asked for anything, in seconds of the machine's own clock."""

    at: float


def serve(office: Office, *, port: int, open_browser: bool, idle: float = 0.0) -> None:
    """Show the review page at 127.0.0.1 until Ctrl-C, and print its address once.

    Args:
        office: the opened office.
        port: port on this machine; 0 picks a free one.
        open_browser: whether to open the address in the person's browser.
        idle: seconds without a request after which the desk closes by itself; 0 leaves it open.

    Raises:
        MachineFault: the port is taken or not allowed.
    """
    with _listening(port) as listener, office.reading_pool() as pool:
        door = Door(listener.getsockname()[1])
        turn = threading.Lock()
        seen = _Seen(time.monotonic())
        app = _noting(build_app(Desk(office, door, Pictures(office, pool, turn), turn)), seen)
        server = uvicorn.Server(_config(app))
        sys.stdout.write(f"The desk is open at {door.address}\nThe address works once. Ctrl-C closes the desk.\n")
        sys.stdout.flush()
        if open_browser:
            # In its own thread: a browser that lives in the terminal would keep us from ever answering it.
            threading.Thread(target=webbrowser.open, args=(door.address,), daemon=True).start()
        if idle:
            threading.Thread(target=_close_when_idle, args=(server, seen, idle), daemon=True).start()
        with _ending_cleanly():
            server.run(sockets=[listener])


def _noting(app: ASGIApp, seen: _Seen) -> ASGIApp:
    """`app`, noting when it last answered somebody it had let in: strangers don't keep the desk open."""

    async def noting(scope: Scope, receive: Receive, send: Send) -> None:
        async def note(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] != HTTPStatus.FORBIDDEN:
                seen.at = time.monotonic()
            await send(message)

        await app(scope, receive, note)

    return noting


def _close_when_idle(server: uvicorn.Server, seen: _Seen, idle: float) -> None:
    """End the server once nobody asked for anything for `idle` seconds: an unwatched screen is an open vault."""
    while (left := seen.at + idle - time.monotonic()) > 0:
        time.sleep(left)
    sys.stdout.write("Nobody used the desk for a while: it closed itself. Nothing is lost; start it again.\n")
    sys.stdout.flush()
    server.should_exit = True


@contextmanager
def _ending_cleanly() -> Iterator[None]:
    """Ctrl-C, a closed terminal and a polite kill all end the block, so that vault and child processes are let go."""
    main = threading.current_thread() is threading.main_thread()
    before = {s: signal.signal(s, signal.default_int_handler) for s in (signal.SIGTERM, signal.SIGHUP) if main}
    try:
        with suppress(KeyboardInterrupt):
            yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _config(app: ASGIApp) -> uvicorn.Config:
    """No access log and no server log: both would name papers. Faults are told by `app`, without client data."""
    return uvicorn.Config(
        app,
        log_config=None,
        log_level=logging.CRITICAL,
        access_log=False,
        server_header=False,
        date_header=False,
        proxy_headers=False,
        lifespan="off",
        ws="none",
        timeout_graceful_shutdown=_LAST_SECONDS,
    )


def _listening(port: int) -> socket.socket:
    try:
        return socket.create_server((HERE, port))
    except OSError as error:
        raise MachineFault(
            f"The desk can't listen on port {port}: {error.strerror}.",
            "Give another --port, or 0 for one that is free.",
        ) from None
