"""What every page of the desk needs: the office, the door, the pictures, and the templates."""

import threading
from dataclasses import dataclass, field
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from quietus.closing.office import Office
from quietus.desk import words
from quietus.desk.closing_view import LEGEND
from quietus.desk.door import POLICY, WITH_SCRIPT, Door
from quietus.desk.pictures import Pictures
from quietus.desk.waiting import Waits
from quietus.model.entity import FEDERAL, JURISDICTIONS, Entity
from quietus.model.errors import Misuse
from quietus.model.kinds import Authority, Kind
from quietus.model.matrix import SIGNS
from quietus.model.paper import Paper, Standing
from quietus.model.reading import DATE_FIELDS
from quietus.rules import CAUTION


class NotHere(Misuse):
    """The address names a page, a paper or a closing that does not exist."""


@dataclass(frozen=True, slots=True)
class Desk:
    """One run of the desk.

    Attributes:
        office: the opened office.
        door: who may come in.
        pictures: of papers.
        turn: held while the vault is used: requests come in several threads, and the vault takes one at a time.
        waits: what waits, as it was told last.
    """

    office: Office
    door: Door
    pictures: Pictures
    turn: threading.Lock
    waits: Waits = field(default_factory=Waits)

    def waiting(self) -> tuple[str, ...]:
        """Ids of every paper that waits, the longest waiting first; call it while holding `turn`."""
        return self.waits.ids(self.office.vault)


def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("quietus.desk"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(plain=words.plain, with_code=words.with_code, moment=lambda at: f"{at:%Y-%m-%d %H:%M} UTC")
    made.globals.update(
        words=words,
        signs=SIGNS,
        legend=LEGEND,
        caution=CAUTION,
        kinds=tuple(Kind),
        authorities=tuple(Authority),
        jurisdictions=(FEDERAL, *sorted(JURISDICTIONS)),
        date_fields=DATE_FIELDS,
        standings=Standing,
    )
    return made


_TEMPLATES = _templates()


def page(desk: Desk, template: str, *, status: int = 200, scripted: bool = False, **shown: Any) -> Response:
    """One page; names, numbers and text of papers are escaped by the template engine.

    Args:
        desk: this desk.
        template: file name of the template.
        status: of the answer.
        scripted: whether the page has a script of our own.
        shown: what the template shows; `waiting` is how many papers wait, or None when not known.
    """
    html = _TEMPLATES.get_template(template).render(form_token=desk.door.form_token, **shown)
    return HTMLResponse(html, status_code=status, headers={POLICY: WITH_SCRIPT} if scripted else None)


def known_paper(desk: Desk, paper_id: str) -> Paper:
    """The paper with this id.

    Raises:
        NotHere: there is none.
    """
    try:
        return desk.office.vault.paper(paper_id)
    except Misuse:
        raise NotHere("There is no such paper in the vault.", "Go to the review queue or the overview.") from None


def entity_behind(desk: Desk, alias: str) -> Entity:
    """The entity that `alias` stands for.

    Raises:
        NotHere: there is none.
    """
    for entity in desk.office.vault.entities():
        if desk.door.alias(entity.slug) == alias:
            return entity
    raise NotHere("There is no such closing at this desk.", "Go to the overview: addresses change with every start.")


def settled_before(desk: Desk, request: Request) -> Paper | None:
    """The paper that was settled just before, when the address names one."""
    done = request.query_params.get("done", "")
    return known_paper(desk, done) if done else None


def whys(office: Office) -> dict[str, dict[int, str]]:
    """What the journal says of each later reading, by paper and number of the reading."""
    told: dict[str, dict[int, str]] = {}
    for entry in office.vault.journal():
        if entry.action == "paper-reread":
            told.setdefault(entry.about, {})[entry.details["reading"]] = entry.details["why"]
    return told
