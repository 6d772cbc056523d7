"""The page of one paper, and its pictures."""

from collections.abc import Iterable, Mapping

from starlette.requests import Request
from starlette.responses import Response

from quietus.closing.office import Office
from quietus.desk.pages_view import came_from
from quietus.desk.paper_view import changes, field_views, places
from quietus.desk.room import Desk, NotHere, known_paper, page, settled_before, whys
from quietus.model.entity import Entity
from quietus.model.errors import QuietusError
from quietus.model.paper import Paper
from quietus.model.reading import FIELDS
from quietus.rules import expected_papers


def paper(desk: Desk, request: Request) -> Response:
    """One paper: its pictures, its values, and the forms that settle it."""
    with desk.turn:
        done = settled_before(desk, request)
    return paper_page(desk, request.path_params["paper"], done=done)


def paper_page(
    desk: Desk,
    paper_id: str,
    *,
    done: Paper | None = None,
    error: QuietusError | None = None,
    draft: Mapping[str, str] | None = None,
    status: int = 200,
) -> Response:
    """The page of one paper.

    Args:
        desk: this desk.
        paper_id: the paper.
        done: the paper that was settled just before.
        error: what was wrong with what was sent.
        draft: what was sent, so that nothing typed is lost.
        status: of the answer.
    """
    with desk.turn:
        office = desk.office
        found = known_paper(desk, paper_id)
        readings, entities = office.vault.readings(found.id), office.vault.entities()
        told = whys(office).get(found.id, {}) if len(readings) > 1 else {}
        asked, options = desk.waiting(), _options(office, found, entities)
        sources = came_from(office, found)
    fields = field_views(found, readings)
    return page(
        desk,
        "paper.html",
        status=status,
        paper=found,
        fields=fields,
        pages=[(view, places(fields, view)) for view in found.reading.pages],
        changes=changes(readings, told),
        seen=len(readings),
        entities={entity.slug: entity for entity in entities},
        aliases={entity.slug: desk.door.alias(entity.slug) for entity in entities},
        options=options,
        sources=sources,
        place=asked.index(found.id) + 1 if found.id in asked else 0,
        waiting=len(asked),
        done=done,
        error=error,
        draft=draft or {},
    )


def page_picture(desk: Desk, request: Request) -> Response:
    """The picture of a page."""
    with desk.turn:
        found = known_paper(desk, request.path_params["paper"])
    return Response(desk.pictures.page(found, request.path_params["number"]), media_type="image/png")


def spot_picture(desk: Desk, request: Request) -> Response:
    """The picture of the place where a value was read."""
    with desk.turn:
        found = known_paper(desk, request.path_params["paper"])
    field = request.path_params["field"]
    if field not in FIELDS:
        raise NotHere("There is no such picture.", "Go back to the paper.")
    return Response(desk.pictures.spot(found, found.reading[field]), media_type="image/png")


def _options(office: Office, found: Paper, entities: Iterable[Entity]) -> dict[str, dict[str, str]]:
    """Titles of what a paper can be filed under, by scope and key: of its entity, or of any while it has none."""
    packs = office.packs()
    owners = [entity for entity in entities if entity.slug == found.entity] or list(entities)
    options: dict[str, dict[str, str]] = {}
    for expected in (e for owner in owners for e in expected_papers(owner, packs)):
        title = expected.title if len(owners) == 1 else expected.kind.words
        options.setdefault(expected.scope, {}).setdefault(expected.key, title)
    return options
