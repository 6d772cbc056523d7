"""What is wrong with the dates of one paper: late, out of order, or not good on the day that counts. Pure."""

from collections.abc import Iterator
from datetime import date, timedelta

from quietus.closing.exam import Check, Exam, Said, always, words_of
from quietus.closing.windows import window_end
from quietus.model.expected import ExpectedPaper, kind_of
from quietus.model.facts import PaperFacts
from quietus.model.findings import Code, Severity
from quietus.model.kinds import Kind


def _late(exam: Exam) -> Iterator[Said]:
    expected, day = exam.expected, exam.day
    last = expected.extended or expected.due
    if not (last and day and day > last):
        return
    ran_out = "the last day it could be filed even if extended" if expected.extended else "the day it was due"
    yield Said(
        Code.LATE,
        Severity.WARNS,
        f"{expected.title} is dated {day}, after {last}, {ran_out}.",
        "Late unless relief applies, such as for a disaster (26 U.S.C. 7508A), which is not looked at here."
        if expected.extended
        else "Late unless an extension or relief applies; neither is looked at here.",
        "Check whether a penalty notice has come, and keep the proof of filing.",
    )


def _window(exam: Exam) -> Iterator[Said]:
    expected, day = exam.expected, exam.day
    window, last = expected.window, window_end(exam.file, expected)
    if window is None or window.request or last is None or day is None or day <= last:
        return
    yield Said(
        Code.WINDOW_MISSED,
        Severity.WARNS,
        f"{expected.title} is dated {day}, after {last}: more than {window.words} after the {words_of(window.after)}.",
        expected.note or "The rules give this long for it.",
        f"Ask {expected.issuer} what follows from the late filing, and keep its answer.",
    )


def _clearance(exam: Exam) -> Iterator[Said]:
    expected, paper, today = exam.expected, exam.paper, exam.today
    last_good = good_until(expected, paper) if expected.supports else None
    if last_good is None:
        return
    filing = exam.file.dated.get(expected.supports)
    filed_on = filing.day("filing_date") if filing else None
    if filed_on and last_good < filed_on:
        yield Said(
            Code.CLEARANCE_EXPIRED,
            Severity.BLOCKS,
            f"{expected.title} was good until {last_good}; the filing it supports was made on {filed_on}, after that.",
            expected.note or "The clearance has to be good on the day of the filing.",
            f"Ask {expected.issuer} whether it stands by the clearance, or get a new one that covers the filing.",
            "tax agency",
        )
    elif filed_on is None and last_good < today:
        yield Said(
            Code.CLEARANCE_EXPIRED,
            Severity.BLOCKS,
            f"{expected.title} was good until {last_good}, and the filing it supports is not on file yet.",
            expected.note or "The clearance has to be good on the day of the filing.",
            f"Get a new clearance from {expected.issuer} before the filing.",
        )


def good_until(expected: ExpectedPaper, paper: PaperFacts) -> date | None:
    """The last day a clearance is good: what it says itself, else its date and the rule's period."""
    printed, given = paper.day("valid_until"), paper.counts_from
    if not printed and given and expected.valid_to_year_end:
        return date(given.year, 12, 31)
    if printed or not (expected.valid_days and given):
        return printed
    return given + timedelta(days=expected.valid_days)


def _order(exam: Exam) -> Iterator[Said]:
    expected, day = exam.expected, exam.day
    if day is None:
        return
    for key in expected.after:
        other = exam.file.day(key)
        if other and other > day:
            yield _too_soon(expected, key, day, other)
    for key in expected.better_after:
        other = exam.file.day(key)
        if other and other > day:
            yield Said(
                Code.DATES_OUT_OF_ORDER,
                Severity.WARNS,
                f"{expected.title} is dated {day}, before the {words_of(key)} of {other} that had better come first.",
                expected.note or "That order is the safe one.",
                f"Ask {expected.issuer} whether it stands by what was filed.",
            )


def _too_soon(expected: ExpectedPaper, key: str, day: date, other: date) -> Said:
    """A paper dated before another one that has to come first."""
    first = kind_of(key)
    if expected.kind.ends_registration and first is Kind.CLEARANCE:
        return Said(
            Code.FILED_BEFORE_CLEARANCE,
            Severity.BLOCKS,
            f"{expected.title} was filed on {day}, before the {words_of(key)} of {other} that has to come first.",
            expected.note or "The filing depends on the clearance.",
            f"Ask {expected.issuer} whether it stands by the filing; if not, file again with the clearance.",
            "filing office",
        )
    if expected.kind is Kind.CLEARANCE and first is Kind.FINAL_RETURN:
        return Said(
            Code.CLEARANCE_TOO_EARLY,
            Severity.BLOCKS,
            f"{expected.title} is dated {day}, before the {words_of(key)} of {other} that it should cover.",
            expected.note or "A clearance speaks for the returns that were in when it was given.",
            f"Ask {expected.issuer} for a clearance, or a statement, that covers the final return.",
            "tax agency",
        )
    return Said(
        Code.DATES_OUT_OF_ORDER,
        Severity.BLOCKS,
        f"{expected.title} is dated {day}, before the {words_of(key)} of {other} that has to come first.",
        "The rules order the one before the other.",
        "Check both dates on the papers; if they are right, ask counsel whether the later act cures the order.",
    )


def _covers_final_return(exam: Exam) -> Iterator[Said]:
    """A clearance dated before the final return there, where no rule says that the return has to come first."""
    expected, day = exam.expected, exam.day
    key = f"{expected.scope}/{Kind.FINAL_RETURN.value}"
    if expected.kind is not Kind.CLEARANCE or key in expected.after:
        return
    other = exam.file.day(key)
    if day and other and other > day:
        yield Said(
            Code.CLEARANCE_TOO_EARLY,
            Severity.WARNS,
            f"{expected.title} is dated {day}, before the {words_of(key)} of {other}: it may not cover it.",
            "A clearance speaks for the returns that were in when it was given.",
            f"Ask {expected.issuer} whether the clearance covers the final return.",
            "tax agency",
        )


def _possible_day(exam: Exam) -> Iterator[Said]:
    expected, day, today, formed = exam.expected, exam.day, exam.today, exam.entity.formed
    if day and day > today:
        yield Said(
            Code.DATES_OUT_OF_ORDER,
            Severity.BLOCKS,
            f"{expected.title} is dated {day}, after {today}.",
            "A paper can't be dated in the future.",
            "Check the date on the paper, then correct the reading.",
        )
    if day and formed and day < formed:
        yield Said(
            Code.DATES_OUT_OF_ORDER,
            Severity.BLOCKS,
            f"{expected.title} is dated {day}, before the company was formed on {formed}.",
            "A company can't be closed before it was formed.",
            "Check the date on the paper and the formation date on the register.",
        )


DATE_CHECKS = (
    Check(_late, lambda asks: asks.due),
    Check(_window, lambda asks: asks.window),
    Check(_clearance, lambda asks: asks.supports),
    Check(_order, lambda asks: asks.order),
    Check(_covers_final_return, lambda asks: asks.kind is Kind.CLEARANCE),
    Check(_possible_day, always),
)
