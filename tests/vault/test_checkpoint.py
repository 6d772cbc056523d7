"""A checkpoint kept elsewhere shows whatever was done to the journal since; proofs can be checked without quietus."""

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from cryptography.exceptions import InvalidSignature

from quietus.model.errors import Damaged, Misuse
from quietus.vault import (
    Vault,
    compare_checkpoint,
    compare_fingerprint,
    make_checkpoint,
    proof_holds,
    prove_entry,
    prove_growth,
    read_checkpoint,
)
from quietus.vault.crypto import sign, signer
from tests.vault.make import file, made, opened


def grow(vault: Vault, number: int) -> None:
    with vault.transaction():
        for entry in range(number):
            vault.record("noted", str(entry), {})


def test_a_checkpoint_comes_back_from_its_text_and_fits_the_vault(vault: Vault) -> None:
    checkpoint = make_checkpoint(vault)
    assert read_checkpoint(checkpoint.text.encode()) == checkpoint
    assert compare_checkpoint(vault, checkpoint) == 0
    grow(vault, 5)
    assert compare_checkpoint(vault, checkpoint) == 5
    assert compare_fingerprint(vault, checkpoint.fingerprint) == 5
    assert compare_fingerprint(vault, checkpoint.fingerprint.lower().replace("-", " ").replace(" ", "-", 1)) == 5


def test_a_folder_put_back_as_it_was_is_noticed(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "old")
    with opened(folder) as vault:
        grow(vault, 1)
        checkpoint = make_checkpoint(vault)
    with opened(tmp_path / "old") as vault:
        with pytest.raises(Damaged, match="older copy"):
            compare_checkpoint(vault, checkpoint)
        with pytest.raises(Damaged, match="older copy"):
            compare_fingerprint(vault, checkpoint.fingerprint)
        grow(vault, 3)  # and went on from there
        with pytest.raises(Damaged, match="not the one"):
            compare_checkpoint(vault, checkpoint)
        with pytest.raises(Damaged, match="not the one"):
            compare_fingerprint(vault, checkpoint.fingerprint)


def test_a_checkpoint_of_somebody_else_is_refused(vault: Vault, tmp_path: Path) -> None:
    checkpoint = make_checkpoint(vault)
    seed = b"s" * 32
    forged = replace(checkpoint, key=signer(seed).hex(), root="00" * 32)
    forged = replace(forged, signature=sign(seed, forged.message).hex())
    with pytest.raises(Damaged, match="not signed by this vault"):
        compare_checkpoint(vault, read_checkpoint(forged.text.encode()))
    with opened(made(tmp_path / "other")) as other, pytest.raises(Misuse):
        compare_checkpoint(other, checkpoint)


def test_a_checkpoint_changed_by_one_character_is_refused(vault: Vault) -> None:
    text = make_checkpoint(vault).text
    for place in range(len(text)):
        changed = text[:place] + ("0" if text[place] != "0" else "1") + text[place + 1 :]
        with pytest.raises((Damaged, Misuse)):
            read_checkpoint(changed.encode())


@pytest.mark.parametrize("text", ["", "12", "12-ABCD", "0-" + "A" * 32, "x-" + "A" * 32, "12-" + "1" * 32])
def test_what_is_no_fingerprint_is_said_to_be_none(vault: Vault, text: str) -> None:
    with pytest.raises(Misuse):
        compare_fingerprint(vault, text)


def test_every_entry_can_be_proven_and_no_other(vault: Vault) -> None:
    grow(vault, 11)
    for number in range(1, 14):
        proof = json.loads(json.dumps(prove_entry(vault, number)))
        assert proof_holds(proof)
        assert not proof_holds({**proof, "number": number + 1})
        assert not proof_holds({**proof, "line": proof["line"].replace("2026", "2025")})
        assert not proof_holds({**proof, "path": [*proof["path"], "00" * 32]})
    with pytest.raises(Misuse):
        prove_entry(vault, 14)


def test_growth_can_be_proven_from_any_checkpoint(vault: Vault) -> None:
    checkpoints = [make_checkpoint(vault)]
    for _ in range(12):
        grow(vault, 1)
        checkpoints.append(make_checkpoint(vault))
    for old in checkpoints:
        proof = json.loads(json.dumps(prove_growth(vault, old)))
        assert proof_holds(proof)
        if old.entries > 2:
            assert not proof_holds({**proof, "old": checkpoints[0].text})
    with pytest.raises(Misuse):
        proof_holds({"proof": "consistency"})


def test_the_lines_in_the_document_check_proofs_without_quietus(vault: Vault) -> None:
    """Runs the program of docs/vault-format.md as it stands there."""
    document = (Path(__file__).parents[2] / "docs" / "vault-format.md").read_text()
    program = next(code for code in re.findall(r"```python\n(.*?)```", document, re.DOTALL) if "def included" in code)
    assert "quietus" not in program
    space: dict[str, object] = {}
    exec(program, space)  # the document is ours
    holds = space["holds"]
    assert callable(holds)
    old = make_checkpoint(vault)
    grow(vault, 6)
    for number in range(1, 9):
        assert holds(prove_entry(vault, number))
        assert not holds({**prove_entry(vault, number), "line": "other"})
    filed = file(vault, b"%PDF-1.7 one")
    proof = prove_entry(vault, vault.filings([filed.id])[filed.id])
    assert holds(proof)
    assert proof_holds(proof)
    assert proof["paper"]["sha256"] == filed.sha256
    assert filed.sha256 not in proof["line"]
    for wrong in ({**proof["paper"], "sha256": "ab" * 32}, {**proof["paper"], "salt": "ab" * 32}):
        assert not holds({**proof, "paper": wrong})
        assert not proof_holds({**proof, "paper": wrong})
    growth = prove_growth(vault, old)
    assert holds(growth)
    assert not holds({**growth, "path": growth["path"][:-1]})
    with pytest.raises(InvalidSignature):
        holds({**growth, "old": growth["old"].replace("entries 2", "entries 1")})
