"""Places marked by hand are covered like those that reading found."""

from collections.abc import Iterator

import pytest

from quietus.bundle.purposes import Form
from quietus.closing.answer import Order, plan
from quietus.closing.covering import mark, unmark
from quietus.closing.office import Office
from quietus.model.errors import Misuse
from quietus.model.reading import Box, PrivateSort, PrivateSpot
from tests.closing.answering import BANK, COMPANY, TODAY, closed_office

PLACE = Box(0.1, 0.2, 0.45, 0.24)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with closed_office(tmp_path_factory.mktemp("covering") / "office") as opened:
        yield opened


@pytest.fixture(scope="module")
def deed(office: Office) -> str:
    return next(paper.id for paper in office.vault.papers(COMPANY.slug) if paper.expected == "OR/dissolution")


def form(office: Office) -> Form:
    planned = plan(office, Order(COMPANY.slug, "lender", BANK), TODAY, TODAY)
    return next(item.form for item in planned.selection.included if item.expected.key == "OR/dissolution")


def test_a_place_marked_by_hand_has_the_paper_go_out_redacted_until_it_is_taken_back(office: Office, deed: str) -> None:
    assert form(office) is Form.FULL
    marked = mark(office, deed[:8], 1, PLACE, PrivateSort.HOME_ADDRESS)
    assert marked.reading.private == (PrivateSpot(1, PLACE, PrivateSort.HOME_ADDRESS),)
    assert (marked.expected, marked.reading.values) == ("OR/dissolution", office.vault.readings(deed)[0][2].values)
    assert form(office) is Form.REDACTED
    assert unmark(office, deed, 1, "The office's own address.").reading.private == ()
    assert form(office) is Form.FULL
    entry = office.vault.journal()[-1]
    assert (entry.action, entry.details["why"]) == ("paper-reread", "a mark taken back: The office's own address.")
    assert len(office.vault.readings(deed)) == 3


@pytest.mark.parametrize(
    ("page", "box"),
    [
        (0, PLACE),
        (2, PLACE),
        (1, Box(0.5, 0.2, 0.4, 0.3)),
        (1, Box(0.1, 0.2, 1.1, 0.3)),
        (1, Box(0.1, float("nan"), 1, 1)),
    ],
)
def test_what_is_no_place_on_the_paper_is_not_marked(office: Office, deed: str, page: int, box: Box) -> None:
    with pytest.raises(Misuse):
        mark(office, deed, page, box, PrivateSort.SSN)


def test_a_mark_is_taken_back_with_a_reason_alone(office: Office, deed: str) -> None:
    mark(office, deed, 1, PLACE, PrivateSort.SSN)
    with pytest.raises(Misuse, match="reason"):
        unmark(office, deed, 1, " ")
    with pytest.raises(Misuse, match="no such mark"):
        unmark(office, deed, 2, "x")
