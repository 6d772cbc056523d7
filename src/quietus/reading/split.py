"""Where one paper ends and the next begins in a file that holds several, such as a batch from a scanner's feeder.

Every sign for or against has a weight; what they add up to decides, and a sum in between is told as doubt, for a wrong
cut is as bad as a misread date. Blank backs of sheets stay with the paper before them.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from rapidfuzz import fuzz

from quietus.model.kinds import Kind
from quietus.reading.pages import Page
from quietus.reading.signs import Signs, follows

_SPLIT, _JOIN = 1.5, -0.5  # sums from which on a page surely begins a paper, and surely goes on with one
_ALIKE = 80.0  # of 100: names less alike than this are two companies
_FIRST, _NEXT, _LATER = 3.0, -6.0, -3.0  # page 1; the number after the last page's; any other number over 1
_ALL_THERE = 2.5  # the page before was the last of its paper
_OTHER_TITLE, _SAME_TITLE, _NO_TITLE = 2.0, 0.6, -1.6
_OTHER_NAME, _SAME_NAME, _OTHER_PLACE = 2.5, -0.4, 1.2
_OTHER_KIND = 1.2  # another kind by its wording alone
_COVERED = -5.0  # what a certificate or a covering letter goes on with
_PERHAPS_COVERED = -1.2
_LETTER = 1.4  # a letter begins, without a title
_READS_ON, _ENDED = -1.8, 0.6


@dataclass(slots=True)
class Group:
    """Pages that make one paper.

    Attributes:
        pages: in order.
        doubtful: True when its first or its last page may belong elsewhere.
    """

    pages: list[Page] = field(default_factory=list)
    doubtful: bool = False


def grouped(signs: Iterable[Signs]) -> Iterator[Group]:
    """The papers that pages make, each as soon as the next one begins."""
    group = Group()
    so_far: list[Signs] = []
    for one in signs:
        told = 0.0 if not so_far else _JOIN if one.blank else _begins(so_far, one)
        unsure = bool(so_far) and _JOIN < told < _SPLIT
        group.doubtful = group.doubtful or unsure
        if so_far and told >= (_SPLIT + _JOIN) / 2:
            yield group
            group, so_far = Group(doubtful=unsure), []
        group.pages.append(one.page)
        if not one.blank or not so_far:
            so_far.append(one)
    if group.pages:
        yield group


def _begins(before: list[Signs], page: Signs) -> float:
    """How much speaks for a new paper with `page`, and against; `before` are the pages of the paper so far."""
    last, head = before[-1], before[0]
    if head.blank:
        return _JOIN
    if len(before) == 1 and _covered_by(head, page):
        return _COVERED
    return (
        _by_number(last, page)
        + _by_title(head, page)
        + _by_name(before, page)
        + (_OTHER_PLACE if _elsewhere(head, page) else 0.0)
        + (_PERHAPS_COVERED if len(before) == 1 and _covering_letter(head, page) else 0.0)
        + (_READS_ON if page.reads_on else 0.0)
        + (_ENDED if last.ended else 0.0)
    )


def _covered_by(cover: Signs, page: Signs) -> bool:
    """True when `page` can be what a certificate or a covering letter comes with, in kind, company and place."""
    ends = cover.kind.ends_registration and page.kind.ends_registration
    named = not cover.title and cover.names(page)
    fits = cover.cover and (page.kind is cover.kind or cover.kind is Kind.OTHER or ends)
    begins = page.number is None or page.number[0] == 1
    return (fits or named) and begins and not _others(cover, page) and not _elsewhere(cover, page)


def _covering_letter(head: Signs, page: Signs) -> bool:
    """True for a letter of no kind about the same company: whatever follows may be what it was sent with."""
    return head.letter and not head.title and head.kind is Kind.OTHER and not _others(head, page)


def _by_number(last: Signs, page: Signs) -> float:
    if page.number is None:
        return _ALL_THERE if _complete(last) else 0.0
    if page.number[0] == 1:
        return _FIRST
    return _NEXT if last.number is not None and follows(last.number, page.number) else _LATER


def _complete(last: Signs) -> bool:
    return last.number is not None and last.number[1] > 0 and last.number[0] == last.number[1]


def _by_title(head: Signs, page: Signs) -> float:
    if not page.title:
        other = _OTHER_KIND if page.told and head.told and page.kind is not head.kind else 0.0
        return other + (_LETTER if page.letter else 0.4 * _NO_TITLE if page.place else _NO_TITLE)
    return _SAME_TITLE if page.kind is head.kind else _OTHER_TITLE


def _by_name(before: list[Signs], page: Signs) -> float:
    names = [one.name for one in before if one.name]
    if not page.name or not names:
        return 0.0
    return _SAME_NAME if any(_alike(name, page.name) for name in names) else _OTHER_NAME


def _elsewhere(one: Signs, other: Signs) -> bool:
    return bool(one.place and other.place) and one.place != other.place


def _others(one: Signs, other: Signs) -> bool:
    return bool(one.name and other.name) and not _alike(one.name, other.name)


def _alike(one: str, other: str) -> bool:
    return fuzz.ratio(one, other) >= _ALIKE
