"""The web application: addresses, and what becomes of errors."""

import logging
import traceback
from collections.abc import Callable
from functools import partial
from http import HTTPStatus
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from quietus.desk import cover_page, holding, overview, pages_page, paper_page, settling, views
from quietus.desk.door import guarded
from quietus.desk.forms import FIELDS_MOST, Work, taking
from quietus.desk.room import Desk, NotHere, page
from quietus.model.errors import BadData, Damaged, MachineFault, Misuse, QuietusError, Refused, Unreadable, WrongKey
from quietus.model.limits import DEFAULT_LIMITS

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
_MANY_FIELDS = {"/papers/{paper}/apart": 2 * DEFAULT_LIMITS.pages}
"""Most fields of forms that have one for each page of a file."""
_LOG = logging.getLogger("quietus.desk")


_LOOKS: dict[str, Callable[[Desk, Request], Response]] = {
    "/": overview.overview,
    "/review": views.queue,
    "/closings/{alias}": views.closing,
    "/papers/{paper}": paper_page.paper,
    "/papers/{paper}/values/{field}.png": paper_page.spot_picture,
    "/papers/{paper}/pages": pages_page.pages,
    "/papers/{paper}/pages/{number:int}.png": paper_page.page_picture,
    "/papers/{paper}/small/{number:int}.png": pages_page.small_picture,
    "/papers/{paper}/cover": cover_page.cover,
    "/papers/{paper}/cover/{number:int}.png": cover_page.place_picture,
    "/static/{name}": views.static,
}
_ACTS: dict[str, Work] = {
    "/find": overview.find,
    "/closings/{alias}/holds": holding.changes(holding.set_hold, "held"),
    "/closings/{alias}/holds/{hold}": holding.changes(holding.release_hold, "released"),
    "/papers/{paper}/confirm": settling.settles(settling.confirm_all),
    "/papers/{paper}/values/{field}": settling.settles(settling.settle_value),
    "/papers/{paper}/assign": settling.settles(settling.assign),
    "/papers/{paper}/reject": settling.settles(settling.reject),
    "/papers/{paper}/cover": cover_page.mark_place,
    "/papers/{paper}/cover/{number:int}": cover_page.take_back,
    "/papers/{paper}/apart": pages_page.changes(pages_page.take_apart, "apart"),
    "/papers/{paper}/whole": pages_page.changes(pages_page.make_whole, "whole"),
    "/papers/{paper}/joined": pages_page.changes(pages_page.put_together, "joined"),
}


def routes(desk: Desk) -> list[Route]:
    """Every address: those that are looked at, and those that take a form."""
    looks = [Route(path, partial(look, desk), methods=["GET"]) for path, look in _LOOKS.items()]
    acts = {path: taking(desk, act, _MANY_FIELDS.get(path, FIELDS_MOST)) for path, act in _ACTS.items()}
    return looks + [Route(path, endpoint, methods=["POST"]) for path, endpoint in acts.items()]


def build_app(desk: Desk) -> ASGIApp:
    """The whole desk behind its door."""
    app = Starlette(
        routes=routes(desk),
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
