"""Time stamps from a real RFC 3161 authority: `openssl ts`, on this machine, with certificates of its own."""

import shutil
import subprocess
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from quietus.cli.app import run
from quietus.closing.timestamp import ask_stamp, check_stamp
from quietus.model.errors import Damaged, MachineFault, Misuse
from quietus.vault import make_checkpoint
from tests.vault.make import made, opened

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(shutil.which("openssl") is None, reason="the authority is the openssl command"),
]

CONFIG = """
[req]
distinguished_name = name
[name]
[root]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign
subjectKeyIdentifier = hash
[leaf]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[tsa]
default_tsa = authority
[authority]
dir = .
serial = serial
crypto_device = builtin
signer_cert = leaf.pem
signer_key = leaf.key
signer_digest = sha256
default_policy = 1.3.6.1.4.1.99999.1
digests = sha256, sha384, sha512
accuracy = secs:1
ess_cert_id_alg = sha256
"""


def openssl(folder: Path, *words: str) -> None:
    subprocess.run(["openssl", *words], cwd=folder, check=True, capture_output=True)


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the authority's certificates and settings."""
    folder = tmp_path_factory.mktemp("authority")
    (folder / "config").write_text(CONFIG)
    (folder / "serial").write_text("01\n")
    for name in ("root", "other"):
        openssl(
            folder, "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", f"{name}.key", "-out", f"{name}.pem",
            "-subj", f"/CN={name} for tests", "-days", "30", "-config", "config", "-extensions", "root",
        )  # fmt: skip
    openssl(
        folder, "req", "-newkey", "rsa:2048", "-nodes", "-keyout", "leaf.key", "-out", "leaf.csr",
        "-subj", "/CN=stamps for tests", "-config", "config",
    )  # fmt: skip
    openssl(
        folder, "x509", "-req", "-in", "leaf.csr", "-CA", "root.pem", "-CAkey", "root.key", "-CAcreateserial",
        "-out", "leaf.pem", "-days", "30", "-extfile", "config", "-extensions", "leaf",
    )  # fmt: skip
    return folder


@pytest.fixture(scope="module")
def service(authority: Path) -> Iterator[str]:
    """Its address."""

    class Answer(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            query = self.rfile.read(int(self.headers["Content-Length"]))
            (authority / "query").write_bytes(query)
            openssl(authority, "ts", "-reply", "-config", "config", "-section", "authority", "-queryfile", "query",
                    "-out", "reply")  # fmt: skip
            self.send_response(200)
            self.end_headers()
            self.wfile.write((authority / "reply").read_bytes())

        def log_message(self, *_: object) -> None:
            """Nothing is printed."""

    server = HTTPServer(("127.0.0.1", 0), Answer)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()


@pytest.fixture
def checkpoint(tmp_path: Path) -> Path:
    with opened(made(tmp_path / "vault")) as vault:
        text = make_checkpoint(vault).text
    (tmp_path / "kept.txt").write_text(text)
    return tmp_path / "kept.txt"


def test_a_checkpoint_is_stamped_and_openssl_agrees(authority: Path, service: str, checkpoint: Path) -> None:
    root = str(authority / "root.pem")
    assert run(["checkpoint", "stamp", str(checkpoint), "--service", service, "--root", root]) == 0
    stamp = str(checkpoint) + ".tsr"
    openssl(authority, "ts", "-verify", "-data", str(checkpoint), "-in", stamp, "-CAfile", root)
    assert run(["checkpoint", "stamp", str(checkpoint), "--root", root]) == 0
    assert run(["checkpoint", "stamp", str(checkpoint), "--root", str(authority / "other.pem")]) == 3


def test_a_stamp_holds_for_its_message_its_root_and_its_question_only(authority: Path, service: str) -> None:
    root = (authority / "root.pem").read_bytes()
    stamp = ask_stamp(b"message", service, root)
    assert abs(datetime.now(UTC) - stamp.at) < timedelta(minutes=1)
    assert check_stamp(b"message", stamp.reply, root) == stamp.at
    for message, reply, anchor, nonce in (
        (b"another", stamp.reply, root, None),
        (b"message", stamp.reply, (authority / "other.pem").read_bytes(), None),
        (b"message", stamp.reply, root, 7),
        (b"message", stamp.reply[:-1] + bytes([stamp.reply[-1] ^ 1]), root, None),
        (b"message", b"", root, None),
    ):
        with pytest.raises(Damaged):
            check_stamp(message, reply, anchor, nonce=nonce)


def test_what_is_no_service_is_said_to_be_none(authority: Path) -> None:
    root = (authority / "root.pem").read_bytes()
    with pytest.raises(Misuse):
        ask_stamp(b"message", "file:///etc/hostname", root)
    with pytest.raises(Misuse):
        check_stamp(b"message", b"", b"no certificate")
    with pytest.raises(MachineFault):
        ask_stamp(b"message", "http://127.0.0.1:9/", root)
