"""Forms that the pages send: taken only from our own pages, within bounds, and about what their sender has seen."""

from collections.abc import Awaitable, Callable
from typing import Any
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from quietus.desk.room import Desk
from quietus.model.errors import Misuse, QuietusError, Refused
from quietus.model.paper import Paper

FORM_BYTES = 64 * 1024
FIELDS_MOST = 32
_FORM_TYPE = "application/x-www-form-urlencoded"

Form = dict[str, str]
Asked = dict[str, Any]
"""What stands in the address, by name."""
Work = Callable[[Desk, Asked, Form], Response]


def taking(desk: Desk, work: Work, most: int = FIELDS_MOST) -> Callable[[Request], Awaitable[Response]]:
    """The endpoint that does `work` with a form, if it comes from one of our own pages.

    Args:
        desk: this desk.
        work: in a thread of its own.
        most: how many fields the form may have.
    """

    async def endpoint(request: Request) -> Response:
        form = await _form_of(request, most)
        if not desk.door.fits_form(form.get("form_token", "")):
            return PlainTextResponse("This form does not come from a page of this desk.\n", status_code=403)
        return await run_in_threadpool(work, desk, dict(request.path_params), form)

    return endpoint


async def _form_of(request: Request, most: int) -> Form:
    """The form that was sent. Read here, because the usual parser may put large parts into temporary files.

    Raises:
        Misuse: it is of another type, or too long.
    """
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != _FORM_TYPE:
        raise Misuse("That is not a form of this desk.", "Go back to the paper.")
    body = bytearray()
    async for piece in request.stream():
        body += piece
        if len(body) > FORM_BYTES:
            raise Misuse("That form is too long.", "Go back to the paper and write less.")
    try:
        return dict(parse_qsl(body.decode("ascii"), keep_blank_values=True, max_num_fields=most))
    except ValueError:
        raise Misuse("That is not a form of this desk.", "Go back to the paper.") from None


def check_seen(desk: Desk, paper: Paper, form: Form) -> None:
    """Nobody decides about what they have not seen.

    Raises:
        Refused: the paper has another reading than the one that the page showed.
    """
    if form.get("seen") != str(len(desk.office.vault.readings(paper.id))):
        raise Refused(
            "This paper was settled meanwhile, in another window or at the terminal; nothing was changed now.",
            "Look at it as it stands, then decide again.",
        )


def status_of(error: QuietusError) -> int:
    """Status of the answer to a form that was not taken."""
    return 409 if isinstance(error, Refused) else 422
