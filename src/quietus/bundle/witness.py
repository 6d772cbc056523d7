"""What goes along so that a stranger can check the seal and the journal with ordinary tools."""

import base64
import json
import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from quietus.bundle.exhibits import Entry, Exhibit
from quietus.bundle.signature import Seal, Sealed, certificate_of
from quietus.model.errors import OwnFault

Proofs = Mapping[str, Mapping[str, Any]]
"""By paper: proof that the entry of its filing is in the office's journal, as `quietus checkpoint` exports it."""

SEAL, JOURNAL = "data/seal", "data/journal"
_ED25519 = bytes.fromhex("302a300506032b6570032100")  # SubjectPublicKeyInfo up to the key (RFC 8410, section 4)
_CHECKPOINT = re.compile(r"(?P<message>.*\nkey (?P<key>[0-9a-f]{64})\n)signature (?P<signature>[0-9a-f]{128})\n", re.S)


def entry_of(proof: Mapping[str, Any]) -> Entry:
    """What a proof shows of its entry; the rest of the entry is sealed."""
    shown = json.loads(proof["line"])
    return Entry(int(shown["number"]), datetime.fromisoformat(shown["at"]))


def write_seal(bag: Path, seal: Seal, sealed: Sealed) -> None:
    """The certificate, and the signature once more as a file of its own, since few tools take it out of a PDF."""
    folder = bag / SEAL
    folder.mkdir()
    (folder / "certificate.pem").write_text(certificate_of(seal), encoding="ascii", newline="\n")
    (folder / "signature.p7s").write_bytes(sealed.contents)


def write_journal(bag: Path, exhibits: Sequence[Exhibit], proofs: Proofs) -> None:
    """The checkpoint that the journal's proofs lead to, in parts that OpenSSL takes, and one proof for each exhibit.

    Nothing is written when there is no proof.
    """
    proven = [exhibit for exhibit in exhibits if exhibit.paper.id in proofs]
    if not proven:
        return
    text = str(proofs[proven[0].paper.id]["checkpoint"])
    parts = _CHECKPOINT.fullmatch(text)
    if parts is None or any(proofs[exhibit.paper.id]["checkpoint"] != text for exhibit in proven):
        raise OwnFault("The journal's proofs do not lead to one checkpoint.", "Tell the makers of quietus.")
    folder = bag / JOURNAL
    folder.mkdir()
    key = base64.b64encode(_ED25519 + bytes.fromhex(parts["key"])).decode()
    (folder / "checkpoint.txt").write_text(parts["message"], encoding="ascii", newline="\n")
    (folder / "checkpoint.sig").write_bytes(bytes.fromhex(parts["signature"]))
    pem = f"-----BEGIN PUBLIC KEY-----\n{key}\n-----END PUBLIC KEY-----\n"
    (folder / "key.pem").write_text(pem, encoding="ascii", newline="\n")
    for exhibit in proven:
        told = proofs[exhibit.paper.id]
        # The paper's hash is for those who get the paper: a redacted copy must not tell what would confirm a guess.
        shown = ("number", "line", "path") if exhibit.redacted else ("number", "line", "path", "paper")
        proof = {key: told[key] for key in shown if key in told}
        (folder / f"exhibit-{exhibit.letter}.json").write_text(
            json.dumps(proof, indent=1) + "\n", encoding="ascii", newline="\n"
        )
