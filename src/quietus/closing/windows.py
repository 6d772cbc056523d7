"""Times within which one paper has to follow another, and within which creditors may answer a notice. Pure."""

import calendar
from datetime import date, timedelta

from quietus.closing.case import OnFile
from quietus.model.expected import ExpectedPaper
from quietus.model.kinds import Kind


def window_end(file: OnFile, expected: ExpectedPaper) -> date | None:
    """Last day of the window in which `expected` has to follow another paper.

    None when there is no window, or while the paper that opens it is not on file with a date.
    """
    window = expected.window
    opens = file.day(window.after) if window else None
    if window is None or opens is None:
        return None
    return _months_later(opens, window.months) if window.months else opens + timedelta(days=window.days)


def claims_end(file: OnFile) -> tuple[ExpectedPaper, date, date] | None:
    """The notice to creditors that is expected, the day of the one on file, and the earliest day that claims can end.

    None while no notice with a sure date is on file, or where nothing is known of such a time.
    """
    for expected in file.case.expected:
        paper = file.dated.get(expected.key) if expected.kind is Kind.CREDITOR_NOTICE else None
        given = paper.sure_day("signed_date") if paper else None
        if given and expected.claims:
            return expected, given, given + timedelta(days=expected.claims.days)
    return None


def publication_end(file: OnFile) -> tuple[ExpectedPaper, date] | None:
    """The affidavit of publication that is expected, and the last day that unknown claims may be brought."""
    for expected in file.case.expected:
        paper = file.dated.get(expected.key) if expected.kind is Kind.PUBLICATION_AFFIDAVIT else None
        published = paper.sure_day("signed_date") if paper else None
        if published and expected.claims and expected.claims.years:
            return expected, _months_later(published, 12 * expected.claims.years)
    return None


def _months_later(day: date, months: int) -> date:
    """The same day of the month that is `months` later, cut to that month's length."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
