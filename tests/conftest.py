"""What several rooms' tests share: the sample scans and a real office on a real vault."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from quietus.closing.office import Office, found_office, open_office

ROOT = Path(__file__).resolve().parent.parent
SCANS = ROOT / "sample_docs" / "scans"
PASSPHRASE = b"test passphrase, not a secret"


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    """A new office with an empty vault, opened; the clock stands at a fixed instant."""

    def clock() -> datetime:
        return datetime(2026, 11, 20, 17, 0, tzinfo=UTC)

    home = tmp_path / "office"
    found_office(home, PASSPHRASE, clock=clock)
    with open_office(home, PASSPHRASE, clock=clock) as opened:
        yield opened
