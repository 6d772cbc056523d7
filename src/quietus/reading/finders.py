"""How each field is found on a paper. The office's mark has its own module, `office.py`."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from quietus.model.kinds import Kind
from quietus.model.reading import Value
from quietus.reading.attested import attested
from quietus.reading.combs import Combed, comb_digits, spread_digits
from quietus.reading.evidence import Evidence, at, confirmed, missing, signs
from quietus.reading.forms import form_of
from quietus.reading.inks import without_rules
from quietus.reading.names import stem, subject_of
from quietus.reading.numbers import Numbered, ein_labels, ein_of, file_number_of
from quietus.reading.pages import Page
from quietus.reading.pieces import Piece
from quietus.reading.pixels import cut, ink_of
from quietus.reading.roles import labelled
from quietus.reading.second_look import again
from quietus.reading.settle import Chosen, as_of, letter_date, period_end, prepared, signed_date, single
from quietus.reading.tables import table
from quietus.reading.ticks import Tick, final_tick
from quietus.reading.upright import letter_boxes
from quietus.reading.words import Rect, Word

_ALIGNED, _FEW = 0.05, 3  # inches by which left edges may differ; with more lines than this at one edge it is a margin
_NOT_WHOLE = 0.5  # how sure a name is at the most of which words may be missing
_BEHEADED = 0.6  # what is left of a name's certainty when unread letters stand before it
_ASIDE, _BENEATH, _COMB = 0.15, 0.5, 4.5  # inches about a label where cells with its number may be
_TICK_PAGES = 2  # pages of a return that are searched for the final box
_LOOKALIKE = str.maketrans("l1|05", "iiios")
_NEVER = 9.0  # a label weight that none has: the field may well be absent beside its label
_SIGNED_FIRST = frozenset(
    {Kind.FINAL_RETURN, Kind.FINAL_EMPLOYMENT_RETURN, Kind.CORPORATE_LIQUIDATION_NOTICE, Kind.CONSENT}
)


def kind(e: Evidence) -> Value:
    """What the paper is."""
    line = e.told.heading
    return at(e.pages[0], line.rect if line else None, e.told.kind.value, e.told.sure, raw=line.text if line else "")


def _jurisdiction(e: Evidence) -> Value:
    placed = e.placed
    if placed.code is None:
        return Value(None, 0.3, method=e.method)
    page = next((p for p in e.pages if placed.line in p.lines), e.pages[0])
    rect = placed.line.rect if placed.line else None
    return at(page, rect, placed.code, placed.sure, raw=placed.line.text if placed.line else "")


def _entity_name(e: Evidence) -> Value:
    named = subject_of([page.lines for page in e.pages])
    if named is None:
        return Value(None, 0.3, method=e.method)
    page = e.pages[named.page]
    sure = named.sure
    if not named.whole:
        sure = min(sure, _NOT_WHOLE)
    elif named.seen == 1:
        sure = confirmed(e, page, stem(named.piece), sure, loose=_folded)
        sure *= _BEHEADED if _beheaded(e, page, named.piece) else 1.0
    return at(page, named.piece.rect, named.name, sure, raw=named.piece.text)


def _folded(text: str) -> str:
    """Letters and digits alone, those that look alike made one: two readings of a name differ in more than these."""
    return signs(text).translate(_LOOKALIKE)


def _beheaded(e: Evidence, page: Page, piece: Piece) -> bool:
    """True when letters that were not recognised stand right before the name: it may lack its first word."""
    if page.method == "text-layer" or piece.start > 0:
        return False
    rect, dpi = piece.rect, page.dpi
    if sum(abs(line.rect.left - rect.left) < _ALIGNED * dpi for line in page.lines) > _FEW:
        return False  # it begins where other lines begin
    left, right = max(0.0, rect.left - 0.7 * dpi), rect.left - 0.04 * dpi
    strip = Rect(left, rect.top, right, rect.bottom)
    ink = without_rules(ink_of(np.ascontiguousarray(cut(e.book.gray(page), strip))), dpi)
    for word in (word.rect for line in page.lines for word in line.words if strip.overlap(word.rect) > 0):
        cut(ink, Rect(word.left - left, 0, word.right - left, rect.height).grown(2, 2))[:] = 0
    letters = letter_boxes(ink, dpi)
    return int(np.count_nonzero(letters[:, 3] - letters[:, 1] > 0.3 * rect.height)) >= 2


def _numbered(e: Evidence, found: Numbered | None, *, label: bool = False) -> Value:
    if found is None:
        return missing(e, labelled=label)
    page = e.pages[found.page]
    sure = confirmed(e, page, found.piece, found.sure, _digits)
    return at(page, found.piece.rect, found.text, sure, raw=found.raw)


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)


def _ein(e: Evidence) -> Value:
    lines = [page.lines for page in e.pages]
    found, labels = ein_of(lines), ein_labels(lines)
    if found is None or found.sure < table("bars.toml")["ein"]:
        for number, label in labels:
            combed = _combed(e, e.pages[number], label)
            if combed:
                digits = combed.digits
                return at(e.pages[number], combed.rect, f"{digits[:2]}-{digits[2:]}", combed.sure, raw=digits)
    return _numbered(e, found, label=bool(labels))


def _combed(e: Evidence, page: Page, label: Piece) -> Combed | None:
    """The digits in a row of cells right of a label or under it."""
    rect, dpi = label.rect, page.dpi
    near = Rect(
        rect.left - _ASIDE * dpi, rect.top - _ASIDE * dpi, rect.left + _COMB * dpi, rect.bottom + _BENEATH * dpi
    )
    spread = spread_digits(page.lines, near)
    if spread or page.method == "text-layer":
        return spread
    return comb_digits(e.book.gray(page), near, dpi, e.book.engine)


def _file_number(e: Evidence) -> Value:
    lines = [page.lines for page in e.pages]
    return _numbered(e, file_number_of(lines, place=e.placed.code, guess=e.row.scope == "office"))


def _day(e: Evidence, found: Chosen | None, role: str, least: float = 1.0) -> Value:
    if found is None:
        return missing(e, labelled=any(labelled(page.lines, role, least) for page in e.pages))
    index, hit, sure = found
    page = e.pages[index]
    sure = confirmed(e, page, hit.piece, sure)
    return at(page, hit.piece.rect, hit.day.isoformat(), sure, raw=hit.piece.text)


def _signed(e: Evidence) -> Value:
    said = attested(e.pages[0].lines)
    cover = 1 if said else len(e.pages)  # a certificate is signed on its own page
    signed = signed_date(e.dates[:cover], [page.way.high for page in e.pages[:cover]])
    letter = letter_date(e.dates, e.pages[0].way.high)
    if e.row.kind is Kind.CLOSING_BALANCE_SHEET:
        signed = signed or prepared(e.dates)
    if said and not said.sworn:
        signed = signed or letter  # an office's letter has its date at the head, and no caption with it
    if e.row.scope == "office" or e.row.kind in _SIGNED_FIRST:
        return _day(e, signed, "signed", 0.8)
    captioned = signed if e.row.scope == "company" and signed and signed[1].role else None
    return _day(e, captioned or letter or signed, "signed", 0.8)


def _period_end(e: Evidence) -> Value:
    sheet = e.row.kind is Kind.CLOSING_BALANCE_SHEET
    return _day(e, as_of(e.dates) if sheet else period_end(e.dates), "ends")


def _final_box(e: Evidence) -> Value:
    worded = False
    best: tuple[Page, Tick] | None = None
    for page in e.pages[:_TICK_PAGES]:
        tick, words = final_tick(page.lines, partial(e.book.gray, page), page.dpi, page.buttons, _looker(e, page))
        worded = worded or words
        if tick and (best is None or tick.sure > best[1].sure):
            best = (page, tick)
    if best:
        page, tick = best
        return at(page, tick.rect, tick.marked, tick.sure, raw=tick.raw, method=tick.method)
    return replace(Value(None, 0.4, method="pixels"), review=worded)


def _looker(e: Evidence, page: Page) -> Callable[[Rect], list[Word]]:
    return lambda rect: again(e.book.gray(page), rect, page.dpi, e.book.engine)


def _form(e: Evidence) -> Value:
    for page in e.pages:
        found = form_of(page.lines, float(page.way.high), e.placed.code)
        if found:
            return at(page, found.piece.rect, found.form, found.sure, raw=found.piece.text)
    return missing(e)


FINDERS: Mapping[str, Callable[[Evidence], Value]] = {
    "jurisdiction": _jurisdiction,
    "entity_name": _entity_name,
    "ein": _ein,
    "file_number": _file_number,
    "final_box": _final_box,
    "period_end": _period_end,
    "valid_until": lambda e: _day(e, single(e.dates, "valid"), "valid"),
    "signed_date": _signed,
    "effective_date": lambda e: _day(e, single(e.dates, "effective"), "effective", _NEVER),
    "form": _form,
}
"""What finds each field; a kind's row in `kinds.toml` says which of them are looked for."""
