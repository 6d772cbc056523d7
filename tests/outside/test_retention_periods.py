"""Retention periods against statutes and the IRS table. Each case names its source and how it was followed."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from quietus.model.expected import ExpectedPaper, Need
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.model.reading import Reading, Value
from quietus.model.retention import Applied, Clock, Keep
from quietus.rules import default_schedule_folder, keep, load_packs, load_schedules

pytestmark = pytest.mark.outside

FOLDER = default_schedule_folder()
DEFAULT = load_schedules([FOLDER])


def paper(kind: str, **fields: str) -> Paper:
    values = {name: Value(content, 1.0) for name, content in {"kind": kind, **fields}.items()}
    return Paper(
        id="0" * 32,
        sha256="0" * 64,
        name="a.pdf",
        media_type="application/pdf",
        size=1,
        pages=1,
        received=datetime(2026, 11, 20, tzinfo=UTC),
        standing=Standing.FILED,
        entity="pan-glazing",
        expected="",
        reading=Reading((), values),
    )


def expected(kind: Kind, due: date | None, scope: str = "US") -> ExpectedPaper:
    return ExpectedPaper(f"{scope}/{kind}", scope, kind, "T", Need.REQUIRED, "I", (), "N.", due=due)


def by_rule(kept: Keep, rule: str) -> Applied:
    return next(one for one in kept.applied if one.rule == rule)


@dataclass(frozen=True)
class Case:
    """A return filed on a day, due on another; which rule; until when."""

    rule: str
    filed: str
    due: str
    until: str
    source: str


LATER_OF = [
    Case("assessment-3-years", "2026-09-10", "2026-09-15", "2029-09-15", "6501(b)(1): early counts as due, memory"),
    Case("assessment-3-years", "2026-09-15", "2026-09-15", "2029-09-15", "6501(a): three years, IRS table (summary)"),
    Case("assessment-3-years", "2027-03-15", "2026-09-15", "2030-03-15", "6501(a): from filing when late, memory"),
    Case("assessment-3-years", "2028-02-29", "2026-09-15", "2031-03-01", "6501(a): leap day not cut short, practice"),
    Case("assessment-6-years", "2026-09-10", "2026-09-15", "2032-09-15", "6501(e)(1)(A), IRS table (summary)"),
    Case("assessment-6-years", "2027-01-04", "2026-09-15", "2033-01-04", "6501(e)(1)(A): from filing, memory"),
    Case("refund-claim", "2026-09-10", "2026-09-15", "2029-09-15", "6511(a): three years, IRS table (summary)"),
]  # fmt: skip


@pytest.mark.parametrize("case", LATER_OF, ids=lambda case: f"{case.rule} filed {case.filed}")
def test_return_periods_run_from_the_later_of_filed_and_due(case: Case) -> None:
    kept = keep(
        paper("final_return", jurisdiction="US", filing_date=case.filed),
        expected(Kind.FINAL_RETURN, date.fromisoformat(case.due)),
        None,
        DEFAULT,
    )
    assert by_rule(kept, case.rule).until == date.fromisoformat(case.until), case.source


def test_a_return_that_was_not_filed_has_no_limit() -> None:
    """26 U.S.C. 6501(c)(3) (from memory), IRS table 'no return: indefinitely' (read in a private summary)."""
    kept = keep(paper("final_return", jurisdiction="US"), expected(Kind.FINAL_RETURN, date(2026, 9, 15)), None, DEFAULT)
    assert by_rule(kept, "assessment-3-years").until is None
    assert by_rule(kept, "assessment-6-years").until is None


def test_six_years_outlast_a_member_s_own_three() -> None:
    """6501(a) last sentence, 706(a) (from memory): a 1065 for the year to 2026-02-28 was due 2026-05-15; the member's
    return for 2026 is due 2027-04-15, so the items stay open to 2030-04-15."""
    due = load_packs().by_code["US"].due
    assert due["1065"].months == 3
    kept = keep(
        paper("final_return", jurisdiction="US", filing_date="2026-05-15"),
        expected(Kind.FINAL_RETURN, date(2026, 5, 15)),
        None,
        DEFAULT,
    )
    until = by_rule(kept, "assessment-6-years").until
    assert until is not None and until >= date(2030, 4, 15)


def test_bad_debts_seven_years_from_the_due_date(tmp_path: Path) -> None:
    """26 U.S.C. 6511(d)(1) (from memory), IRS table (read in a private summary); an option."""
    (tmp_path / "office.toml").write_text('title = "Office"\noptions = ["bad-debt-7-years"]\n', encoding="utf-8")
    schedules = load_schedules([FOLDER, tmp_path])
    kept = keep(
        paper("final_return", jurisdiction="US", filing_date="2027-03-01"),
        expected(Kind.FINAL_RETURN, date(2026, 9, 15)),
        None,
        schedules,
    )
    assert by_rule(kept, "bad-debt-7-years").until == date(2033, 9, 15)


EMPLOYMENT = [
    # due, paid, until: Treas. Reg. 31.6001-1(e)(2), four years after the later of due and paid (IRS Pub. 51, summary)
    ("2026-07-31", "2026-07-31", "2030-07-31"),
    ("2026-07-31", "2026-06-15", "2030-07-31"),
    ("2026-07-31", "2026-10-02", "2030-10-02"),
]


@pytest.mark.parametrize(("due", "paid", "until"), EMPLOYMENT)
def test_employment_tax_four_years_from_the_later_of_due_and_paid(due: str, paid: str, until: str) -> None:
    kept = keep(
        paper("final_employment_return", jurisdiction="US", form="941"),
        expected(Kind.FINAL_EMPLOYMENT_RETURN, date.fromisoformat(due)),
        None,
        DEFAULT,
        {"paid": date.fromisoformat(paid)},
    )
    assert by_rule(kept, "employment-tax-4-years").until == date.fromisoformat(until)


def test_employment_tax_not_known_to_be_paid_stands_still() -> None:
    """Treas. Reg. 31.6001-1(e)(2): the later of the two, so one is not enough (read in a private summary)."""
    kept = keep(
        paper("final_employment_return", jurisdiction="US"),
        expected(Kind.FINAL_EMPLOYMENT_RETURN, date(2026, 7, 31)),
        None,
        DEFAULT,
    )
    assert by_rule(kept, "employment-tax-4-years").until is None


PREPARER = [
    # presented for signature, kept until: 26 U.S.C. 6107(b), Treas. Reg. 1.6107-1(b), 6060(c) (read in summaries)
    ("2026-08-03", "2030-06-30"),  # the example worked in the notes
    ("2026-06-30", "2029-06-30"),  # last day of a return period
    ("2026-07-01", "2030-06-30"),  # first day of the next
    ("2027-03-15", "2030-06-30"),
]


@pytest.mark.parametrize(("presented", "until"), PREPARER)
def test_the_preparer_s_copy_three_years_after_the_return_period(presented: str, until: str) -> None:
    filed = paper("final_return", jurisdiction="US")
    kept = keep(filed, None, None, DEFAULT, {"presented": date.fromisoformat(presented)})
    assert by_rule(kept, "return-copy").until == date.fromisoformat(until)
    signed = keep(paper("final_return", jurisdiction="US", signed_date=presented), None, None, DEFAULT)
    assert by_rule(signed, "return-copy").until == date.fromisoformat(until)


def test_signature_forms_three_years_from_the_later_of_due_and_receipt() -> None:
    """IRS Publication 1345 (from memory)."""
    kept = keep(
        paper("other", form="8879-PE", filing_date="2026-09-02"),
        expected(Kind.OTHER, date(2026, 9, 15)),
        None,
        DEFAULT,
    )
    assert by_rule(kept, "e-file-signature").until == date(2029, 9, 15)


def test_a_disclosure_consent_is_kept_permanently() -> None:
    """Common practice, no source: for as long as the disclosure can be challenged."""
    assert keep(paper("other", form="7216", signed_date="2026-09-02"), None, None, DEFAULT).clock is Clock.PERMANENT


def test_the_ftc_disposal_rule_is_two_years_from_last_use_and_never_a_reason_to_keep() -> None:
    """16 CFR 314.4(c)(6)(i) (read in private summaries)."""
    (ceiling,) = DEFAULT.ceilings
    assert (ceiling.period.words, ceiling.trigger.value) == ("2 years", "last-use")
    kept = keep(paper("consent"), None, date(2026, 7, 14), DEFAULT, {"last-use": date(2026, 8, 1)})
    assert "last-use" not in {one.trigger for one in kept.applied}
    assert kept.until == date(2033, 7, 14)


PERMANENT = [
    # common practice, no source: what proves that the company was closed
    "dissolution",
    "withdrawal",
    "clearance",
    "final_return",
    "ein_closure_letter",
    "publication_affidavit",
    "asset_disposition",
]


@pytest.mark.parametrize("kind", PERMANENT)
def test_proof_of_closure_is_permanent_however_old(kind: str) -> None:
    old = paper(kind, jurisdiction="US", filing_date="1999-01-04", signed_date="1999-01-04")
    assert keep(old, None, date(1999, 1, 4), DEFAULT).clock is Clock.PERMANENT


def test_consents_outlast_the_longest_bar_on_late_claims() -> None:
    """Five years after publication, the longest of the statutes read (Mont. Code 35-8-909, W. Va. Code 31B-8-808)."""
    kept = keep(paper("creditor_notice"), None, date(2026, 7, 14), DEFAULT)
    assert kept.until is not None and kept.until >= date(2031, 7, 14)
