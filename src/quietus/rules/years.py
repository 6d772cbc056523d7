"""The ends and beginnings of tax years. Pure."""

from datetime import date, timedelta

from quietus.model.entity import Entity


def year_end(year: int, month: int, day: int) -> date:
    """The ordinary year end of a year; February 29 is the last of February in a common year."""
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month + 1, 1) - timedelta(days=1)


def last_year_begins(entity: Entity) -> date | None:
    """The first day of the last tax year: after the ordinary year end before the closing, or the formation date.

    None while the closing date is not known. Years of 52 or 53 weeks are not known here.
    """
    closed = entity.closed
    if closed is None:
        return None
    ends = (year_end(year, *entity.year_end) for year in (closed.year - 2, closed.year - 1, closed.year))
    begins = max(end for end in ends if end < closed) + timedelta(days=1)
    return max(begins, entity.formed) if entity.formed and entity.formed <= closed else begins


def last_year_would_end(entity: Entity) -> date | None:
    """The ordinary end of the tax year in which the company closed; None while the closing date is not known.

    What covers a later day than this belongs to a later year.
    """
    closed = entity.closed
    if closed is None:
        return None
    ends = (year_end(year, *entity.year_end) for year in (closed.year, closed.year + 1))
    return next(end for end in ends if end >= closed)
