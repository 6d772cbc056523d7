"""The BagIt folder, to the byte where RFC 8493 says so."""

import hashlib
import os
import zipfile
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from quietus.bundle.bag import write_bag, zip_bag

WHEN = datetime(2026, 11, 20, 17, 5, 9, tzinfo=UTC)


@pytest.fixture
def bag(tmp_path: Path) -> Path:
    folder = tmp_path / "bag"
    (folder / "data" / "originals").mkdir(parents=True)
    (folder / "data" / "a.txt").write_bytes(b"alpha")
    (folder / "data" / "originals" / "b 100%.txt").write_bytes(b"")
    write_bag(folder, {"Source-Organization": "Office\nPayload-Oxum: 9.9", "Contact-Name": ""}, {"VERIFY.txt": "x\n"})
    return folder


def test_the_declaration_is_what_the_standard_says_to_the_byte(bag: Path) -> None:
    assert (bag / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


def test_the_manifest_lists_every_payload_file_with_percent_signs_encoded(bag: Path) -> None:
    empty, alpha = hashlib.sha256(b"").hexdigest(), hashlib.sha256(b"alpha").hexdigest()
    assert (bag / "manifest-sha256.txt").read_text().splitlines() == [
        f"{alpha}  data/a.txt",
        f"{empty}  data/originals/b 100%25.txt",
    ]


def test_the_tag_manifest_lists_every_tag_file_but_itself(bag: Path) -> None:
    listed = {line.split("  ")[1] for line in (bag / "tagmanifest-sha256.txt").read_text().splitlines()}
    assert listed == {"bagit.txt", "bag-info.txt", "manifest-sha256.txt", "VERIFY.txt"}


def test_a_line_break_in_a_name_begins_no_label_and_empty_values_are_left_out(bag: Path) -> None:
    assert (bag / "bag-info.txt").read_text().splitlines() == [
        "Source-Organization: Office Payload-Oxum: 9.9",
        "Payload-Oxum: 5.2",
    ]


def test_a_zip_depends_on_content_and_moment_alone(bag: Path, tmp_path: Path) -> None:
    zip_bag(bag, tmp_path / "one.zip", WHEN)
    os.utime(bag / "data" / "a.txt", (0, 0))
    elsewhere = WHEN.astimezone(timezone(timedelta(hours=-8)))
    (tmp_path / "again").mkdir()
    zip_bag(bag, tmp_path / "again" / "one.zip", elsewhere)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "again" / "one.zip").read_bytes()


def test_a_zip_holds_one_folder_with_sorted_members(bag: Path, tmp_path: Path) -> None:
    zip_bag(bag, tmp_path / "one.zip", WHEN)
    with zipfile.ZipFile(tmp_path / "one.zip") as made:
        names = made.namelist()
        assert made.testzip() is None
    assert names == sorted(names)
    assert {name.split("/", maxsplit=1)[0] for name in names} == {"one"}
