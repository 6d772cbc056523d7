"""The page on which places are covered: those that reading found, and those that a person draws."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from quietus.closing.covering import mark, unmark
from quietus.closing.parts import check_counts
from quietus.desk.cover_view import on_picture, spot_views, typed_box
from quietus.desk.forms import Asked, Form, check_seen, status_of
from quietus.desk.geometry import LETTER, received
from quietus.desk.room import Desk, NotHere, known_paper, page
from quietus.model.errors import Damaged, MachineFault, Misuse, QuietusError, Refused, Unreadable
from quietus.model.paper import Paper
from quietus.model.reading import Box, PageView, PrivateSort

_DONE = {
    "marked": "The place is kept; see its picture in the list. It is covered wherever what stands there is hidden.",
    "taken": "The mark is taken back.",
}
_SIZES = {"fit", "large"}


def cover(desk: Desk, request: Request) -> Response:
    """One page of a paper with its places to cover, and the form that marks another."""
    asked = request.query_params
    number = _number(asked.get("page", ""))
    return _cover_page(
        desk, request.path_params["paper"], number, size=asked.get("size", ""), done=asked.get("done", "")
    )


def _cover_page(
    desk: Desk,
    paper_id: str,
    number: int | None,
    *,
    size: str = "",
    done: str = "",
    error: QuietusError | None = None,
    draft: Form | None = None,
    looked: Box | None = None,
    status: int = 200,
) -> Response:
    with desk.turn:
        paper = known_paper(desk, paper_id)
        seen, count = len(desk.office.vault.readings(paper.id)), len(desk.waiting())
        spots = spot_views(desk.office, paper)
    view = _page_of(paper, number)
    shape, broken = _shape(desk, paper, view)
    return page(
        desk,
        "cover.html",
        status=status,
        scripted=True,
        paper=paper,
        view=view,
        shape=shape,
        broken=broken,
        spots=spots,
        here_spots=[(spot, on_picture(spot, view, shape)) for spot in spots if spot.page == view.number],
        size=size if size in _SIZES else "fit",
        sorts=tuple(PrivateSort),
        seen=seen,
        waiting=count,
        done=_DONE.get(done, ""),
        error=error,
        draft=draft or {},
        looked=looked,
    )


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 6 else None


def _page_of(paper: Paper, number: int | None) -> PageView:
    """The page asked for; the first when none is.

    Raises:
        NotHere: the paper has no such page.
    """
    views = {view.number: view for view in paper.reading.pages}
    number = paper.reading.pages[0].number if number is None else number
    if number not in views:
        raise NotHere("The paper has no such page.", "Go back to the paper.")
    return views[number]


def _shape(desk: Desk, paper: Paper, view: PageView) -> tuple[float, QuietusError | None]:
    """Height of the page's picture by its width, and why there is no picture."""
    try:
        return desk.pictures.shape(paper, view.number), None
    except (Unreadable, Damaged, MachineFault) as error:
        return LETTER, error


def mark_place(desk: Desk, asked: Asked, form: Form) -> Response:
    """Mark the place that a form gives, or only show where it is."""
    number, size = _number(form.get("page", "")), form.get("size", "")
    try:
        with desk.turn:
            paper = known_paper(desk, asked["paper"])
        view, drawn = _page_of(paper, number), typed_box(form)
        if form.get("act") == "look":
            return _cover_page(desk, paper.id, view.number, size=size, draft=form, looked=drawn)
        box = received(drawn, view.turn, view.skew, desk.pictures.shape(paper, view.number))
        with desk.turn, desk.office.vault.transaction():
            check_seen(desk, paper, form)
            check_counts(paper)
            mark(desk.office, paper.id, view.number, box, _sort(form))
    except (Misuse, Refused) as error:
        return _told_again(desk, asked, form, error)
    return _back(paper.id, view.number, size, "marked")


def take_back(desk: Desk, asked: Asked, form: Form) -> Response:
    """Take a mark back, with a reason."""
    try:
        with desk.turn, desk.office.vault.transaction():
            paper = known_paper(desk, asked["paper"])
            check_seen(desk, paper, form)
            check_counts(paper)
            unmark(desk.office, paper.id, asked["number"], form.get("reason", ""))
    except (Misuse, Refused) as error:
        return _told_again(desk, asked, form, error)
    number = _number(form.get("page", "")) or paper.reading.pages[0].number
    return _back(paper.id, number, form.get("size", ""), "taken")


def _told_again(desk: Desk, asked: Asked, form: Form, error: Misuse | Refused) -> Response:
    if isinstance(error, NotHere):
        raise error
    number, size = _number(form.get("page", "")), form.get("size", "")
    return _cover_page(desk, asked["paper"], number, size=size, error=error, draft=form, status=status_of(error))


def _sort(form: Form) -> PrivateSort:
    try:
        return PrivateSort(form.get("sort", ""))
    except ValueError:
        raise Misuse("It was not said what stands there.", "Choose what stands there.") from None


def _back(paper_id: str, number: int, size: str, done: str) -> Response:
    wide = "&size=large" if size == "large" else ""
    return RedirectResponse(f"/papers/{paper_id}/cover?page={number}{wide}&done={done}", status_code=303)


def place_picture(desk: Desk, request: Request) -> Response:
    """The picture of a place to cover, with what stands beside it."""
    with desk.turn:
        paper = known_paper(desk, request.path_params["paper"])
    spots = paper.reading.private
    number = request.path_params["number"]
    if not 1 <= number <= len(spots):
        raise NotHere("There is no such picture.", "Go back to the paper.")
    spot = spots[number - 1]
    return Response(desk.pictures.place(paper, spot.page, spot.box), media_type="image/png")
