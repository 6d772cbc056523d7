"""The certificate of a destruction: what went, when, by whom, under which rule. No client data; signed by the vault.

The same statement stands in it twice, as JSON and as text, each signed as a file, so that a stranger checks either
with OpenSSL and no quietus.
"""

import json
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from quietus import __version__
from quietus.model.errors import BadData, MachineFault, Misuse
from quietus.vault import Signature, Vault, sign_statement, signed_by, signers

TITLE = "quietus destruction certificate 1"
_WIDTH = 100

HOW_TO_CHECK = """\
How to check these files without quietus. Each command answers "Signature Verified Successfully".

    openssl pkeyutl -verify -pubin -inkey vault-key.pem -rawin -in certificate.json -sigfile certificate.json.sig
    openssl pkeyutl -verify -pubin -inkey vault-key.pem -rawin -in certificate.txt -sigfile certificate.txt.sig

vault-key.pem is the public key of the vault that signed. That it is that vault's key is for its office to tell: the
same key stands in every checkpoint of the vault and in every list of its backups.
"""


@dataclass(frozen=True, slots=True)
class Certificate:
    """A signed certificate.

    Attributes:
        tree: what it states, as plain JSON data.
        json_signature: of `json_file`.
        text_signature: of `text_file`.
    """

    tree: Mapping[str, Any]
    json_signature: Signature
    text_signature: Signature

    @property
    def paper(self) -> str:
        """Id of the paper that was destroyed; the certificate is called by it."""
        return str(self.tree["paper"]["id"])

    @property
    def json_file(self) -> bytes:
        """The certificate as JSON, byte for byte as it was signed."""
        return json_file(self.tree)

    @property
    def text_file(self) -> bytes:
        """The certificate as text, byte for byte as it was signed."""
        return text_file(self.tree)


def json_file(tree: Mapping[str, Any]) -> bytes:
    """What a certificate states as a JSON file; always the same bytes for the same data."""
    return (json.dumps(tree, indent=1, ensure_ascii=True) + "\n").encode()


def text_file(tree: Mapping[str, Any]) -> bytes:
    """What a certificate states as a text file for people; always the same bytes for the same data."""
    paper, rule, approved, done = tree["paper"], tree["rule"], tree["approved"], tree["destroyed"]
    lines = [
        TITLE,
        "",
        *_line("vault", tree["vault"]),
        *_line("paper", f"{paper['id']}; {paper['what']}; {paper['bytes']} bytes; pages: {paper['pages']}"),
        *_line("sha-256", paper["sha256"]),
        *_line("received", paper["received"]),
        *_line("rule", f"{rule['title']} ({rule['id']}): {rule['period']} from {rule['from']} ({rule['trigger']})"),
        *_line("kept until", rule["until"]),
        *[line for source in rule["sources"] for line in _line("source", source)],
        *_line("other rules", "; ".join(f"{one['id']} until {one['until']}" for one in rule["others"]) or "none"),
        *_line("schedules", f"sha-256 {tree['schedules']}"),
        *_line("holds", tree["holds"]),
        *_line("approved", f"{approved['on']} by {approved['by']}: {approved['reason']}"),
        *_line("second", _second(approved)),
        *_line("begun", done["begun"]),
        *_line("finished", f"{done['finished']} by {done['by']}"),
        *_line("how", done["how"]),
        *_line("checked", done["checked"]),
        *[line for one in tree["copies"] for line in _line("copies", one)],
        *[line for one in tree["stays"] for line in _line("stays", one)],
        *_line("program", tree["program"]),
        "",
        *textwrap.wrap(tree["caution"], _WIDTH),
    ]
    return ("\n".join(lines) + "\n").encode()


def _second(approved: Mapping[str, Any]) -> str:
    second = approved["second"]
    if second:
        return f"{second['on']} by {second['by']}: {second['reason']}"
    return "one person approved; no second one was asked for"


def _line(name: str, words: object) -> list[str]:
    return textwrap.wrap(
        _printable(str(words)), _WIDTH, initial_indent=f"{name:<12}", subsequent_indent=" " * 12,
        break_long_words=False,
    )  # fmt: skip


def _printable(text: str) -> str:
    """Text as it may stand in a file that is read aloud at a terminal."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


def sign_certificate(vault: Vault, tree: Mapping[str, Any]) -> Certificate:
    """Sign what a certificate states."""
    whole = {"certificate": TITLE, "vault": vault.id, **tree, "program": f"quietus {__version__}"}
    return Certificate(whole, sign_statement(vault, json_file(whole)), sign_statement(vault, text_file(whole)))


def certificate_card(certificate: Certificate) -> dict[str, Any]:
    """A certificate as it is kept in a card."""
    return {
        "tree": dict(certificate.tree),
        "key": certificate.json_signature.key,
        "json": certificate.json_signature.value,
        "text": certificate.text_signature.value,
    }


def certificate_of(body: Mapping[str, Any]) -> Certificate:
    """Inverse of `certificate_card`."""
    key = body["key"]
    return Certificate(body["tree"], Signature(key, body["json"]), Signature(key, body["text"]))


def export_certificate(certificate: Certificate, folder: Path) -> tuple[Path, ...]:
    """Write a certificate, its signatures, the key and how to check them into a new folder.

    Raises:
        Misuse: the folder exists already.
        MachineFault: it can't be written.
    """
    files = {
        "certificate.json": certificate.json_file,
        "certificate.json.sig": bytes.fromhex(certificate.json_signature.value),
        "certificate.txt": certificate.text_file,
        "certificate.txt.sig": bytes.fromhex(certificate.text_signature.value),
        "vault-key.pem": certificate.json_signature.pem.encode(),
        "how-to-check.txt": HOW_TO_CHECK.encode(),
    }
    try:
        folder.mkdir(parents=True)
        for name, data in files.items():
            (folder / name).write_bytes(data)
    except FileExistsError:
        raise Misuse("That folder exists already.", "Name a new one with -o.") from None
    except OSError as error:
        raise MachineFault(f"The certificate can't be written: {error.strerror}.", "Check the folder.") from None
    return tuple(folder / name for name in files)


def read_exported(vault: Vault, folder: Path) -> Certificate:
    """An exported certificate of this vault, both signatures verified.

    Raises:
        BadData: it is none, or a signature is not this vault's.
        MachineFault: it can't be read.
    """
    names = ("certificate.json", "certificate.json.sig", "certificate.txt.sig", "vault-key.pem")
    try:
        data, on_json, on_text, pem = ((folder / name).read_bytes() for name in names)
    except OSError as error:
        raise MachineFault(f"The certificate can't be read: {error.strerror}.", "Check its folder.") from None
    try:
        tree = json.loads(data)
        key = next(key for key in signers(vault) if Signature(key, "").pem.encode() == pem)
        found = Certificate(tree, Signature(key, on_json.hex()), Signature(key, on_text.hex()))
        mine = tree["certificate"] == TITLE and tree["vault"] == vault.id and found.json_file == data
        text = found.text_file
    except (ValueError, KeyError, TypeError, RecursionError, StopIteration) as error:
        raise BadData(names[0], "the file", "a destruction certificate that this vault signed") from error
    if not mine or not signed_by(vault, data, found.json_signature) or not signed_by(vault, text, found.text_signature):
        raise BadData(names[0], "the signatures", "those of this vault over this certificate")
    return found
