"""Cards come back as they were put, the journal keeps what they replaced, and older catalogs get their table."""

from pathlib import Path

import pytest
from sqlalchemy import text

from quietus.model.errors import Misuse
from quietus.vault import Card, Vault, check_vault
from tests.vault.make import ENTITY, opened

HOLD = Card("hold", "h1", ENTITY.slug, {"reason": "a suit is pending"})


def test_a_card_comes_back_as_it_was_put(vault: Vault) -> None:
    vault.put_card(HOLD, "hold-set")
    assert vault.card("hold", "h1") == HOLD
    assert vault.card("consent", "h1") is None
    assert check_vault(vault).sound


def test_cards_are_listed_by_sort_and_entity(vault: Vault) -> None:
    office = Card("hold", "h0", "", {"reason": "office-wide"})
    vault.put_card(HOLD, "hold-set")
    vault.put_card(office, "hold-set")
    assert vault.cards("hold") == (office, HOLD)
    assert vault.cards("hold", ENTITY.slug) == (HOLD,)
    assert vault.cards("hold", "") == (office,)


def test_the_journal_keeps_the_card_that_was_replaced(vault: Vault) -> None:
    vault.put_card(HOLD, "hold-set")
    vault.put_card(Card("hold", "h1", ENTITY.slug, {"released": "2027-01-02"}), "hold-released", {"why": "settled"})
    entry = vault.journal()[-1]
    assert (entry.action, entry.about) == ("hold-released", "h1")
    assert entry.details["old"] == HOLD.body
    assert entry.details["why"] == "settled"


def test_the_journal_keeps_nothing_of_a_secret_card(vault: Vault) -> None:
    for key in ("first", "second"):
        vault.put_card(Card("key", "k1", "", {"key": key}), "key-made", secret=True)
    assert [e.details["old"] for e in vault.journal()[-2:]] == [None, None]


def test_a_card_about_an_unknown_entity_is_refused(vault: Vault) -> None:
    with pytest.raises(Misuse):
        vault.put_card(Card("hold", "h2", "nobody", {}), "hold-set")


def test_an_older_catalog_is_brought_up_to_date_when_opened(folder: Path) -> None:
    with opened(folder) as vault, vault.store.changing() as connection:
        connection.execute(text("DROP TABLE cards"))
        connection.execute(text("UPDATE about SET value = '1' WHERE name = 'version'"))
    with opened(folder) as vault:
        vault.put_card(HOLD, "hold-set")
        assert [e.action for e in vault.journal()].count("catalog-upgraded") == 1
        assert check_vault(vault).sound
    with opened(folder) as vault:
        assert vault.cards("hold") == (HOLD,)


def test_a_catalog_of_a_newer_version_is_refused(folder: Path) -> None:
    with opened(folder) as vault, vault.store.changing() as connection:
        connection.execute(text("UPDATE about SET value = '99' WHERE name = 'version'"))
    with pytest.raises(Misuse, match="newer quietus"):
        opened(folder)
