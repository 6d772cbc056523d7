"""What changes the vault: confirm, correct, assign, reject. Each then leads to the next paper that waits."""

from collections.abc import Callable
from functools import partial

from starlette.responses import RedirectResponse, Response

from quietus.closing import review
from quietus.closing.parts import check_counts
from quietus.desk.forms import Asked, Form, Work, check_seen, status_of
from quietus.desk.paper_page import paper_page
from quietus.desk.room import Desk, known_paper
from quietus.model.errors import Misuse, Refused
from quietus.model.paper import Paper
from quietus.model.reading import FIELDS

Act = Callable[[Desk, Paper, Form], object]


def settles(act: Act) -> Work:
    """What does `act` to the paper in the address, and leads to what waits next."""
    return partial(_settled, act=act)


def _settled(desk: Desk, asked: Asked, form: Form, *, act: Act) -> Response:
    paper_id, form = asked["paper"], form | {name: asked[name] for name in ("field",) if name in asked}
    try:
        with desk.turn, desk.office.vault.transaction():
            paper = known_paper(desk, paper_id)
            check_seen(desk, paper, form)
            check_counts(paper)
            act(desk, paper, form)
    except (Misuse, Refused) as error:
        return paper_page(desk, paper_id, error=error, draft=form, status=status_of(error))
    return RedirectResponse(_next_address(desk, paper_id), status_code=303)


def _next_address(desk: Desk, paper_id: str) -> str:
    """The same paper while it waits, else the next one after it, else the empty queue."""
    with desk.turn:
        paper = desk.office.vault.paper(paper_id)
        following = desk.waits.following(desk.office.vault, paper)
    if paper.waits:
        return f"/papers/{paper.id}#values"
    return f"/papers/{following}?done={paper.id}" if following else f"/review?done={paper.id}"


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
