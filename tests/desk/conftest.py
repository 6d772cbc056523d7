"""A desk on a real vault, and a browser-like client that has opened the printed address."""

import shutil
import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from quietus.closing.config import CONFIG_NAME, TEMPLATE
from quietus.closing.office import Office, open_office
from quietus.desk.app import build_app
from quietus.desk.door import Door
from quietus.desk.pictures import Pictures
from quietus.desk.room import Desk
from quietus.model.limits import DEFAULT_LIMITS
from quietus.reading import ReadingPool
from quietus.vault import create_vault, open_vault
from quietus.vault.crypto import Cost
from tests.desk.make import COMPANY, OTHER

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

PORT = 8123
HERE = f"http://127.0.0.1:{PORT}"


PASSPHRASE = b"desk test passphrase, not a secret"


def clock() -> datetime:
    """A fixed instant."""
    return datetime(2026, 11, 20, 17, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def found(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of an office that knows two companies; its vault opens fast, and is copied for each test."""
    home = tmp_path_factory.mktemp("desk") / "office"
    (home / "rules").mkdir(parents=True)
    (home / CONFIG_NAME).write_text(TEMPLATE, encoding="utf-8")
    cheap = Cost(passes=2, memory_kib=19 * 1024, lanes=1)
    create_vault(home / "vault", PASSPHRASE, who="tests", clock=clock, cost=cheap)
    with open_vault(home / "vault", PASSPHRASE, who="tests", clock=clock) as vault:
        vault.put_entity(COMPANY)
        vault.put_entity(OTHER)
    return home


@pytest.fixture
def office(found: Path, tmp_path: Path) -> Iterator[Office]:
    """An office of its own that knows two companies."""
    shutil.copytree(found, tmp_path / "office")
    with open_office(tmp_path / "office", PASSPHRASE, clock=clock) as opened:
        yield opened


@pytest.fixture(scope="session")
def pool() -> Iterator[ReadingPool]:
    """The real child process for pictures."""
    with ReadingPool(1, DEFAULT_LIMITS, "") as made:
        yield made


@pytest.fixture
def desk(office: Office, pool: ReadingPool) -> Desk:
    """A desk on that office, just opened."""
    turn = threading.Lock()
    return Desk(office, Door(PORT), Pictures(office, pool, turn), turn)


@pytest.fixture
def stranger(desk: Desk) -> TestClient:
    """A client that knows where the desk is and nothing else."""
    return TestClient(build_app(desk), base_url=HERE, follow_redirects=False, raise_server_exceptions=False)


@pytest.fixture
def client(desk: Desk, stranger: TestClient) -> TestClient:
    """A client that has opened the printed address."""
    assert stranger.get(desk.door.address.removeprefix(HERE)).status_code == 303
    return stranger


@pytest.fixture
def browser(tmp_path: Path) -> Iterator["Chrome"]:
    """A real browser."""
    from tests.desk.browsing import chromium  # noqa: PLC0415 - only these tests need the driver

    with chromium(tmp_path / "profile") as made:
        yield made


Send = Callable[..., int]


@pytest.fixture
def send(desk: Desk, client: TestClient) -> Send:
    """Send a form as the page of the paper would; gives the status."""

    def sent(address: str, **form: str) -> int:
        paper = address.split("/")[2]
        seen = str(len(desk.office.vault.readings(paper)))
        answer = client.post(address, data={"form_token": desk.door.form_token, "seen": seen} | form)
        return int(answer.status_code)

    return sent
