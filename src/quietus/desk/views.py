"""The pages about closings, and the queue. They only look; what changes the vault is in `settling`."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from quietus.closing.closings import verify
from quietus.desk.closing_view import closing_view
from quietus.desk.forms import Form
from quietus.desk.hold_view import holds_view
from quietus.desk.paper_view import changes
from quietus.desk.room import Desk, NotHere, entity_behind, page, settled_before, whys
from quietus.desk.waiting import question_of
from quietus.model.errors import QuietusError

QUESTIONS = 50
"""Papers of the queue on its page; the others come up as these are settled."""
_DONE = {
    "held": "The hold is set. What it keeps can't be disposed of until it is released.",
    "released": "The hold is released. Its papers are kept as their rules say.",
}
_STATIC = {
    "desk.css": "text/css; charset=utf-8",
    "mark.svg": "image/svg+xml",
    "cover.js": "text/javascript; charset=utf-8",
}


def queue(desk: Desk, request: Request) -> Response:
    """Every paper that waits, and why."""
    with desk.turn:
        asked, done = desk.waiting(), settled_before(desk, request)
        shown = [question_of(desk.office.vault.paper(paper)) for paper in asked[:QUESTIONS]]
        entities = {entity.slug: entity for entity in desk.office.vault.entities()}
    return page(desk, "queue.html", questions=shown, entities=entities, waiting=len(asked), done=done)


def closing(desk: Desk, request: Request) -> Response:
    """One closing: its papers on file, its holds, and who settled what."""
    return closing_page(desk, request.path_params["alias"], done=request.query_params.get("done", ""))


def closing_page(
    desk: Desk,
    alias: str,
    *,
    done: str = "",
    error: QuietusError | None = None,
    draft: Form | None = None,
    status: int = 200,
) -> Response:
    """The page of one closing.

    Args:
        desk: this desk.
        alias: what stands for it in addresses.
        done: what was done just before.
        error: what was wrong with what was sent.
        draft: what was sent, so that nothing typed is lost.
        status: of the answer.
    """
    with desk.turn:
        office = desk.office
        entity = entity_behind(desk, alias)
        papers = office.vault.papers(entity.slug)
        verdict, waiting = verify(office, entity.slug, office.today), len(desk.waiting())
        told = whys(office)
        settled = [(p, change) for p in papers for change in changes(office.vault.readings(p.id), told.get(p.id, {}))]
        holds = holds_view(office, entity.slug, papers, office.today)
    view = closing_view(entity, verdict, {paper.id: paper for paper in papers}, alias)
    settled.sort(key=lambda pair: pair[1].at, reverse=True)
    return page(
        desk,
        "closing.html",
        status=status,
        closing=view,
        papers=papers,
        settled=settled,
        holds=holds,
        waiting=waiting,
        asof=verdict.asof,
        done=_DONE.get(done, ""),
        error=error,
        draft=draft or {},
    )


def static(_desk: Desk, request: Request) -> Response:
    """The style sheet and the mark."""
    name = request.path_params["name"]
    if name not in _STATIC:
        raise NotHere("There is no such page.", "Go to the overview.")
    return Response((Path(__file__).parent / "static" / name).read_bytes(), headers={"content-type": _STATIC[name]})
