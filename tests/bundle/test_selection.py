"""Least disclosure: what goes out, what stays, and which gaps are told."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quietus.bundle.drafts.consent_rules import needs_consent
from quietus.bundle.gap_words import SAYS
from quietus.bundle.purposes import EVERY_SORT, Form, Purpose, load_purposes
from quietus.bundle.selection import Selection, select
from quietus.model.consent import Consent, Filer, Permission
from quietus.model.errors import Misuse
from quietus.model.expected import Need
from quietus.model.findings import Code, Line, Mark
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Box, PageView, PrivateSort, PrivateSpot
from tests.bundle.make import finding, line, paper, value, verdict, with_value

PURPOSES = load_purposes()
HOME = paper("OR/dissolution", b"home")
WEST = paper("WA/withdrawal", b"west")
RETURN = paper("US/final_return", b"return")
CONSENT = paper("company/consent", b"consent")
LINES = [line(p.expected, p) for p in (HOME, WEST, RETURN, CONSENT)]


def chosen(selection: Selection) -> list[str]:
    return [item.paper.id for item in selection.included]


def reason(selection: Selection, about: Paper) -> str:
    return next(left.reason for left in selection.left_out if left.paper == about.id)


def lender(*papers: Paper, lines: list[Line] | None = None) -> Selection:
    return select(PURPOSES["lender"], verdict(LINES if lines is None else lines), papers)


def test_papers_go_out_in_matrix_order_and_the_rest_is_explained() -> None:
    selection = lender(RETURN, WEST, CONSENT, HOME)
    assert chosen(selection) == [HOME.id, WEST.id]
    assert "7216" in reason(selection, RETURN)
    assert "members" in reason(selection, CONSENT)
    assert selection.gaps == ()


scopes = st.sampled_from(["OR", "WA", "TN", "US", "company"])
kinds = st.sampled_from(list(Kind))


@st.composite
def papers(draw: st.DrawFn) -> Paper:
    scope, kind = draw(scopes), draw(kinds)
    made = paper(f"{scope}/{kind.value}", draw(st.binary(max_size=3)))
    made = with_value(
        made,
        kind=value(draw(st.one_of(st.just(kind), kinds)).value, review=draw(st.booleans())),
        jurisdiction=value(draw(st.one_of(st.just(scope), scopes))),
    )
    pages = draw(st.integers(1, 2))
    views = tuple(PageView(n, 0, 0.0, "", "ocr") for n in range(1, draw(st.integers(0, pages)) + 1))
    return replace(
        made,
        pages=pages,
        standing=draw(st.sampled_from(Standing)),
        entity=draw(st.sampled_from([made.entity, "somebody-else", ""])),
        reading=replace(made.reading, pages=views),
    )


def consent(**more: object) -> Consent:
    said: dict[str, object] = {
        "id": "0001",
        "entity": HOME.entity,
        "taxpayer": "Saltmarsh Sheeter Supply LLC",
        "filer": Filer.BUSINESS,
        "recipient": "First Example Bank",
        "purpose": "lender",
        "kinds": frozenset({Kind.FINAL_RETURN}),
        "scopes": frozenset(),
        "years": frozenset(),
        "members": frozenset(),
        "signer": "Ines Hollowbrook",
        "signed": date(2026, 11, 1),
        "until": date(2027, 10, 31),
        "paper": "0" * 32,
    }
    return Consent(**{**said, **more})  # type: ignore[arg-type]


@st.composite
def permissions(draw: st.DrawFn, purpose: Purpose) -> Permission:
    """What zero to two consents that hold let out; of members one or both signed."""
    if purpose.to_taxpayer:
        return Permission(taxpayer=True)
    sets = st.frozensets
    good = [
        consent(
            id=str(number),
            kinds=draw(sets(kinds, max_size=5)),
            scopes=draw(sets(scopes, max_size=2)),
            years=draw(sets(st.sampled_from([2025, 2026]), max_size=2)),
            members=draw(sets(st.sampled_from("AB"), max_size=2)),
        )
        for number in range(draw(st.integers(0, 2)))
    ]
    return Permission(good=tuple(good), own=frozenset({Kind.FINAL_K1}), members=frozenset("AB"))


def told(permission: Permission, scope: str, kind: Kind, year: int | None) -> set[str]:
    """The consents that name a paper, told from what the regulation says, by other words than the code's."""
    return {
        one.id
        for one in permission.good
        if kind in one.kinds
        and scope in (one.scopes or {scope})
        and year in (one.years or {year})
        and (kind is not Kind.FINAL_K1 or one.members == frozenset("AB"))
    }


@given(st.lists(papers(), max_size=12, unique_by=lambda p: p.id), st.sampled_from(sorted(PURPOSES)), st.data())
def test_nothing_outside_purpose_and_consent_ever_goes_out(found: list[Paper], name: str, data: st.DataObject) -> None:
    purpose = PURPOSES[name]
    permission = data.draw(permissions(purpose))
    keys = list(dict.fromkeys([*(p.expected for p in found), "WA/withdrawal"]))
    marks = data.draw(st.lists(st.sampled_from(Mark), min_size=len(keys), max_size=len(keys)))
    lines = [
        line(key, *(p for p in found if p.expected == key), mark=mark) for key, mark in zip(keys, marks, strict=True)
    ]
    asked = "WA" if name == "state-notice" else ""
    selection = select(purpose, verdict(lines), found, asked, permission)
    for item in selection.included:
        kind, scope = Kind(item.paper.reading.text("kind") or ""), item.expected.scope
        assert kind is item.expected.kind
        assert purpose.covers(scope, kind, asked)
        assert item.paper.reading.text("jurisdiction") == scope or scope == "company"
        assert (item.paper.standing, item.paper.entity) == (Standing.FILED, "saltmarsh-sheeter")
        assert not item.paper.reading.doubts
        assert item.form in {purpose.goes_in[kind].form, Form.REDACTED}
        if kind in needs_consent() and not purpose.to_taxpayer:
            end = item.paper.reading.day("period_end")
            assert item.consent in told(permission, scope, kind, end.year if end else None)
        if item.form is Form.FULL:
            assert not {spot.sort for spot in item.paper.reading.private} & purpose.goes_in[kind].hide
        if item.form is Form.REDACTED:
            assert item.hide == purpose.goes_in[kind].hide
    out: dict[str, set[int]] = {p.sha256: set() for p in found}
    whole = [item for item in selection.included if item.form is Form.FULL]
    for item in whole:
        out[item.paper.sha256] |= {view.number for view in item.paper.reading.pages} or set(
            range(1, item.paper.pages + 1)
        )
    for item in whole:
        assert out[item.paper.sha256] == set(range(1, item.paper.pages + 1))
    assert {p.id for p in found} == {left.paper for left in selection.left_out} | set(chosen(selection))
    assert len(selection.left_out) + len(selection.included) == len(found)
    for shown_line in selection.lines:
        kind, scope = shown_line.expected.kind, shown_line.expected.scope
        if kind in needs_consent() and not purpose.to_taxpayer:
            assert any(told(permission, scope, kind, year) for year in (2025, 2026, None))


@given(st.lists(papers(), max_size=8, unique_by=lambda p: p.sha256), st.sampled_from(sorted(PURPOSES)))
def test_without_a_consent_a_bundle_is_the_same_whatever_returns_are_on_file(found: list[Paper], name: str) -> None:
    """What needs a consent leaves no trace, in no line, gap or word: whether it is there is tax-return information."""
    purpose = PURPOSES[name]
    asked = "WA" if name == "state-notice" else ""
    if purpose.to_taxpayer:
        return
    kept = [paper for paper in found if Kind(paper.expected.split("/")[1]) not in needs_consent()]
    keys = dict.fromkeys([*(paper.expected for paper in found), "WA/withdrawal"])
    both = []
    for some in (found, kept):
        lines = [line(key, *(p for p in some if p.expected == key)) for key in keys]
        selection = select(purpose, verdict(lines), some, asked)
        both.append((selection.lines, selection.included, selection.gaps, selection.with_consent))
    assert both[0] == both[1]


@pytest.mark.parametrize("standing", [Standing.REJECTED, Standing.UNASSIGNED])
def test_a_paper_that_is_not_filed_stays(standing: Standing) -> None:
    assert chosen(lender(replace(HOME, standing=standing), WEST)) == [WEST.id]


def test_a_paper_with_doubts_stays_and_leaves_a_gap() -> None:
    doubtful = with_value(HOME, filing_date=value("2026-04-14", review=True))
    selection = lender(doubtful, WEST)
    assert chosen(selection) == [WEST.id]
    assert [gap.expected for gap in selection.gaps] == ["OR/dissolution"]


def test_a_return_filed_under_a_dissolution_stays() -> None:
    disguised = with_value(HOME, kind=value("final_return"))
    assert "another kind" in reason(lender(disguised), disguised)


def test_a_paper_of_another_jurisdiction_than_its_line_stays() -> None:
    assert "another jurisdiction" in reason(
        lender(strayed := with_value(HOME, jurisdiction=value("TN"))),
        strayed,
    )


def test_a_second_paper_for_the_same_line_stays() -> None:
    other = paper("OR/dissolution", b"draft")
    selection = lender(HOME, other, lines=[line("OR/dissolution", HOME, other)])
    assert chosen(selection) == [HOME.id]
    assert "better" in reason(selection, other)


def half(key: str, page: int, *private: PrivateSpot) -> Paper:
    """A paper on one of the two pages of a file."""
    made = paper(key, b"two papers in one file", pages=2)
    view = PageView(page, 0, 0.0, "", "ocr")
    return replace(made, reading=replace(made.reading, pages=(view,), private=private))


def test_a_file_that_holds_another_papers_pages_stays_whole() -> None:
    home, tax, west = half("OR/dissolution", 1), half("US/final_return", 2), half("WA/withdrawal", 2)
    with_return = lender(home, tax, lines=[line("OR/dissolution", home), line("US/final_return", tax)])
    assert chosen(with_return) == []
    assert "scan it by itself" in reason(with_return, home)
    both_allowed = lender(home, west, lines=[line("OR/dissolution", home), line("WA/withdrawal", west)])
    assert chosen(both_allowed) == [home.id, west.id]


def test_a_redacted_copy_may_come_from_a_file_that_stays_and_vouches_for_no_page_of_it() -> None:
    """The copy has the pages of its paper alone; a file that goes out whole would show the page that is covered."""
    private = PrivateSpot(2, Box(0.1, 0.1, 0.2, 0.2), PrivateSort.SSN)
    home, west = half("OR/dissolution", 1), half("WA/withdrawal", 2, private)
    selection = lender(home, west, lines=[line("OR/dissolution", home), line("WA/withdrawal", west)])
    assert [(item.paper.id, item.form) for item in selection.included] == [(west.id, Form.REDACTED)]
    assert "scan it by itself" in reason(selection, home)


@pytest.mark.parametrize("code", [Code.NO_OFFICE_MARK, Code.NAME_MISMATCH, Code.EIN_MISMATCH, Code.WAITING])
def test_a_draft_or_anothers_paper_stays_even_when_gaps_are_shown(code: Code) -> None:
    state = verdict([line("OR/dissolution", HOME, mark=Mark.FAULT)], [finding(code, "OR/dissolution", HOME)])
    selection = select(PURPOSES["lender"], state, [HOME])
    assert chosen(selection) == []
    assert len(selection.gaps) == 1


def test_a_paper_whose_date_is_at_fault_goes_out_with_its_gap() -> None:
    state = verdict(
        [line("OR/dissolution", HOME, mark=Mark.FAULT)], [finding(Code.DATES_OUT_OF_ORDER, "OR/dissolution", HOME)]
    )
    selection = select(PURPOSES["lender"], state, [HOME])
    assert chosen(selection) == [HOME.id]
    assert "order" in selection.gaps[0].says


def test_a_missing_return_is_no_gap_for_a_lender() -> None:
    lines = [line("OR/dissolution", HOME), line("US/final_return")]
    state = verdict(lines, [finding(Code.MISSING_PAPER, "US/final_return")])
    assert select(PURPOSES["lender"], state, [HOME]).gaps == ()


def test_a_gap_never_repeats_what_is_said_to_the_preparer() -> None:
    lines = [line("OR/dissolution", HOME), line("NJ/final_return"), line("NJ/withdrawal")]
    found = [finding(Code.MISSING_JURISDICTION, "NJ/final_return", scope="NJ")]
    gaps = select(PURPOSES["lender"], verdict(lines, found), [HOME]).gaps
    assert [(gap.scope, gap.says) for gap in gaps] == [("NJ", "Nothing is on file for this jurisdiction.")]


def test_a_jurisdiction_without_rules_is_a_gap() -> None:
    state = verdict([line("OR/dissolution", HOME)], [finding(Code.NO_RULES, scope="GU")])
    assert [gap.scope for gap in select(PURPOSES["lender"], state, [HOME]).gaps] == ["GU"]


@pytest.mark.parametrize(("kind", "sure", "gaps"), [("final_return", True, 0), ("final_return", False, 1)])
def test_a_waiting_paper_is_a_gap_unless_it_is_surely_of_another_kind(kind: str, sure: bool, gaps: int) -> None:
    waiting = with_value(
        paper("OR/other", b"?", expected=""), kind=value(kind, review=not sure), ein=value("x", review=True)
    )
    state = verdict([line("OR/dissolution", HOME)], [finding(Code.WAITING, "", waiting, scope="OR")])
    assert len(select(PURPOSES["lender"], state, [HOME, waiting]).gaps) == gaps


def test_an_advised_paper_that_is_not_there_is_no_gap() -> None:
    lines = [line("OR/dissolution", HOME), line("WA/clearance", mark=Mark.ADVISED, need=Need.ADVISED)]
    assert lender(HOME, lines=lines).gaps == ()


def test_a_line_is_a_gap_without_any_finding_too() -> None:
    assert [gap.says for gap in lender(lines=[line("OR/dissolution")]).gaps] == ["The paper is not on file."]


def test_a_state_gets_its_own_papers_and_the_end_at_home() -> None:
    tennessee = paper("TN/withdrawal", b"tn")
    lines = [*LINES, line("TN/withdrawal", tennessee)]
    selection = select(PURPOSES["state-notice"], verdict(lines), [HOME, WEST, RETURN, tennessee], "WA")
    assert chosen(selection) == [HOME.id, WEST.id]
    assert "not about" in reason(selection, tennessee)


def test_another_states_gap_does_not_stand_in_a_states_answer() -> None:
    lines = [*LINES, line("TN/withdrawal")]
    found = [finding(Code.MISSING_PAPER, "TN/withdrawal"), finding(Code.NO_RULES, scope="GU")]
    assert select(PURPOSES["state-notice"], verdict(lines, found), [HOME, WEST], "WA").gaps == ()


@pytest.mark.parametrize(
    ("purpose", "jurisdiction"),
    [("state-notice", ""), ("state-notice", "TX"), ("state-notice", "US"), ("lender", "WA")],
)
def test_a_jurisdiction_that_does_not_fit_is_refused(purpose: str, jurisdiction: str) -> None:
    with pytest.raises(Misuse):
        select(PURPOSES[purpose], verdict(LINES), [HOME], jurisdiction)


@pytest.mark.parametrize("code", list(Code))
def test_every_finding_has_a_sentence_for_a_stranger(code: Code) -> None:
    assert SAYS[code].endswith(".")


@pytest.mark.parametrize("code", list(Code))
def test_a_gap_says_what_is_wrong_and_nothing_that_is_said_to_the_preparer(code: Code) -> None:
    lines = [line("OR/dissolution", HOME, mark=Mark.FAULT)]
    gaps = select(PURPOSES["lender"], verdict(lines, [finding(code, "OR/dissolution", HOME)]), [HOME]).gaps
    assert [gap.says for gap in gaps] == [SAYS[code]]


def spotted(old: Paper, *sorts: PrivateSort) -> Paper:
    spots = tuple(PrivateSpot(1, Box(0.1, 0.1, 0.2, 0.2), sort) for sort in sorts)
    return replace(old, reading=replace(old.reading, private=spots))


def test_a_paper_goes_out_as_received_when_it_shows_nothing_to_hide() -> None:
    (item,) = lender(HOME, lines=[line("OR/dissolution", HOME)]).included
    assert (item.form, item.hide, item.consent) == (Form.FULL, frozenset(), "")


@pytest.mark.parametrize("sort", list(PrivateSort))
def test_a_paper_that_shows_something_private_goes_out_redacted(sort: PrivateSort) -> None:
    marked = spotted(HOME, sort)
    (item,) = lender(marked, lines=[line("OR/dissolution", marked)]).included
    assert (item.form, item.hide) == (Form.REDACTED, EVERY_SORT)


def test_a_state_may_see_the_taxpayer_number_and_nothing_else_that_is_private() -> None:
    for sort, form in ((PrivateSort.EIN, Form.FULL), (PrivateSort.SSN, Form.REDACTED)):
        marked = spotted(WEST, sort)
        state = verdict([line("WA/withdrawal", marked)])
        (item,) = select(PURPOSES["state-notice"], state, [marked], "WA").included
        assert item.form is form


def test_a_clearance_goes_to_a_lender_redacted_always() -> None:
    clear = paper("WA/clearance", b"clear")
    (item,) = lender(clear, lines=[line("WA/clearance", clear)]).included
    assert (item.form, "ein" in item.hide) == (Form.REDACTED, True)


def test_a_line_only_paper_may_share_its_file_with_what_stays() -> None:
    shared = replace(WEST, pages=2, reading=replace(WEST.reading, pages=(PageView(1, 0, 0.0, "", "ocr"),)))
    selection = select(PURPOSES["bank-or-insurer"], verdict([line("WA/withdrawal", shared)]), [shared])
    assert [item.form for item in selection.included] == [Form.LINE]


def test_what_needs_a_consent_leaves_neither_line_nor_gap_without_one() -> None:
    lines = [line("OR/dissolution", HOME), line("US/final_return"), line("US/ein_closure_letter", mark=Mark.REVIEW)]
    state = verdict(lines, [finding(Code.MISSING_PAPER, "US/final_return")])
    selection = select(PURPOSES["lender"], state, [HOME])
    assert [one.expected.key for one in selection.lines] == ["OR/dissolution"]
    assert selection.gaps == ()
    assert selection.with_consent == (Kind.FINAL_RETURN, Kind.EIN_CLOSURE_LETTER)


def test_with_a_consent_a_missing_return_is_a_gap() -> None:
    state = verdict([line("US/final_return")], [finding(Code.MISSING_PAPER, "US/final_return")])
    gaps = select(PURPOSES["lender"], state, [], "", Permission(good=(consent(),))).gaps
    assert [(gap.expected, gap.says) for gap in gaps] == [("US/final_return", "The paper is not on file.")]


def test_a_later_return_that_no_consent_names_is_not_told_of() -> None:
    kept = with_value(RETURN, period_end=value("2026-03-31"))
    later = with_value(paper("US/final_return", b"later", expected=""), period_end=value("2027-12-31"))
    state = verdict([line("US/final_return", kept)], [finding(Code.LATER_YEAR, "US/final_return", later)])
    allowed = Permission(good=(consent(years=frozenset({2026})),))
    selection = select(PURPOSES["lender"], state, [kept, later], "", allowed)
    assert chosen(selection) == [kept.id]
    assert [gap.says for gap in selection.gaps] == ["What is on file does not agree throughout."]


def test_the_taxpayers_own_copy_is_for_the_taxpayer_alone() -> None:
    state = verdict([line("US/final_return", RETURN)])
    as_stranger = select(PURPOSES["own-copy"], state, [RETURN])
    assert chosen(as_stranger) == []
    assert chosen(select(PURPOSES["own-copy"], state, [RETURN], "", Permission(taxpayer=True))) == [RETURN.id]
    assert chosen(select(PURPOSES["lender"], state, [RETURN], "", Permission(taxpayer=True))) == []
