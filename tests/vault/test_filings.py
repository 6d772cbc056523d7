"""The journal entry that filed a paper is found soon, and found also when the clock was set meanwhile."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from quietus.model.errors import Misuse
from quietus.vault import open_vault
from tests.vault.make import PASSPHRASE, file, made


class Clock:
    """Goes on by a step with each look at it."""

    def __init__(self, step: timedelta) -> None:
        self.now, self.step = datetime(2026, 11, 20, 17, 0, tzinfo=UTC), step

    def __call__(self) -> datetime:
        self.now += self.step
        return self.now


@pytest.mark.parametrize("step", [timedelta(0), timedelta(seconds=1), timedelta(hours=2), timedelta(hours=-2)])
def test_every_paper_leads_to_the_entry_that_filed_it(step: timedelta, tmp_path: Path) -> None:
    with open_vault(made(tmp_path / "vault"), PASSPHRASE, who="pat", clock=Clock(step)) as vault:
        papers = [file(vault, b"%%PDF-1.7 %d" % number).id for number in range(4)]
        vault.note_repeat(papers[1], "again.pdf")
        told = vault.filings(papers)
        entries = {entry.number: entry for entry in vault.journal()}
        assert [entries[told[paper]].about for paper in papers] == papers
        assert {entries[number].action for number in told.values()} == {"paper-filed"}
        assert vault.filings([papers[2]]) == {papers[2]: told[papers[2]]}
        assert vault.filings([]) == {}
        with pytest.raises(Misuse):
            vault.filings(["0" * 32])
