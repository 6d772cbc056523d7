"""What changes the vault: confirm, correct, assign, reject. Each then leads to the next paper that waits."""

from collections.abc import Awaitable, Callable
from functools import partial
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from quietus.closing import review
from quietus.desk.paper_page import paper_page
from quietus.desk.room import Desk, known_paper
from quietus.model.errors import Misuse, Refused
from quietus.model.paper import Paper
from quietus.model.reading import FIELDS

FORM_BYTES = 64 * 1024
_FORM_TYPE = "application/x-www-form-urlencoded"

Form = dict[str, str]
Act = Callable[[Desk, Paper, Form], object]


def settles(desk: Desk, act: Act) -> Callable[[Request], Awaitable[Response]]:
    """The endpoint that does `act` to the paper in the address, if the form comes from one of our own pages."""

    async def endpoint(request: Request) -> Response:
        form = await _form_of(request)
        if not desk.door.fits_form(form.get("form_token", "")):
            return PlainTextResponse("This form does not come from a page of this desk.\n", status_code=403)
        return await run_in_threadpool(_settled, desk, request.path_params["paper"], form | _field_of(request), act)

    return endpoint


async def _form_of(request: Request) -> Form:
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
        return dict(parse_qsl(body.decode("ascii"), keep_blank_values=True, max_num_fields=32))
    except ValueError:
        raise Misuse("That is not a form of this desk.", "Go back to the paper.") from None


def _field_of(request: Request) -> Form:
    field = request.path_params.get("field")
    return {"field": field} if field else {}


def _settled(desk: Desk, paper_id: str, form: Form, act: Act) -> Response:
    try:
        with desk.turn, desk.office.vault.transaction():
            paper = known_paper(desk, paper_id)
            _unchanged(desk, paper, form)
            act(desk, paper, form)
    except (Misuse, Refused) as error:
        status = 409 if isinstance(error, Refused) else 422
        return paper_page(desk, paper_id, error=error, draft=form, status=status)
    return RedirectResponse(_next_address(desk, paper_id), status_code=303)


def _unchanged(desk: Desk, paper: Paper, form: Form) -> None:
    """Nobody confirms a value that they have not seen.

    Raises:
        Refused: the paper has another reading than the one that the page showed.
    """
    if form.get("seen") != str(len(desk.office.vault.readings(paper.id))):
        raise Refused(
            "This paper was settled meanwhile, in another window or at the terminal; nothing was changed now.",
            "Look at it as it stands, then decide again.",
        )


def _next_address(desk: Desk, paper_id: str) -> str:
    """The same paper while it waits, else the next one after it, else the empty queue."""
    with desk.turn:
        paper = desk.office.vault.paper(paper_id)
        waiting = [question.paper for question in review.questions(desk.office)]
    if paper.waits:
        return f"/papers/{paper.id}#values"
    later = [other for other in waiting if other.received > paper.received]
    following = next(iter(later or waiting), None)
    return f"/papers/{following.id}?done={paper.id}" if following else f"/review?done={paper.id}"


def confirm_all(desk: Desk, paper: Paper, _form: Form) -> None:
    """Every value in doubt is as read."""
    review.confirm(desk.office, paper.id)


def settle_value(desk: Desk, paper: Paper, form: Form) -> None:
    """One value is as read, or is another, or is not on the paper."""
    field = form["field"]
    acts: dict[str, Callable[[], object]] = {
        "confirm": partial(review.confirm, desk.office, paper.id, (field,)),
        "correct": partial(review.correct, desk.office, paper.id, {field: _given(form)}),
        "absent": partial(review.correct, desk.office, paper.id, {field: ""}),
    }
    if field not in FIELDS or form.get("act") not in acts:
        raise Misuse("That is not a form of this desk.", "Decide again.")
    acts[form["act"]]()


def _given(form: Form) -> str:
    """What was typed. Leaving a box empty by mistake must not say that the paper lacks the value."""
    if form.get("act") == "correct" and not form.get("value", "").strip():
        raise Misuse("No value was given.", "Give the value, or say that it is not on the paper.")
    return form.get("value", "")


def assign(desk: Desk, paper: Paper, form: Form) -> None:
    """The paper belongs to an entity and, when given, answers an expected paper."""
    if not form.get("entity"):
        raise Misuse("No entity was chosen.", "Choose the entity that the paper belongs to.")
    review.assign(desk.office, paper.id, form["entity"], form.get("expected", ""))


def reject(desk: Desk, paper: Paper, form: Form) -> None:
    """The paper is no evidence."""
    review.reject(desk.office, paper.id, form.get("reason", ""))
