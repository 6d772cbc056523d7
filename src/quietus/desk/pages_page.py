"""The page on which a file is taken apart, made whole again, or put together with another."""

from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from quietus.closing import repaging
from quietus.desk.forms import Asked, Form, Work, check_seen, status_of
from quietus.desk.pages_view import PagesView, chosen, pages_view
from quietus.desk.room import Desk, NotHere, known_paper, page
from quietus.model.errors import Misuse, QuietusError, Refused, Unreadable
from quietus.model.paper import Paper

Change = Callable[[Desk, PagesView, Form], Paper]
"""What changes which pages make a paper, and the paper to look at next."""

_DONE = {
    "apart": "Taken apart. The file stays sealed as received; each paper is filed by itself.",
    "whole": "It is one paper again.",
    "joined": "Put together. The files stay sealed as received, and count as this one paper.",
}


def pages(desk: Desk, request: Request) -> Response:
    """The pages of a paper, small, with the cuts between papers."""
    asked = request.query_params
    return _pages_page(desk, request.path_params["paper"], asked.get("with", ""), done=asked.get("done", ""))


def _pages_page(
    desk: Desk,
    paper_id: str,
    other: str = "",
    *,
    done: str = "",
    error: QuietusError | None = None,
    draft: Form | None = None,
    status: int = 200,
) -> Response:
    with desk.turn:
        view = pages_view(desk.office, known_paper(desk, paper_id))
        seen, count = len(desk.office.vault.readings(view.paper.id)), len(desk.waiting())
    return page(
        desk,
        "pages.html",
        status=status,
        paper=view.paper,
        view=view,
        other=chosen(view, other),
        starts=_starts(draft) if draft and "with" not in draft else view.starts,
        seen=seen,
        waiting=count,
        done=_DONE.get(done, ""),
        error=error,
        draft=draft or {},
    )


def small_picture(desk: Desk, request: Request) -> Response:
    """A small picture of a page."""
    with desk.turn:
        paper = known_paper(desk, request.path_params["paper"])
    return Response(desk.pictures.small(paper, request.path_params["number"]), media_type="image/png")


def changes(change: Change, told: str) -> Work:
    """What does `change` to the paper in the address, and shows what became of it.

    The vault is not locked meanwhile, but for the moment in which it is changed: pages are recognised anew, which
    takes a second or two for each.
    """

    def work(desk: Desk, asked: Asked, form: Form) -> Response:
        try:
            with desk.turn:
                paper = known_paper(desk, asked["paper"])
                check_seen(desk, paper, form)
                after = change(desk, pages_view(desk.office, paper), form)
        except NotHere:
            raise
        except (Misuse, Refused, Unreadable) as error:
            return _pages_page(desk, asked["paper"], error=error, draft=form, status=status_of(error))
        return RedirectResponse(f"/papers/{after.id}/pages?done={told}", status_code=303)

    return work


def take_apart(desk: Desk, view: PagesView, form: Form) -> Paper:
    """New papers begin at the pages that were ticked, instead of where they began."""
    starts = _starts(form)
    if not starts:
        raise Misuse("No page was ticked at which a new paper begins.", "Tick each page that is the first of a paper.")
    if starts == view.starts:
        raise Misuse("Papers begin at these pages already.", "Tick other pages.")
    if view.divided:
        repaging.make_whole(desk.office, view.paper.id)
    repaging.split(desk.office, view.paper.id, sorted(starts))
    return view.paper


def _starts(form: Form) -> frozenset[int]:
    """The pages that were ticked."""
    ticked = (name.removeprefix("at-") for name in form if name.startswith("at-"))
    return frozenset(int(number) for number in ticked if number.isascii() and number.isdecimal() and len(number) < 6)


def make_whole(desk: Desk, view: PagesView, _form: Form) -> Paper:
    """The file is one paper after all."""
    return repaging.make_whole(desk.office, view.paper.id)


def put_together(desk: Desk, view: PagesView, form: Form) -> Paper:
    """The pages of another paper come after this one's, or before."""
    other = chosen(view, form.get("with", ""))
    if other is None:
        raise Misuse("No other paper was chosen.", "Choose the paper whose pages belong to this one.")
    order = [view.paper.id, other.id]
    return repaging.join(desk.office, order if form.get("order") != "before" else order[::-1])
