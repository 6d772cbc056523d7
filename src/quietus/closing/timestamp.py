"""A time stamp (RFC 3161) for a checkpoint, from a service that the person names; none is asked otherwise.

Only a hash leaves the machine. The token proves that the checkpoint existed at its time, not who made it.
"""

import urllib.request
from dataclasses import dataclass
from datetime import datetime
from urllib.error import URLError
from urllib.parse import urlsplit

from cryptography.x509 import Certificate, load_pem_x509_certificate
from rfc3161_client import TimestampRequestBuilder, VerifierBuilder, decode_timestamp_response
from rfc3161_client.errors import VerificationError

from quietus.model.errors import Damaged, MachineFault, Misuse

SECONDS = 30.0
MOST_REPLY_BYTES = 256 * 1024


@dataclass(frozen=True, slots=True)
class Stamp:
    """A time stamp.

    Attributes:
        reply: the service's whole reply, DER; `openssl ts -verify` takes it.
        at: the time in it.
    """

    reply: bytes
    at: datetime


def ask_stamp(message: bytes, service: str, root: bytes) -> Stamp:
    """Have a service stamp the SHA-256 of `message`, and verify what it replies.

    Args:
        message: such as the text of a checkpoint.
        service: its http or https address.
        root: the certificate, PEM, that its signer's chain has to end in.

    Raises:
        Misuse: the address or the certificate is none.
        MachineFault: the service can't be reached, or does not stamp.
        Damaged: the reply does not verify.
    """
    asked = TimestampRequestBuilder().data(message).nonce(nonce=True).cert_request(cert_request=True).build()
    reply = _reply(asked.as_bytes(), service)
    return Stamp(reply, check_stamp(message, reply, root, nonce=asked.nonce))


def ask_reply(request: bytes, service: str, root: bytes) -> bytes:
    """Have a service answer a request that was made elsewhere, and verify what it replies.

    Args:
        request: RFC 3161, DER. Whoever made it compares the nonce.
        service: its http or https address.
        root: the certificate, PEM, that its signer's chain has to end in.

    Raises:
        Misuse, MachineFault, Damaged: see `ask_stamp`.
    """
    anchor, reply = _anchor(root), _reply(request, service)
    try:
        stamp = decode_timestamp_response(reply)
        VerifierBuilder().add_root_certificate(anchor).build().verify(stamp, _imprint(request))
    except (VerificationError, ValueError) as error:
        raise Damaged("The time stamp does not verify.", "Ask again, or another service.") from error
    return reply


def _imprint(request: bytes) -> bytes:
    """The hash that a request asks to have stamped."""
    from asn1crypto import tsp  # noqa: PLC0415 - only for requests made elsewhere

    imprint: bytes = tsp.TimeStampReq.load(request)["message_imprint"]["hashed_message"].native
    return imprint


def _reply(request: bytes, service: str) -> bytes:
    if urlsplit(service).scheme not in {"http", "https"}:
        raise Misuse("A time stamp service has an http or https address.", "Give it as the service tells it.")
    headers = {"Content-Type": "application/timestamp-query"}
    asked = urllib.request.Request(service, request, headers)  # noqa: S310 - the scheme was looked at
    try:
        with urllib.request.urlopen(asked, timeout=SECONDS) as answer:  # noqa: S310
            reply: bytes = answer.read(MOST_REPLY_BYTES)
    except (URLError, OSError, ValueError) as error:
        raise MachineFault("The time stamp service can't be reached.", "Check its address and the network.") from error
    return reply


def _anchor(root: bytes) -> Certificate:
    try:
        return load_pem_x509_certificate(root)
    except ValueError as error:
        raise Misuse("That is no certificate.", "Give the service's root certificate as a PEM file.") from error


def check_stamp(message: bytes, reply: bytes, root: bytes, *, nonce: int | None = None) -> datetime:
    """The time of a stamp, everything about it verified.

    Args:
        message: what was stamped.
        reply: the service's reply, DER.
        root: the certificate, PEM, that the signer's chain has to end in.
        nonce: that of the request; None when it is not known any more.

    Raises:
        Misuse: the certificate is none.
        Damaged: the reply does not verify.
    """
    anchor = _anchor(root)
    try:
        stamp = decode_timestamp_response(reply)
        builder = VerifierBuilder().add_root_certificate(anchor)
        verifier = (builder if nonce is None else builder.nonce(nonce)).build()
        verifier.verify_message(stamp, message)
    except (VerificationError, ValueError) as error:
        raise Damaged("The time stamp does not verify.", "Ask again, or another service.") from error
    at: datetime = stamp.tst_info.gen_time
    return at
