"""A vault to work on, and to break."""

import functools
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from quietus.vault import Vault, locks
from quietus.vault.crypto import stretch
from tests.vault.make import made, opened

_stretch_once = functools.cache(stretch)


@pytest.fixture(autouse=True)
def quick_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stretch each passphrase and salt once: these tests open thousands of times, and stretching has its own tests."""
    monkeypatch.setattr(locks, "stretch", _stretch_once)


@pytest.fixture
def tmp_path() -> Iterator[Path]:
    """In memory where the system has such a folder: what these tests prove does not hang on how slow a disk is."""
    memory = Path("/dev/shm")
    place = memory if os.access(memory, os.W_OK) else None
    with tempfile.TemporaryDirectory(prefix="quietus-test-", dir=place) as folder:
        yield Path(folder)


@pytest.fixture(scope="session")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A vault that knows one entity; only to be copied."""
    return made(tmp_path_factory.mktemp("pattern") / "vault")


@pytest.fixture
def folder(pattern: Path, tmp_path: Path) -> Path:
    """Where a vault of this test's own stands."""
    shutil.copytree(pattern, tmp_path / "vault")
    return tmp_path / "vault"


@pytest.fixture
def vault(folder: Path) -> Iterator[Vault]:
    """That vault, opened."""
    with opened(folder) as it:
        yield it
