"""An office made once and copied, and each passphrase stretched once: these tests are about neither."""

import functools
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from quietus.closing.office import Office, open_office
from quietus.vault import locks
from quietus.vault.crypto import stretch
from tests.closing.retained import PASSPHRASE, Clock, made_office
from tests.vault.conftest import tmp_path

__all__ = ["clock", "office", "office_pattern", "quick_locks", "tmp_path"]

_stretch_once = functools.cache(stretch)


@pytest.fixture(autouse=True)
def quick_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stretch each passphrase and salt once."""
    monkeypatch.setattr(locks, "stretch", _stretch_once)


@pytest.fixture(scope="session")
def office_pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An office with one entity and the schedules of the tests; only to be copied."""
    home = tmp_path_factory.mktemp("pattern") / "office"
    with made_office(home, Clock()):
        return home


@pytest.fixture
def clock() -> Clock:
    """The clock of this test's office."""
    return Clock()


@pytest.fixture
def office(office_pattern: Path, tmp_path: Path, clock: Clock) -> Iterator[Office]:
    """An office of this test's own."""
    home = tmp_path / "office"
    shutil.copytree(office_pattern, home)
    with open_office(home, PASSPHRASE, clock=clock) as made:
        yield made
