"""The running numbers of an office's cards: consents, refusals and inquiries each count from 0001."""

from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.vault import Card

_DIGITS = 4


def next_number(office: Office, sort: str) -> str:
    """The number for the next card of a sort; call it in the transaction that keeps the card."""
    return f"{len(office.vault.cards(sort)) + 1:0{_DIGITS}d}"


def numbered(office: Office, sort: str, number: str, what: str) -> Card:
    """The card with this number; leading zeros may be left out.

    Args:
        office: the office.
        sort: sort of the card.
        number: as a person gives it.
        what: what the card is, as its command is named.

    Raises:
        Misuse: there is none.
    """
    card = office.vault.card(sort, number.strip().zfill(_DIGITS))
    if card is None:
        raise Misuse(f"There is no such {what}.", f"See `quietus {what} list` for their numbers.")
    return card
