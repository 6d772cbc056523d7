"""Holds on the papers of one closing: seen, set and released."""

from collections.abc import Callable
from datetime import date

from starlette.responses import RedirectResponse, Response

from quietus.closing import holds
from quietus.desk.forms import Asked, Form, Work, status_of
from quietus.desk.hold_view import is_own
from quietus.desk.room import Desk, NotHere, entity_behind
from quietus.desk.views import closing_page
from quietus.model.entity import Entity
from quietus.model.errors import Misuse, Refused
from quietus.model.hold import Hold

Change = Callable[[Desk, Entity, Form], None]


def changes(change: Change, told: str) -> Work:
    """What does `change` to the closing in the address, and shows the closing again."""

    def work(desk: Desk, asked: Asked, form: Form) -> Response:
        alias, form = asked["alias"], form | {name: asked[name] for name in ("hold",) if name in asked}
        try:
            with desk.turn, desk.office.vault.transaction():
                change(desk, entity_behind(desk, alias), form)
        except NotHere:
            raise
        except (Misuse, Refused) as error:
            return closing_page(desk, alias, error=error, draft=form, status=status_of(error))
        return RedirectResponse(f"/closings/{alias}?done={told}#holds", status_code=303)

    return work


def set_hold(desk: Desk, entity: Entity, form: Form) -> None:
    """Hold every paper of a closing, on file and to come, or one paper."""
    if not form.get("reason", "").strip():
        raise Misuse("A hold needs a reason.", "Say what it is for, such as the matter.")
    paper = form.get("paper", "")
    if paper and paper not in {one.id for one in desk.office.vault.papers(entity.slug)}:
        raise Misuse("That paper is not one of this closing.", "Choose one of the list.")
    wanted = Hold(
        id="", reason=form["reason"], by="", on=desk.office.today, review=_day(form.get("review", "")),
        entity=entity.slug, paper=paper,
    )  # fmt: skip
    holds.set_hold(desk.office, wanted)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text.strip() else None
    except ValueError:
        raise Misuse("That is no day.", "Give it as YYYY-MM-DD, or leave it empty.") from None


def release_hold(desk: Desk, entity: Entity, form: Form) -> None:
    """Release a hold that is for this closing alone."""
    if not form.get("reason", "").strip():
        raise Misuse("Releasing a hold needs a reason.", "Say why it is no longer needed.")
    found = next((one for one in holds.holds(desk.office.vault) if one.id == form["hold"]), None)
    if found is None:
        raise Misuse("There is no such hold.", "Look at the holds as they stand.")
    if not is_own(found, entity.slug, {paper.id for paper in desk.office.vault.papers(entity.slug)}):
        raise Refused(
            "That hold reaches beyond this closing.", f"Release it at the terminal: `quietus hold release {found.id}`."
        )
    holds.release_hold(desk.office, found.id, form["reason"])
