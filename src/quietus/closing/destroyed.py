"""Papers that were on file until they were disposed of: what `verify` says of them."""

from quietus.vault import Vault

SORT = "disposal"
"""Cards that tell of one disposal each, by the paper's id."""


def destroyed_papers(vault: Vault, entity: str | None = None) -> dict[str, dict[str, str]]:
    """By short name, for every entity or the one named: what is said of expected papers whose paper was destroyed.

    A destruction that is not finished is not told of: only a certificate tells that a paper is gone.
    """
    told: dict[str, dict[str, str]] = {}
    for card in vault.cards(SORT, entity):
        if "certificate" in card.body and card.body["expected"]:
            tree = card.body["certificate"]["tree"]
            day, rule = tree["destroyed"]["finished"][:10], tree["rule"]["title"]
            words = f"was destroyed on {day}, when its time was over ({rule}; certificate {card.id[:8]})"
            told.setdefault(card.entity, {})[card.body["expected"]] = words
    return told
