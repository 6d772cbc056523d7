"""Chooses among the dates of a paper the one that a field wants: by role, then by closeness and plausibility."""

import re
from collections.abc import Sequence
from datetime import timedelta

from quietus.reading.roles import Dated

Pages = Sequence[Sequence[Dated]]
Chosen = tuple[int, Dated, float]
"""Index of the page, the date, and how sure it is."""

_YEAR = timedelta(days=372)  # the longest tax period (52-53 weeks), with room
_NAME = re.compile(r"(?:[A-Z][\w.'\u2019-]*,? ){2,4}(?:[a-z]+,? )?")
_UNLABELLED = 0.8
_CLOSE = 0.85  # dates this close to the best one's closeness are its equals


def _of_role(pages: Pages, role: str) -> list[Chosen]:
    """Every date of a role, surest first; the certainty carries how closely the label belongs to it."""
    found = [
        (index, hit, hit.sure * (0.6 + 0.4 * min(1.0, hit.closeness)))
        for index, page in enumerate(pages)
        for hit in page
        if hit.role == role
    ]
    return sorted(found, key=lambda chosen: -chosen[2])


def single(pages: Pages, role: str) -> Chosen | None:
    """The date of a role that should stand once; a second, different one makes it unsure."""
    found = _of_role(pages, role)
    if not found:
        return None
    index, best, sure = found[0]
    rivals = [hit for _, hit, _ in found[1:] if hit.day != best.day and hit.closeness > _CLOSE * best.closeness]
    return index, best, sure * (0.6 if rivals else 1.0)


def signed_date(pages: Pages, heights: Sequence[int]) -> Chosen | None:
    """The day of signing: where several signed, the last, for only then was it signed by all.

    A date without any label that stands alone in the lower half of a page is taken, less surely, for one whose caption
    was not read.
    """
    found = _of_role(pages, "signed") or [
        (index, hit, _UNLABELLED * hit.sure)
        for index, (page, height) in enumerate(zip(pages, heights, strict=True))
        for hit in page
        if not hit.role and (_alone(hit) or _after_a_name(hit)) and hit.piece.rect.top > 0.5 * height
    ]
    if not found:
        return None
    best = max(hit.closeness for _, hit, _ in found)
    equals = [chosen for chosen in found if chosen[1].closeness >= _CLOSE * best]
    return max(equals, key=lambda chosen: (chosen[1].day, chosen[2]))


def as_of(pages: Pages) -> Chosen | None:
    """The day of a balance sheet: the end of a period, or `as of` a day."""
    return next(iter(_of_role(pages, "ends") + _of_role(pages, "ended")), None)


def prepared(pages: Pages) -> Chosen | None:
    """The day a record was drawn up."""
    return next(iter(_of_role(pages, "prepared")), None)


def letter_date(pages: Pages, height: int) -> Chosen | None:
    """The date of a letter or certificate: labelled as such, or standing alone in the upper part of the first page."""
    labelled = [chosen for chosen in _of_role(pages, "signed") if chosen[0] == 0]
    alone = [
        (0, hit, 0.92 * hit.sure)
        for hit in (pages[0] if pages else ())
        if hit.piece.rect.top < 0.4 * height and _alone(hit) and (not hit.role or hit.role == "signed")
    ]
    upper = [chosen for chosen in labelled if chosen[1].piece.rect.top < 0.5 * height]
    choice = [*upper, *alone] or labelled
    if not choice:
        return None
    best = max(choice, key=lambda chosen: chosen[2])
    if any(chosen[1].day != best[1].day and chosen[2] > 0.8 * best[2] for chosen in choice):
        return best[0], best[1], 0.6 * best[2]
    return best


def _alone(hit: Dated) -> bool:
    return len(hit.piece.text) > 0.75 * len(hit.piece.line.text)


def _after_a_name(hit: Dated) -> bool:
    """True for a date that ends a short line after a person's name: `Ada Bell, 4/16/2023`."""
    line = hit.piece.line.text
    return hit.piece.end >= len(line) - 1 and _NAME.fullmatch(line[: hit.piece.start]) is not None


def period_end(pages: Pages) -> Chosen | None:
    """The end of the tax period: after its beginning and not more than a year later, else unsure."""
    found = _of_role(pages, "ends")
    if not found:
        return None
    begins = _of_role(pages, "begins")
    index, best, sure = found[0]
    if begins:
        start = begins[0][1].day
        fits = [chosen for chosen in found if start < chosen[1].day <= start + _YEAR]
        if not fits:
            return index, best, 0.5 * sure
        index, best, sure = fits[0]
        sure = 1 - (1 - sure) * 0.6
    rivals = {hit.day for _, hit, _ in found if hit.closeness > _CLOSE * best.closeness} - {best.day}
    return index, best, sure * (0.65 if rivals else 1.0)
