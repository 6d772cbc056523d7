"""The web application: addresses, and what becomes of errors."""

import logging
import traceback
from functools import partial
from http import HTTPStatus
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from quietus.desk import paper_page, settling, views
from quietus.desk.door import guarded
from quietus.desk.room import Desk, NotHere, page
from quietus.model.errors import BadData, Damaged, MachineFault, Misuse, QuietusError, Refused, Unreadable, WrongKey

_STATUSES: tuple[tuple[type[QuietusError], int], ...] = (
    (NotHere, 404),
    (BadData, 500),  # a file of the office, not what the browser sent
    (Misuse, 400),
    (Refused, 409),
    (Unreadable, 422),
    (WrongKey, 403),
    (Damaged, 500),
    (MachineFault, 503),
)
_LOG = logging.getLogger("quietus.desk")


def build_app(desk: Desk) -> ASGIApp:
    """The whole desk behind its door."""
    looks = {
        "/": views.overview,
        "/review": views.queue,
        "/closings/{alias}": views.closing,
        "/papers/{paper}": paper_page.paper,
        "/papers/{paper}/pages/{number:int}.png": paper_page.page_picture,
        "/papers/{paper}/values/{field}.png": paper_page.spot_picture,
        "/static/{name}": views.static,
    }
    acts = {
        "/papers/{paper}/confirm": settling.confirm_all,
        "/papers/{paper}/values/{field}": settling.settle_value,
        "/papers/{paper}/assign": settling.assign,
        "/papers/{paper}/reject": settling.reject,
    }
    app = Starlette(
        routes=[Route(path, partial(look, desk), methods=["GET"]) for path, look in looks.items()]
        + [Route(path, settling.settles(desk, act), methods=["POST"]) for path, act in acts.items()],
        exception_handlers={
            QuietusError: partial(_complaint, desk),
            HTTPException: partial(_no_such_page, desk),
            Exception: partial(_surprise, desk),
        },
    )
    return guarded(_quiet(app), desk.door)


def _complaint(desk: Desk, _request: Request, error: Exception) -> Response:
    """A page with the sentence and the remedy."""
    if not isinstance(error, QuietusError):
        raise error
    status = next((status for family, status in _STATUSES if isinstance(error, family)), 500)
    return page(desk, "error.html", status=status, message=error.message, remedy=error.remedy, waiting=None)


def _no_such_page(desk: Desk, _request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 404
    phrase = HTTPStatus(status).phrase.lower()
    return page(
        desk, "error.html", status=status, message=f"There is nothing at this address ({phrase}).",
        remedy="Go to the overview.", waiting=None,
    )  # fmt: skip


def _surprise(desk: Desk, _request: Request, error: Exception) -> Response:
    """A fault of ours. Where it happened goes to the terminal; its text may hold client data and goes nowhere."""
    ours = [f for f in traceback.extract_tb(error.__traceback__) if "quietus" in Path(f.filename).parts]
    spot = f"{Path(ours[-1].filename).name}:{ours[-1].lineno}" if ours else "an unknown place"
    _LOG.error("fault in quietus: %s at %s", type(error).__name__, spot)
    return page(
        desk, "error.html", status=500, message="quietus came upon something it did not expect; nothing was changed.",
        remedy="Report the line that `quietus desk` printed at the terminal; it holds no client data.", waiting=None,
    )  # fmt: skip


def _quiet(app: ASGIApp) -> ASGIApp:
    """The framework raises a fault again after it was answered, for the server to log whole; here it has been said."""

    async def quiet(scope: Scope, receive: Receive, send: Send) -> None:
        try:
            await app(scope, receive, send)
        except Exception:  # noqa: BLE001 - answered and logged by `_surprise`; its text must not reach a log
            return

    return quiet
