"""The bundle as a whole: whole or not at all, the same bytes each time, and page numbers that are true."""

import hashlib
import json
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pikepdf
import pypdfium2 as pdfium
import pytest

from quietus.bundle.build import build_bundle
from quietus.bundle.request import BundleRequest
from quietus.model.entity import Registration
from quietus.model.errors import Damaged, Misuse, Refused, Unreadable
from quietus.model.findings import Code, Mark, Waiver
from quietus.model.limits import Limits
from tests.bundle.looking import everything, pages_of, proof, words
from tests.bundle.make import (
    COMPANY_B,
    JPEG,
    PDF,
    TIFF,
    as_received,
    big,
    complete,
    fax,
    finding,
    line,
    paper,
    request,
    scan,
    typed_pdf,
    value,
    with_value,
)

ODD = 'Ash #set [b] $x^2$ @ref \\n "Q" *bold* _it_ `raw` <lab> {y} ~ // = + - & Söhne LLC'


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "bundle"
    build_bundle(complete(), folder)
    return folder


def with_gaps(**more: Any) -> BundleRequest:
    """Company B with a draft, a clearance that ran out, and nothing from one jurisdiction."""
    home = typed_pdf("Articles")
    a, draft = paper("OR/dissolution", home), paper("WA/withdrawal", b"never opened")
    clearance = scan(JPEG)
    c = with_value(paper("TN/clearance", clearance, JPEG), valid_until=value("2026-04-01"))
    lines = [
        line("OR/dissolution", a),
        replace(
            line("OR/publication_affidavit", mark=Mark.WAIVED),
            waiver=Waiver("x", "OR/publication_affidavit", ODD, "Stat. 1", "D. Quill", date(2026, 8, 1)),
        ),
        line("WA/withdrawal", draft, mark=Mark.FAULT),
        line("TN/clearance", c, mark=Mark.FAULT),
        line("NJ/withdrawal"),
        line("US/final_return"),
    ]
    findings = [
        finding(Code.NO_OFFICE_MARK, "WA/withdrawal", draft),
        finding(Code.CLEARANCE_EXPIRED, "TN/clearance", c),
        finding(Code.MISSING_JURISDICTION, "NJ/withdrawal", scope="NJ"),
        finding(Code.MISSING_PAPER, "US/final_return"),
    ]
    entity = replace(COMPANY_B, registrations=(*COMPANY_B.registrations, Registration("NJ")))
    return request(lines, [(a, home), (c, clearance), (draft, b"never opened")], findings, entity=entity, **more)


def test_gaps_are_refused_unless_they_are_to_be_shown(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"^3 things") as caught:
        build_bundle(with_gaps(), tmp_path / "bundle")
    assert "--show-gaps" in caught.value.remedy
    assert list(tmp_path.iterdir()) == []


def test_gaps_are_shown_openly_and_nothing_else_is_told(tmp_path: Path) -> None:
    made = build_bundle(with_gaps(show_gaps=True), tmp_path / "bundle")
    text = "\n".join(pages_of(proof(made.path)))
    assert made.gaps == 3
    assert "Not complete: 3 gaps, in Washington, Tennessee and New Jersey." in text
    assert "Nothing is on file for this jurisdiction." in text
    assert "Valid until" in text or "VALID UNTIL" in text
    assert "PREPARER ALONE" not in text
    summary = json.loads((made.path / "data" / "summary.json").read_text())
    assert summary["complete"] is False
    assert len(summary["gaps"]) == 3
    assert {entry["scope"] for entry in summary["lines"]} == {"OR", "WA", "TN", "NJ"}


def test_a_paper_that_stays_is_never_asked_for(tmp_path: Path) -> None:
    asked: list[str] = []
    wanted = complete()

    def original(paper_id: str) -> bytes:
        asked.append(paper_id)
        return wanted.original(paper_id)

    build_bundle(replace(wanted, original=original), tmp_path / "bundle")
    assert asked == [item.paper.id for item in wanted.selection.included]


def test_nothing_but_the_purpose_is_in_the_bytes(whole: Path) -> None:
    secrets = ["SECRETRETURN", "08-3307915", "Hollowbrook", "Tattersley", "scan0007", "Form 1065"]
    texts = [words(proof(whole)).encode(), *(content for _, content in everything(proof(whole)))]
    texts += [path.read_bytes() for path in whole.rglob("*") if path.suffix in {".json", ".txt"}]
    assert not [word for word in secrets for text in texts if word.encode() in text]


def test_the_same_request_gives_the_same_bytes(whole: Path, tmp_path: Path) -> None:
    build_bundle(complete(), tmp_path / "again")
    files = sorted(path.relative_to(whole) for path in whole.rglob("*") if path.is_file())
    assert files == sorted(p.relative_to(tmp_path / "again") for p in (tmp_path / "again").rglob("*") if p.is_file())
    assert [name for name in files if (whole / name).read_bytes() != (tmp_path / "again" / name).read_bytes()] == []


def test_every_page_says_its_true_number(whole: Path) -> None:
    pages = pages_of(proof(whole))
    assert [f"Page {n} of {len(pages)}" in text for n, text in enumerate(pages, start=1)] == [True] * len(pages)


def test_every_exhibit_page_is_stamped_with_exhibit_and_page(whole: Path) -> None:
    pages = pages_of(proof(whole))
    fax_pages = [n for n, text in enumerate(pages, start=1) if "Exhibit C · page" in text]
    assert [re.search(r"Page \d+ of \d+ · Exhibit C · page (\d) of 2", pages[n - 1])[1] for n in fax_pages] == [  # type: ignore[index]
        "1",
        "2",
    ]


def slip_sheets(pages: list[str]) -> dict[str, int]:
    found = {}
    for number, text in enumerate(pages, start=1):
        match = re.match(r"EXHIBIT\n([A-Z])\n", text)
        if match:
            found[match[1]] = number
    return found


def test_links_page_numbers_and_bookmarks_all_lead_to_the_slip_sheet(whole: Path) -> None:
    pages = pages_of(proof(whole))
    slips = slip_sheets(pages)
    assert sorted(slips) == ["A", "B", "C", "D"]
    with pikepdf.open(proof(whole)) as pdf:
        names = pikepdf.NameTree(pdf.Root.Names.Dests)
        numbers = {page.obj.objgen: n for n, page in enumerate(pdf.pages, start=1)}
        leads = {str(name)[-1]: numbers[target[0].objgen] for name, target in names.items() if "exhibit" in name}
        linked = [str(note.Dest)[-1] for page in pdf.pages for note in page.obj.get("/Annots", [])]
        with pdf.open_outline() as outline:
            marks = {item.title: numbers[item.destination[0].objgen] for item in outline.root}  # type: ignore[index]
    assert leads == slips
    assert {letter: linked.count(letter) >= 3 for letter in slips} == dict.fromkeys(slips, True)
    assert {title[8]: number for title, number in marks.items() if title.startswith("Exhibit ")} == slips
    for letter, number in slips.items():
        assert f"{letter}, p. {number}" in pages[1].replace("\xa0", " ")
    summary = json.loads((whole / "data" / "summary.json").read_text())
    assert {e["letter"]: e["slip_sheet_page"] for e in summary["exhibits"]} == slips


def test_the_slip_sheet_tells_hash_and_how_the_date_was_read(whole: Path) -> None:
    pages = pages_of(proof(whole))
    slip = pages[slip_sheets(pages)["A"] - 1]
    original = (whole / "data" / "originals" / "01-dissolution-OR.pdf").read_bytes()
    assert hashlib.sha256(original).hexdigest() in slip
    assert "Read from the office's stamp, page 1: “FILED APR 14 2026”" in slip
    assert "It is not a copy attested by the office." in slip


def test_nothing_is_claimed_that_only_an_office_or_a_court_may_say(whole: Path) -> None:
    text = "\n".join(pages_of(proof(whole))) + (whole / "VERIFY.txt").read_text()
    assert not re.search(r"certified|admissible|authenticated", text, re.IGNORECASE)


def test_the_caution_stands_on_the_first_page(whole: Path) -> None:
    assert "not legal or tax advice" in pages_of(proof(whole))[0]


def test_names_come_out_to_the_letter(tmp_path: Path) -> None:
    wanted = complete(entity=replace(COMPANY_B, name=ODD), recipient=f"To {ODD}", prepared_by=f"By {ODD}")
    build_bundle(wanted, tmp_path / "bundle")
    text = pages_of(proof(tmp_path / "bundle"))[0].replace("\n", " ")
    assert {prefix + ODD in text for prefix in ("Proof of closure · ", "To ", "By ")} == {True}
    with pikepdf.open(proof(tmp_path / "bundle")) as pdf:
        assert str(pdf.docinfo.Title) == f"Proof of closure: {ODD}"
        assert str(pdf.docinfo.Creator) == "quietus 0.1.0"
        assert str(pdf.Root.Lang) == "en-US"


def test_control_characters_and_reversing_marks_do_not_get_in(tmp_path: Path) -> None:
    build_bundle(complete(prepared_by="Firm\x07\nPayload-Oxum: 1.1", recipient="Bank \u202eknaB"), tmp_path / "bundle")
    assert "Bank knaB" in pages_of(proof(tmp_path / "bundle"))[0]
    labels = [row.split(":")[0] for row in (tmp_path / "bundle" / "bag-info.txt").read_text().splitlines()]
    assert labels.count("Payload-Oxum") == 1


def test_a_very_long_name_breaks_and_stays_on_the_page(tmp_path: Path) -> None:
    wanted = complete(entity=replace(COMPANY_B, name="Longworth & Sons " * 14 + "LLC"))
    made = build_bundle(wanted, tmp_path / "bundle")
    for page in pdfium.PdfDocument(proof(made.path)):
        image = page.render(scale=1).to_pil().convert("L")
        assert image.crop((600, 0, 612, 792)).getextrema() == (255, 255)


def test_a_sideways_page_is_shown_upright_and_said_so(tmp_path: Path) -> None:
    data = typed_pdf("wide", size=(792, 612))
    p = paper("OR/dissolution", data, turn=90)
    made = build_bundle(request([line("OR/dissolution", p)], [(p, data)]), tmp_path / "bundle")
    pdf = pdfium.PdfDocument(proof(made.path))
    assert pdf[made.pages - 1].get_size() == (612, 792)
    assert "turned upright here" in pages_of(proof(made.path))[made.pages - 2]


def test_a_wide_page_gets_a_wide_sheet(tmp_path: Path) -> None:
    data = typed_pdf("wide", size=(792, 612))
    p = paper("OR/dissolution", data)
    made = build_bundle(request([line("OR/dissolution", p)], [(p, data)]), tmp_path / "bundle")
    assert pdfium.PdfDocument(proof(made.path))[made.pages - 1].get_size() == (792, 612)


def test_two_papers_of_one_file_share_its_original(tmp_path: Path) -> None:
    data = fax(pages=2)
    both = [paper(key, data, TIFF, pages=2) for key in ("OR/dissolution", "WA/withdrawal")]
    halves = [
        replace(p, reading=replace(p.reading, pages=(replace(p.reading.pages[0], number=n),)))
        for n, p in enumerate(both, start=1)
    ]
    wanted = request([line(p.expected, p) for p in halves], [(p, data) for p in halves])
    made = build_bundle(wanted, tmp_path / "bundle")
    assert [p.name for p in (made.path / "data" / "originals").iterdir()] == ["01-dissolution-OR.tif"]
    assert len([page for page in pages_of(proof(made.path)) if " · page 1 of 1" in page]) == 2


def test_a_bundle_without_any_paper_shows_its_gaps_alone(tmp_path: Path) -> None:
    made = build_bundle(request([line("OR/dissolution")], [], show_gaps=True), tmp_path / "bundle")
    assert "No paper could be shown." in "\n".join(pages_of(proof(made.path)))


def test_a_state_sees_its_own_papers_alone(tmp_path: Path) -> None:
    lender = complete()
    papers = [(i.paper, lender.original(i.paper.id)) for i in lender.selection.included]
    wanted = request([i.line for i in lender.selection.included], papers, purpose="state-notice", jurisdiction="WA")
    made = build_bundle(wanted, tmp_path / "bundle")
    assert "Tennessee" not in "\n".join(pages_of(proof(made.path))) + (made.path / "data" / "summary.json").read_text()
    names = sorted(p.name for p in (made.path / "data" / "originals").iterdir())
    assert names == ["01-dissolution-OR.pdf", "02-withdrawal-WA.jpg"]


@pytest.mark.parametrize("zipped", [False, True])
def test_what_exists_is_not_touched(zipped: bool, tmp_path: Path) -> None:
    taken = tmp_path / ("bundle.zip" if zipped else "bundle")
    taken.mkdir()
    with pytest.raises(Misuse):
        build_bundle(complete(), tmp_path / "bundle", zipped=zipped)
    assert list(taken.iterdir()) == []


def test_a_parent_that_does_not_exist_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(Misuse):
        build_bundle(complete(), tmp_path / "none" / "bundle")


def test_an_original_that_changed_is_damage(tmp_path: Path) -> None:
    with pytest.raises(Damaged):
        build_bundle(replace(complete(), original=lambda _: b"other"), tmp_path / "bundle")
    assert list(tmp_path.iterdir()) == []


def test_a_zip_holds_the_same_files_as_the_folder(whole: Path, tmp_path: Path) -> None:
    made = build_bundle(complete(), tmp_path / "bundle", zipped=True)
    assert made.path == tmp_path / "bundle.zip"
    subprocess.run([sys.executable, "-m", "zipfile", "-e", str(made.path), str(tmp_path / "out")], check=True)
    for path in (p for p in whole.rglob("*") if p.is_file()):
        assert (tmp_path / "out" / "bundle" / path.relative_to(whole)).read_bytes() == path.read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bundle.zip", "out"]


def test_the_result_names_what_was_sent(whole: Path, tmp_path: Path) -> None:
    made = build_bundle(complete(), tmp_path / "bundle")
    manifest = (made.path / "manifest-sha256.txt").read_bytes()
    pdf = proof(made.path).read_bytes()
    assert (made.manifest_sha256, made.pdf_sha256) == (
        hashlib.sha256(manifest).hexdigest(),
        hashlib.sha256(pdf).hexdigest(),
    )
    assert (made.exhibits, made.gaps) == (4, 0)


def test_progress_counts_pages(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    build_bundle(complete(), tmp_path / "bundle", progress=lambda done, of: told.append((done, of)))
    assert told[-1] == (5, 5)
    assert told == sorted(told)


def test_a_paper_that_takes_too_much_is_given_up_and_named(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match=r"exhibit A \(paper") as caught:
        build_bundle(as_received(complete(limits=Limits(child_seconds=0.01, page_seconds=0))), tmp_path / "bundle")
    assert caught.value.reason == "took-too-long"
    assert list(tmp_path.iterdir()) == []


MEASURED = """
import re, sys
from pathlib import Path
from quietus.bundle.apart import main
main(Path(sys.argv[1]))
peak = re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1]
Path(sys.argv[2]).write_text(peak)
"""


def peak_of(kind: str, pages: int, folder: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Bytes of a paper of `pages` pages, and the most memory its bundle's process took, in bytes."""
    folder.mkdir()
    monkeypatch.setattr(
        "quietus.bundle.child.command",
        lambda job: [sys.executable, "-c", MEASURED, str(job), str(folder / "peak")],
    )
    data = big(kind, pages)
    p = paper("OR/dissolution", data, kind, pages=pages)
    made = build_bundle(request([line("OR/dissolution", p)], [(p, data)]), folder / "bundle")
    assert f"page {pages} of {pages}" in pages_of(proof(made.path))[-1]
    return len(data), int((folder / "peak").read_text()) << 10


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="peak memory of a process is read from /proc")
@pytest.mark.parametrize(("kind", "pages"), [(PDF, 300), (TIFF, 130)])
def test_many_pages_are_laid_in_without_holding_them_in_memory(
    kind: str, pages: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Libraries and typesetter alone take 130 MB, more or less with the allocator's mood: only the growth tells.
    few, few_peak = peak_of(kind, pages // 10, tmp_path / "few", monkeypatch)
    many, many_peak = peak_of(kind, pages, tmp_path / "many", monkeypatch)
    assert many - few > 75 << 20
    assert many_peak - few_peak < (many - few) // 2


def test_modules_that_lie_about_are_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "pikepdf.py").write_text("raise SystemExit('taken')")
    monkeypatch.chdir(tmp_path)
    assert build_bundle(complete(), tmp_path / "bundle").exhibits == 4


def test_a_child_that_dies_leaves_nothing_and_says_how_far_it_came(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    died = "import os, sys, pathlib; (pathlib.Path(sys.argv[1]) / 'tally').write_bytes(b'..'); os.abort()"
    monkeypatch.setattr("quietus.bundle.child.command", lambda folder: [sys.executable, "-c", died, str(folder)])
    with pytest.raises(Unreadable, match=r"exhibit C \(paper") as caught:
        build_bundle(as_received(complete()), tmp_path / "bundle")
    assert caught.value.reason == "crashed-the-reader"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "answer", ["", "[]", '{"pages": "x", "starts": [1]}', '{"reason": 3}', '{"pages": 9, "starts": [1]}']
)
def test_an_answer_that_makes_no_sense_is_not_believed(
    answer: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lying = f"import sys, pathlib; (pathlib.Path(sys.argv[1]) / 'result.json').write_text({answer!r})"
    monkeypatch.setattr("quietus.bundle.child.command", lambda folder: [sys.executable, "-c", lying, str(folder)])
    with pytest.raises(Unreadable):
        build_bundle(complete(), tmp_path / "bundle")


def test_the_child_does_not_see_the_passphrase(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUIETUS_PASSPHRASE", "SECRETPHRASE")
    monkeypatch.setenv("HARMLESS", "seen")
    telling = (
        "import json, os, pathlib, sys; answer = dict(reason='x', message=repr(dict(os.environ)), remedy='');"
        "(pathlib.Path(sys.argv[1]) / 'result.json').write_text(json.dumps(answer))"
    )
    monkeypatch.setattr("quietus.bundle.child.command", lambda folder: [sys.executable, "-c", telling, str(folder)])
    with pytest.raises(Unreadable, match="HARMLESS") as caught:
        build_bundle(complete(), tmp_path / "bundle")
    assert "SECRETPHRASE" not in caught.value.message
