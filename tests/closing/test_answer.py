"""Answers as they leave: what the produced bytes hold, what is recorded, and what is refused."""

import hashlib
import json
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quietus.bundle.purposes import Form
from quietus.closing.answer import Answer, Order, answer, plan
from quietus.closing.consents import record_consent
from quietus.closing.inquiries import inquiry_named, open_inquiry
from quietus.closing.office import Office
from quietus.model.errors import Misuse, Refused
from quietus.model.kinds import Kind
from tests.closing.answering import (
    BANK,
    COMPANY,
    TODAY,
    closed_office,
    signed,
    signed_paper,
    somebody,
    word_of,
)

KEYS = (
    "OR/dissolution",
    "WA/withdrawal",
    "US/final_return",
    "OR/final_return",
    "US/final_k1",
    "US/ein_closure_letter",
    "company/consent",
    "company/asset_disposition",
    "company/creditor_notice",
    "WA/account_closure",
)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("answer") / "office") as opened:
        signed_paper(opened)
        yield opened


def held(folder: Path) -> bytes:
    """Everything that can be got out of a bundle: its files, and of PDFs every stream and all text."""
    found = []
    for file in sorted(path for path in folder.rglob("*") if path.is_file()):
        found += [file.name.encode(), file.read_bytes()]
        if file.suffix == ".pdf":
            with pikepdf.open(file) as pdf:
                found += [one.read_raw_bytes() for one in pdf.objects if isinstance(one, pikepdf.Stream)]
                found += [_decoded(one) for one in pdf.objects if isinstance(one, pikepdf.Stream)]
            document = pdfium.PdfDocument(file)
            found += [page.get_textpage().get_text_bounded().encode() for page in document]
    return b"\n".join(found)


def _decoded(stream: pikepdf.Stream) -> bytes:
    try:
        return stream.read_bytes()
    except pikepdf.PdfError:  # a picture
        return b""


def originals(office: Office, answered: Answer) -> set[str]:
    """Which papers lie in the bundle as received: their keys, by the hash of every file in it."""
    hashes = {hashlib.sha256(f.read_bytes()).hexdigest() for f in answered.made.path.rglob("*") if f.is_file()}
    return {paper.expected for paper in office.vault.papers(COMPANY.slug) if paper.sha256 in hashes}


def test_without_a_consent_the_bytes_hold_nothing_that_needs_one(office: Office, tmp_path: Path) -> None:
    answered = answer(office, Order(COMPANY.slug, "lender", BANK), tmp_path / "proof", TODAY)
    out = {"OR/dissolution", "WA/withdrawal"}
    assert originals(office, answered) == out
    bytes_out = held(tmp_path / "proof")
    for key in KEYS:
        assert (word_of(key).encode() in bytes_out) is (key in out)
    paper = next(p for p in office.vault.papers(COMPANY.slug) if p.expected == "US/final_return")
    for trace in (paper.id, paper.sha256, paper.name, "Form 1065"):
        assert trace.encode() not in bytes_out


def test_a_line_tells_of_a_paper_and_carries_none_of_it(office: Office, tmp_path: Path) -> None:
    answered = answer(office, Order(COMPANY.slug, "bank-or-insurer", BANK), tmp_path / "proof", TODAY)
    assert originals(office, answered) == {"OR/dissolution"}
    bytes_out = held(tmp_path / "proof")
    assert word_of("WA/withdrawal").encode() not in bytes_out
    assert b"Washington" in bytes_out
    lines = json.loads((tmp_path / "proof" / "data" / "summary.json").read_text())["lines"]
    assert {line["scope"] for line in lines} == {"OR", "WA"}


def test_a_state_gets_its_own_papers_and_nothing_of_any_other(office: Office, tmp_path: Path) -> None:
    answered = answer(office, Order(COMPANY.slug, "state-notice", "Agency", "WA"), tmp_path / "proof", TODAY)
    out = {"OR/dissolution", "WA/withdrawal", "WA/account_closure"}
    assert originals(office, answered) == out
    bytes_out = held(tmp_path / "proof")
    for key in KEYS:
        assert (word_of(key).encode() in bytes_out) is (key in out)


@pytest.mark.ocr
def test_under_a_consent_a_return_goes_redacted_and_its_file_stays(office: Office, tmp_path: Path) -> None:
    bank = somebody()
    consent = record_consent(
        office, signed(signed_paper(office, file_number="1").id, recipient=bank, scopes=frozenset({"US"})), TODAY
    )
    answered = answer(office, Order(COMPANY.slug, "lender", bank), tmp_path / "proof", TODAY)
    forms = {item.expected.key: (item.form, item.consent) for item in answered.selection.included}
    assert forms["US/final_return"] == (Form.REDACTED, consent.id)
    assert "OR/final_return" not in forms
    assert originals(office, answered) == {"OR/dissolution", "WA/withdrawal"}
    bytes_out = held(tmp_path / "proof")
    for key in set(KEYS) - {"OR/dissolution", "WA/withdrawal"}:
        assert word_of(key).encode() not in bytes_out
    (reply,) = inquiry_named(office, answered.inquiry).replies
    assert reply.consents == (consent.id,)


ANY = """
id = "any"
title = "Proof for whoever asks"
intro = "What was asked."
reach = "everywhere"
hide = []
stays_out_otherwise = "Not asked for."
[[goes_in]]
kinds = ["dissolution", "withdrawal", "final_return", "final_k1", "ein_closure_letter"]
why = "Asked for."
"""


@settings(max_examples=5)
@given(
    kinds=st.frozensets(st.sampled_from([Kind.FINAL_RETURN, Kind.FINAL_K1, Kind.EIN_CLOSURE_LETTER]), min_size=1),
    scopes=st.frozensets(st.sampled_from(["US", "OR"])),
    members=st.frozensets(st.sampled_from(COMPANY.members)),
    signed_days_ago=st.sampled_from([1, 300, 400]),
    says_another_bank=st.booleans(),
)
def test_for_any_consent_the_bytes_hold_what_it_names_and_nothing_else(
    office: Office,
    tmp_path_factory: pytest.TempPathFactory,
    kinds: frozenset[Kind],
    scopes: frozenset[str],
    members: frozenset[str],
    signed_days_ago: int,
    *,
    says_another_bank: bool,
) -> None:
    (office.config.purposes / "any.toml").write_text(ANY)
    bank, folder = somebody(), tmp_path_factory.mktemp("any") / "proof"
    said = signed(
        next(paper.id for paper in office.vault.papers(COMPANY.slug) if paper.name == "company-other-.pdf"),
        recipient=f"{bank} and partners" if says_another_bank else bank,
        purpose="any",
        kinds=kinds,
        scopes=scopes,
        members=members,
        signed=TODAY - timedelta(days=signed_days_ago),
    )
    record_consent(office, said, TODAY)
    out = {"OR/dissolution", "WA/withdrawal"}
    if not says_another_bank and signed_days_ago <= 365:
        named = {key for key in KEYS if key.split("/")[1] in kinds and key.split("/")[0] in (scopes or {"US", "OR"})}
        out |= named - (set() if members == set(COMPANY.members) else {"US/final_k1"})
    answered = answer(office, Order(COMPANY.slug, "any", bank), folder, TODAY)
    assert originals(office, answered) == out
    bytes_out = held(folder)
    for key in KEYS:
        assert (word_of(key).encode() in bytes_out) is (key in out)


def test_every_bundle_is_tied_to_an_inquiry_with_its_hashes(office: Office, tmp_path: Path) -> None:
    order = Order(COMPANY.slug, "contract", "Contracting Officer, Example Agency")
    answered = answer(office, order, tmp_path / "proof", TODAY)
    inquiry = inquiry_named(office, answered.inquiry)
    (reply,) = inquiry.replies
    assert (inquiry.asker, inquiry.entity, inquiry.on) == (order.recipient, COMPANY.slug, TODAY)
    assert reply.manifest_sha256 == answered.made.manifest_sha256
    assert reply.pdf_sha256 == hashlib.sha256((tmp_path / "proof/data/proof-of-closure.pdf").read_bytes()).hexdigest()
    assert {paper.expected: paper.form for paper in reply.papers} == {"OR/dissolution": "full", "WA/withdrawal": "full"}
    entry = next(entry for entry in reversed(office.vault.journal()) if entry.action == "bundle-made")
    assert entry.details["inquiry"] == inquiry.id


def test_a_bundle_answers_the_inquiry_that_is_named(office: Office, tmp_path: Path) -> None:
    asked = open_inquiry(office, COMPANY.slug, BANK, "Is the company closed?", TODAY)
    made = answer(office, Order(COMPANY.slug, "contract", inquiry=asked.id), tmp_path / "proof", TODAY)
    assert made.inquiry == asked.id
    assert [reply.recipient for reply in inquiry_named(office, asked.id).replies] == [BANK]


def test_a_refused_answer_enters_no_inquiry_and_makes_nothing(tmp_path: Path) -> None:
    with closed_office(tmp_path / "office", "WA/withdrawal") as office:
        with pytest.raises(Refused, match="not proven"):
            answer(office, Order(COMPANY.slug, "lender", BANK), tmp_path / "proof", TODAY)
        assert office.vault.cards("inquiry") == ()
        assert office.vault.journal()[-1].action == "bundle-refused"
    assert not (tmp_path / "proof").exists()


def test_a_plan_makes_and_records_nothing(office: Office) -> None:
    before = len(office.vault.journal())
    planned = plan(office, Order(COMPANY.slug, "lender", BANK), TODAY, TODAY)
    assert [item.expected.key for item in planned.selection.included] == ["OR/dissolution", "WA/withdrawal"]
    assert len(office.vault.journal()) == before


def test_a_consent_has_to_hold_on_the_day_the_bundle_is_made(office: Office, tmp_path: Path) -> None:
    """Whatever day the state of the closing is told of: the disclosure is today's."""
    bank = somebody()
    said = signed(signed_paper(office, file_number="2").id, recipient=bank, signed=date(2025, 11, 20))
    record_consent(office, said, TODAY)
    held_then = TODAY - timedelta(days=30)
    assert plan(office, Order(COMPANY.slug, "lender", bank), held_then, held_then).used
    made = answer(office, Order(COMPANY.slug, "lender", bank), tmp_path / "proof", held_then)
    assert made.selection.consents == ()
    assert Kind.FINAL_RETURN in made.selection.with_consent


@pytest.mark.parametrize(
    ("order", "says"),
    [
        (Order(COMPANY.slug, "poetry", BANK), "no such purpose"),
        (Order("nobody", "lender", BANK), "no such entity"),
        (Order(COMPANY.slug, "lender", BANK, inquiry="9999"), "no such inquiry"),
        (Order(COMPANY.slug, "own-copy", BANK), "client alone"),
        (Order(COMPANY.slug, "state-notice", BANK), "one jurisdiction"),
    ],
)
def test_what_can_not_be_asked_is_misuse(office: Office, order: Order, says: str, tmp_path: Path) -> None:
    with pytest.raises(Misuse, match=says):
        answer(office, order, tmp_path / "proof", TODAY)
