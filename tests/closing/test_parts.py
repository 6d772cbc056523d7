"""A batch becomes the papers it holds, the file as received stays; a person can cut, join and take it back."""

import io
from collections.abc import Callable, Iterable
from pathlib import Path

import pikepdf
import pytest

from quietus.closing.covering import mark
from quietus.closing.intake import Fate, take_in
from quietus.closing.office import Office
from quietus.closing.parts import Part, counting, parts_of, same_pages, sources_of
from quietus.closing.register import keep_entities, read_register
from quietus.closing.repaging import join, make_whole, split
from quietus.closing.review import assign, confirm, correct, questions, reject
from quietus.model.errors import Misuse, Refused
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Box, PrivateSort
from quietus.vault import Vault, check_vault
from tests.closing.test_intake import put
from tests.conftest import ROOT, SCANS
from tests.reading.pages import Draft, packed, pdf_of, worn

BRINDLE, SALT = "Brindlewick Oven & Proofer Works LLC", "Saltmarsh Sheeter Supply LLC"


def filing(title: str, company: str, state: str, foot: str = "") -> Draft:
    """One page of a typed filing with the office's electronic mark."""
    page = Draft()
    page.text(1, 0.8, f"{state} Secretary of State")
    page.text(4.6, 1.1, "E-Filed 07/22/2026 10:41 AM")
    page.text(1, 1.6, title, 15, bold=True)
    page.text(1, 2.2, f"Name of the limited liability company: {company}")
    page.text(1, 2.6, "The company is dissolved by consent of all members and its affairs are wound up.")
    page.text(1, 8.0, "Signature                         Date signed: July 20, 2026")
    page.text(4, 10.5, foot)
    return page


def rest(foot: str = "") -> Draft:
    page = Draft()
    page.text(1, 1, "5. The address for process stays the one on record, and no action against the company is pending.")
    page.text(4, 10.5, foot)
    return page


BATCH = pdf_of(
    [
        filing("Articles of Dissolution", BRINDLE, "Oregon", "Page 1 of 2"),
        rest("Page 2 of 2"),
        filing("Statement of Withdrawal", SALT, "Washington"),
    ]
)


@pytest.fixture
def registered(office: Office) -> Office:
    keep_entities(office.vault, read_register(ROOT / "sample_docs" / "entities.toml", 100_000))
    return office


def taken(office: Office, data: bytes = BATCH, name: str = "batch.pdf") -> tuple[Paper, ...]:
    put(office, name, data)
    (outcome,) = take_in(office)
    assert outcome.fate is Fate.FILED
    return outcome.papers


def whole_of(office: Office, part: Paper) -> Paper:
    (source,) = sources_of(office, part.id)
    return office.vault.paper(source.paper)


def ids(papers: Iterable[Paper]) -> list[str]:
    return [paper.id for paper in papers]


def counted(office: Office) -> list[str]:
    return sorted(paper.id for paper in office.vault.papers() if paper.standing is not Standing.REPLACED)


def test_each_paper_of_a_batch_is_filed_where_it_belongs_and_the_file_stays(registered: Office) -> None:
    first, second = taken(registered)
    assert (first.entity, first.expected, first.pages) == ("brindlewick-oven", "OR/dissolution", 2)
    assert (second.entity, second.expected, second.pages) == ("saltmarsh-sheeter", "WA/withdrawal", 1)
    assert (first.name, second.name) == ("batch.pdf pages 1-2", "batch.pdf page 3")
    assert second.reading["kind"].page == 1
    assert [page.number for page in second.reading.pages] == [1]
    with pikepdf.open(io.BytesIO(registered.vault.paper_bytes(second.id, "test"))) as pdf:
        assert len(pdf.pages) == 1
    whole = whole_of(registered, first)
    assert registered.vault.paper_bytes(whole.id, "test") == BATCH
    assert (whole.standing, whole.expected, whole.waits) == (Standing.REPLACED, "", False)
    assert parts_of(registered, whole.id) == (Part(first.id, (1, 2)), Part(second.id, (3,)))
    assert ids(counting(registered, whole)) == ids((first, second))
    assert registered.vault.homeless() == ()
    assert same_pages(registered, first.id) == (whole.id,)
    assert same_pages(registered, whole.id) == tuple(sorted(ids((first, second))))


def test_a_batch_or_a_paper_of_it_that_comes_again_is_filed_once(registered: Office) -> None:
    first, second = taken(registered)
    put(registered, "again.pdf", BATCH)
    (outcome,) = take_in(registered)
    assert outcome.fate is Fate.REPEAT
    assert ids(outcome.papers) == ids((first, second))
    pages = [filing("Statement of Withdrawal", SALT, "Washington"), filing("Articles of Dissolution", SALT, "Oregon")]
    again = taken(registered, pdf_of(pages), "other.pdf")
    assert again[0].id == second.id
    assert len(sources_of(registered, second.id)) == 2
    assert len(registered.vault.papers()) == 5


def test_a_fault_while_filing_parts_leaves_nothing_and_loses_nothing(
    registered: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = put(registered, "batch.pdf", BATCH)
    honest, calls = Vault.file_paper, []

    def failing(vault: Vault, data: bytes, **more: object) -> Paper:
        calls.append(data)
        if len(calls) == 3:
            raise OSError("the power went")
        return honest(vault, data, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Vault, "file_paper", failing)
    with pytest.raises(OSError, match="power"):
        take_in(registered)
    assert registered.vault.papers() == ()
    assert file.read_bytes() == BATCH
    monkeypatch.undo()
    assert len(take_in(registered)[0].papers) == 2
    assert len(registered.vault.papers()) == 3
    assert check_vault(registered.vault).problems == ()


def test_a_person_takes_a_paper_apart(registered: Office) -> None:
    first, _ = taken(registered)
    for at in ([], [1], [4], [0, 2]):
        with pytest.raises(Misuse, match="begins"):
            split(registered, first.id, at)
    one, two = split(registered, first.id, [2])
    assert registered.vault.paper(first.id).standing is Standing.REPLACED
    assert (one.expected, one.name) == ("OR/dissolution", "batch.pdf pages 1-2 page 1")
    assert two.standing is Standing.UNASSIGNED
    assert two in [question.paper for question in questions(registered)]


def test_a_divided_file_becomes_one_paper_again_and_can_be_cut_anew(registered: Office) -> None:
    first, second = taken(registered)
    whole = whole_of(registered, first)
    correct(registered, second.id, {"filing_date": "2026-07-23"})
    one = make_whole(registered, second.id)
    assert one.id == whole.id
    assert counted(registered) == [one.id]
    assert one.pages == 3
    again = split(registered, one.id, [3])
    assert [paper.id for paper in again] == [first.id, second.id]
    assert counted(registered) == sorted(ids((first, second)))
    assert again[1].reading.text("filing_date") == "2026-07-23"


def test_one_paper_that_came_in_two_files_is_put_together(registered: Office) -> None:
    (first,) = taken(registered, pdf_of([filing("Articles of Dissolution", BRINDLE, "Oregon")]), "one.pdf")
    (second,) = taken(registered, packed([rest().picture(100)], "jpeg", 100), "two.jpg")
    with pytest.raises(Misuse, match="taken apart"):
        make_whole(registered, first.id)
    paper = join(registered, [first.id, second.id])
    assert (paper.entity, paper.expected, paper.pages) == ("brindlewick-oven", "OR/dissolution", 2)
    assert counted(registered) == [paper.id]
    assert sources_of(registered, paper.id) == tuple(
        sorted((Part(first.id, (1,)), Part(second.id, (1,))), key=lambda part: part.paper)
    )
    with pytest.raises(Refused, match="filed as other papers"):
        join(registered, [first.id, paper.id])
    with pytest.raises(Misuse):
        join(registered, [paper.id, paper.id])


@pytest.mark.ocr
def test_a_scanned_batch_of_two_closings_is_filed(registered: Office, tmp_path: Path) -> None:
    batch = tmp_path / "batch.pdf"
    with pikepdf.new() as made:
        for name in (
            "b01-or-articles-of-dissolution.pdf",
            "a01-or-articles-of-dissolution.pdf",
            "b05-member-consent.pdf",
        ):
            with pikepdf.open(SCANS / name) as one:
                made.pages.extend(one.pages)
        made.save(batch)
    papers = taken(registered, batch.read_bytes())
    assert [(paper.entity, paper.expected) for paper in papers] == [
        ("saltmarsh-sheeter", "OR/dissolution"),
        ("brindlewick-oven", "OR/dissolution"),
        ("saltmarsh-sheeter", "company/consent"),
    ]


@pytest.mark.ocr
def test_a_fax_of_several_papers_is_filed_page_by_page(registered: Office) -> None:
    pages = [
        filing("Articles of Dissolution", BRINDLE, "Oregon"),
        filing("Statement of Withdrawal", SALT, "Washington"),
    ]
    data = packed([worn(page.picture(200), 5) for page in pages], "fax", 200)
    first, second = taken(registered, data, "fax.tif")
    assert (first.media_type, first.entity, second.entity) == ("image/tiff", "brindlewick-oven", "saltmarsh-sheeter")


def test_places_marked_by_hand_stay_covered_whatever_paper_their_page_is_part_of(registered: Office) -> None:
    box = Box(0.5, 0.9, 0.6, 0.95)

    def covered(paper: Paper) -> list[int]:
        spots = registered.vault.paper(paper.id).reading.private
        return [spot.page for spot in spots if (spot.box, spot.sort) == (box, PrivateSort.SSN)]

    first, second = taken(registered)
    whole = whole_of(registered, first)
    mark(registered, first.id, 2, box, PrivateSort.SSN)
    mark(registered, second.id, 1, box, PrivateSort.SSN)
    assert covered(make_whole(registered, whole.id)) == [2, 3]
    one, rest_ = split(registered, whole.id, [2])
    assert (covered(one), covered(rest_)) == ([], [1, 2])
    assert covered(join(registered, (rest_.id, one.id))) == [1, 2]
    make_whole_again = [registered.vault.paper(i) for i in (one.id, rest_.id)]
    assert all(paper.standing is Standing.REPLACED for paper in make_whole_again)


def test_a_file_that_was_taken_apart_cannot_be_settled(registered: Office) -> None:
    whole = whole_of(registered, taken(registered)[0])
    settlings: tuple[Callable[[], Paper], ...] = (
        lambda: confirm(registered, whole.id),
        lambda: correct(registered, whole.id, {"ein": "07-4418230"}),
        lambda: assign(registered, whole.id, "brindlewick-oven"),
        lambda: reject(registered, whole.id, "a copy"),
    )
    for settle in settlings:
        with pytest.raises(Refused, match="filed as other papers"):
            settle()
    assert registered.vault.paper(whole.id).standing is Standing.REPLACED
