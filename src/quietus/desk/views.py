"""The pages about closings, and the queue. They only look; what changes the vault is in `settling`."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from quietus.closing.closings import verify, verify_all
from quietus.closing.review import questions
from quietus.desk.closing_view import closing_view
from quietus.desk.paper_view import changes
from quietus.desk.room import Desk, NotHere, entity_behind, page, settled_before, whys

_STATIC = {"desk.css": "text/css; charset=utf-8", "mark.svg": "image/svg+xml"}


def overview(desk: Desk, _request: Request) -> Response:
    """Every closing, worst first."""
    with desk.turn:
        office = desk.office
        verdicts, asked = verify_all(office, office.today), questions(office)
        entities = {entity.slug: entity for entity in office.vault.entities()}
        papers = {paper.id: paper for paper in office.vault.papers()}
    closings = [closing_view(entities[v.entity], v, papers, desk.door.alias(v.entity)) for v in verdicts]
    return page(desk, "overview.html", closings=closings, waiting=len(asked), asof=office.today)


def queue(desk: Desk, request: Request) -> Response:
    """Every paper that waits, and why."""
    with desk.turn:
        asked, done = questions(desk.office), settled_before(desk, request)
        entities = {entity.slug: entity for entity in desk.office.vault.entities()}
    return page(desk, "queue.html", questions=asked, entities=entities, waiting=len(asked), done=done)


def closing(desk: Desk, request: Request) -> Response:
    """One closing: its papers on file, and who settled what."""
    with desk.turn:
        office = desk.office
        entity = entity_behind(desk, request.path_params["alias"])
        papers = office.vault.papers(entity.slug)
        verdict, waiting = verify(office, entity.slug, office.today), len(questions(office))
        told = whys(office)
        settled = [(p, change) for p in papers for change in changes(office.vault.readings(p.id), told.get(p.id, {}))]
    view = closing_view(entity, verdict, {paper.id: paper for paper in papers}, desk.door.alias(entity.slug))
    settled.sort(key=lambda pair: pair[1].at, reverse=True)
    return page(desk, "closing.html", closing=view, papers=papers, settled=settled, waiting=waiting, asof=verdict.asof)


def static(_desk: Desk, request: Request) -> Response:
    """The style sheet and the mark."""
    name = request.path_params["name"]
    if name not in _STATIC:
        raise NotHere("There is no such page.", "Go to the overview.")
    return Response((Path(__file__).parent / "static" / name).read_bytes(), headers={"content-type": _STATIC[name]})
