"""The bundle's folder against RFC 8493, as the `bagit` package and coreutils understand it."""

import logging
import shutil
import subprocess
import zipfile
from pathlib import Path

import bagit
import pytest

from quietus.bundle.build import build_bundle
from tests.bundle.make import complete

pytestmark = pytest.mark.outside


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_bundle(complete(), tmp_path_factory.mktemp("made") / "bundle").path


@pytest.fixture
def bag(made: Path, tmp_path: Path) -> Path:
    """A copy to do harm to."""
    return Path(shutil.copytree(made, tmp_path / "bag"))


@pytest.fixture(autouse=True)
def _quiet() -> None:
    logging.getLogger("bagit").setLevel(logging.CRITICAL)


def test_the_folder_is_a_valid_bag(made: Path) -> None:
    bag = bagit.Bag(str(made))
    bag.validate()
    assert bag.version_info == (1, 0)
    assert bag.algorithms == ["sha256"]
    assert bag.info["Source-Organization"] == "Harrowgate Tax Office"
    assert bag.info["Bagging-Date"] == "2026-11-20"
    assert "Saltmarsh" not in str(bag.info)


def test_the_payload_oxum_is_right(made: Path) -> None:
    payload = [path for path in (made / "data").rglob("*") if path.is_file()]
    assert bagit.Bag(str(made)).info["Payload-Oxum"] == f"{sum(p.stat().st_size for p in payload)}.{len(payload)}"


def test_the_zip_unpacks_to_a_valid_bag(tmp_path: Path) -> None:
    made = build_bundle(complete(), tmp_path / "sent", zipped=True)
    with zipfile.ZipFile(made.path) as packed:
        packed.extractall(tmp_path / "out")
    bagit.Bag(str(tmp_path / "out" / "sent")).validate()


@pytest.mark.parametrize(
    "name",
    [
        "data/proof-of-closure.pdf",
        "data/summary.json",
        "data/originals/01-dissolution-OR.pdf",
        "VERIFY.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
    ],
)
def test_one_changed_bit_is_found(bag: Path, name: str) -> None:
    data = bytearray((bag / name).read_bytes())
    data[len(data) // 2] ^= 1
    (bag / name).write_bytes(data)
    with pytest.raises(bagit.BagError):
        bagit.Bag(str(bag)).validate()


def test_an_added_file_is_found(bag: Path) -> None:
    (bag / "data" / "originals" / "99-other-OR.pdf").write_bytes(b"x")
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(bag)).validate()


def test_a_removed_file_is_found(bag: Path) -> None:
    (bag / "data" / "summary.json").unlink()
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(bag)).validate()


needs_coreutils = pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum on this machine")


def commands(bag: Path) -> list[str]:
    """The commands for Linux that VERIFY.txt names."""
    rows = (bag / "VERIFY.txt").read_text().split("Linux\n")[1].split("\n\n")[0].splitlines()
    return [row.strip() for row in rows]


@needs_coreutils
def test_the_commands_in_verify_txt_work_as_written(bag: Path) -> None:
    assert len(commands(bag)) == 2
    for command in commands(bag):
        assert subprocess.run(command.split(), cwd=bag, check=False, capture_output=True).returncode == 0


@needs_coreutils
def test_the_commands_in_verify_txt_find_a_changed_byte(bag: Path) -> None:
    (bag / "data" / "summary.json").write_bytes(b"{}")
    run = subprocess.run(commands(bag)[0].split(), cwd=bag, check=False, capture_output=True, text=True)
    assert run.returncode != 0
    assert "data/summary.json: FAILED" in run.stdout
