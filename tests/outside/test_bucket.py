"""Backups to a real S3-compatible store, where one is at hand.

Set QUIETUS_TEST_BUCKET to an s3:// address that may be written to, and what obstore takes from the environment:
AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY, AWS_REGION, and for a store of your own AWS_ENDPOINT_URL and AWS_ALLOW_HTTP.
"""

import os
import secrets
from pathlib import Path

import pytest

from quietus.model.errors import MachineFault
from quietus.vault import back_up, check_vault, copies, fetch_copy, place_at, thin_out, verify_copy
from tests.vault.make import file, made, opened

BUCKET = os.environ.get("QUIETUS_TEST_BUCKET", "")
pytestmark = [pytest.mark.outside, pytest.mark.skipif(not BUCKET, reason="no bucket to test with was named")]


def test_a_vault_comes_back_from_a_bucket(tmp_path: Path) -> None:
    place = place_at(f"{BUCKET}/{secrets.token_hex(8)}")
    data = secrets.token_bytes(9 * 1024 * 1024)
    with opened(made(tmp_path / "vault")) as vault:
        paper = file(vault, data)
        first = back_up(vault, place)
        file(vault, b"small")
        second = back_up(vault, place)
    assert second.new_bytes < first.new_bytes / 5
    assert copies(place) == (first.copy.name, second.copy.name)
    assert list(verify_copy(place, second.copy.name)) == []
    fetch_copy(place, second.copy.name, tmp_path / "again")
    with opened(tmp_path / "again") as vault:
        assert vault.paper_bytes(paper.id, "test") == data
        assert check_vault(vault).sound
    assert thin_out(place, 1) == (first.copy.name,)
    piece = next(iter(place.names("pieces")))
    place.remove(piece)
    assert place.get(piece) is None
    assert len(list(verify_copy(place, second.copy.name))) == 1
    for name in [*place.names("pieces"), *place.names("lists")]:
        place.remove(name)


def test_a_bucket_that_is_not_there_is_the_machines_fault() -> None:
    with pytest.raises(MachineFault):
        place_at(f"s3://no-such-bucket-{secrets.token_hex(8)}/x").put("lists/x", b"x")
