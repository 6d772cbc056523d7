"""Nothing in a vault's folder tells whose papers are in it; nothing said aloud does either."""

import base64
import logging
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from quietus.model.errors import Misuse, QuietusError, WrongKey
from quietus.model.paper import Standing
from quietus.vault import check_vault
from tests.vault.make import ENTITY, PASSPHRASE, TEXT, WAIVER, file, made, opened, reading

PAPER = f"{TEXT}. Signed by Odalys Pemberwick, FILED JUL 14 2026, EIN 07-4418230".encode()
SECRETS = [
    *re.findall(r"\w{5,}", f"{TEXT} {' '.join(ENTITY.names)} {' '.join(ENTITY.members)} {PAPER.decode()}"),
    ENTITY.ein,
    ENTITY.ein.replace("-", ""),
    ENTITY.slug,
    *(r.file_number for r in ENTITY.registrations),
    "excise",
    WAIVER.reason,
    WAIVER.source,
    "OR/dissolution",
    "brindle-scan",
    "dissolution",
    "partnership",
    "looked at it",
]


def spellings(secret: str) -> Iterator[bytes]:
    """How a secret might stand in a file: plain, UTF-16, hex, and base64 at each of the three offsets."""
    for text in (secret, secret.lower(), secret.upper()):
        yield text.encode()
        yield text.encode("utf-16-le")
        yield text.encode("utf-16-be")
        yield text.encode().hex().encode()
        for offset in range(3):
            whole = base64.b64encode(b"\0" * offset + text.encode())
            if len(inner := whole[4 if offset else 0 : len(whole) // 4 * 4 - 4]) >= 6:
                yield inner


def crowded(folder: Path) -> None:
    with opened(folder) as vault:
        vault.put_entity(replace(ENTITY, members=("Odalys Pemberwick",)))
        vault.put_waiver(WAIVER)
        paper = file(vault, PAPER, name="brindle-scan.pdf")
        vault.note_repeat(paper.id, "brindle-scan-again.pdf")
        vault.add_reading(
            paper.id,
            reading("07-4418320"),
            standing=Standing.FILED,
            entity=ENTITY.slug,
            expected="OR/dissolution",
            why="looked at it",
        )
        vault.paper_bytes(paper.id, f"bundle of {ENTITY.name}")
        with vault.transaction():
            vault.record("noted", ENTITY.slug, {"name": ENTITY.name})
            assert found_in(folder) == []  # with the write-ahead log in use
        check_vault(vault)
        assert found_in(folder) == []


def found_in(folder: Path) -> list[str]:
    found = []
    for path in sorted(folder.rglob("*")):
        names = path.name.encode()
        data = names + (path.read_bytes() if path.is_file() else b"")
        found += [f"{s} in {path.name}" for s in SECRETS if any(spelling in data for spelling in spellings(s))]
    return found


def test_no_name_number_or_word_stands_anywhere_in_the_folder(folder: Path) -> None:
    crowded(folder)
    assert (folder / "journal.log").stat().st_size > 1000
    assert found_in(folder) == []


def test_the_search_itself_finds_what_is_there(tmp_path: Path) -> None:
    for number, data in enumerate((PAPER, PAPER.decode().encode("utf-16-le"), base64.b64encode(b"." + PAPER))):
        (tmp_path / str(number)).write_bytes(data)
        assert any(f"in {number}" in found for found in found_in(tmp_path))


def test_a_passphrase_or_key_stands_nowhere_in_the_folder(folder: Path) -> None:
    crowded(folder)
    with opened(folder) as vault:
        keys = vault.store.keys
        secrets = [PASSPHRASE, keys.root, *(keys.subkey(p) for p in ("catalog", "wrapping", "journal", "header"))]
    for path in folder.rglob("*"):
        data = path.read_bytes() if path.is_file() else b""
        for secret in secrets:
            assert secret not in data
            assert secret.hex().encode() not in data
            assert base64.b64encode(secret)[:-4] not in data


def test_subkeys_of_different_purposes_and_papers_differ(folder: Path) -> None:
    with opened(folder) as vault:
        keys = vault.store.keys
    purposes = ("catalog", "wrapping", "journal", "header")
    derived = {keys.subkey(p) for p in purposes} | {keys.subkey("wrapping", f"{n:032x}") for n in range(3)}
    assert len(derived | {keys.root}) == 8


def test_the_same_paper_is_sealed_differently_in_two_vaults(folder: Path, tmp_path: Path) -> None:
    other = made(tmp_path / "other")
    sealed = []
    for place in (folder, other):
        with opened(place) as vault:
            paper = file(vault, bytes(1000))
        sealed.append((place / "objects" / paper.id[:2] / paper.id).read_bytes())
    assert sealed[0][8:40] != sealed[1][8:40]


def test_errors_and_logs_tell_nothing_of_the_client(folder: Path, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    said: list[QuietusError] = []
    with opened(folder) as vault:
        file(vault, PAPER)
        for wrong in (
            lambda: file(vault, PAPER),
            lambda: vault.paper(ENTITY.ein),
            lambda: vault.drop_waiver(ENTITY.slug, "OR/clearance", ENTITY.name),
            lambda: vault.put_waiver(replace(WAIVER, entity="odalys-pemberwick")),
        ):
            with pytest.raises(Misuse) as caught:
                wrong()
            said.append(caught.value)
        with vault.store.changing() as connection:
            connection.exec_driver_sql("UPDATE entities SET body = replace(body, '\"name\"', '\"nom\"')")
        with pytest.raises(QuietusError) as damaged:
            vault.entities()
        said.append(damaged.value)
    aloud = caplog.text + "".join(f"{e.message} {e.remedy}" for e in said)
    assert all(e.remedy for e in said)
    assert not [s for s in SECRETS if s in aloud and s not in {"dissolution"}]


def test_a_wrong_key_or_a_broken_catalog_prints_nothing(folder: Path, capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(WrongKey):
        opened(folder, b"wrong")
    data = (folder / "catalog.db").read_bytes()
    (folder / "catalog.db").write_bytes(data[:20] + b"\xff" + data[21:])
    with pytest.raises(QuietusError):
        opened(folder)
    assert capfd.readouterr() == ("", "")


def test_no_file_is_made_outside_the_folder(folder: Path, tmp_path: Path) -> None:
    """Runs in a process of its own with a private temporary folder, which has to stay empty."""
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    code = (
        "import sys; from pathlib import Path; from tests.vault.make import *\n"
        "with opened(Path(sys.argv[1])) as v:\n"
        "    p = file(v, b'x' * 3_000_000)\n"
        "    v.paper_bytes(p.id, 'test')\n"
        "    from quietus.vault import check_vault; assert check_vault(v).sound\n"
    )
    environment = {"TMPDIR": str(temporary), "SQLITE_TMPDIR": str(temporary), "HOME": str(temporary)}
    root = Path(__file__).resolve().parents[2]
    subprocess.run([sys.executable, "-c", code, str(folder)], check=True, cwd=root, env=environment)
    assert list(temporary.iterdir()) == []
    assert sorted(p.name for p in tmp_path.iterdir()) == ["temporary", "vault"]
