"""Dates in every style that U.S. papers use, also when the recogniser slipped on a letter or a digit.

A slip (O for 0, l for 1, S for 5, B for 8 …) is repaired only when the result is a date of the calendar, and each
repair makes the date less sure. Nothing is guessed: two readings that are both possible give no date.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rapidfuzz.distance import Levenshtein

_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_SHORT = {name[:3]: number for number, name in enumerate(_MONTHS, 1)} | {"sept": 9}
_DAYS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
    "twentieth", "twenty-first", "twenty-second", "twenty-third", "twenty-fourth", "twenty-fifth", "twenty-sixth",
    "twenty-seventh", "twenty-eighth", "twenty-ninth", "thirtieth", "thirty-first",
)  # fmt: skip
_DAY_WORDS = {name: number for number, name in enumerate(_DAYS, 1)}

_TO_DIGIT = str.maketrans("OoQDIl|!iSsBZzGgqT", "000011111558226997")
_TO_LETTER = str.maketrans("015826|!", "olsbzgll")
_BEHEADED = {"eb": 2, "pr": 4, "ay": 5, "un": 6, "ul": 7, "ug": 8, "ep": 9, "ov": 11, "ec": 12}
"""Short names without their first letter, but for those that are another word."""
_D = r"[\dOoQDIil|!SsBZz]"  # a digit, or what is often read in its place
_MONTH_WORD = r"[A-Za-z015826|!]{3,10}?"
_DAY_WORD = "|".join(sorted((name.replace("-", "[- ]") for name in _DAYS), key=len, reverse=True))
_REPAIR = 0.8  # what each repaired sign leaves of the certainty
_TWO_DIGIT_YEAR = 0.95
_EARLIEST, _LATEST = 1900, 2099
_TWO_AND_TWO = re.compile(r"[12]\d [A-Z]{3} [0-3]\d")
_GOES_ON = re.compile(r"\W{1,3}([A-Za-z]{2}|\d{1,2}:\d\d)")
"""What follows a date whose year is whole: `19` could be the first half of a longer year, the rest cut off or lost."""
_TURNED = 0.6  # what is left of the certainty when the first of two numbers could be the year as well
_RECENT = 2010  # of two years that a stamp of two digits could mean, one before this is not the one


@dataclass(frozen=True, slots=True)
class Found:
    """A date found in a text.

    Attributes:
        day: the date.
        start: first character of it.
        end: one past the last character.
        sure: 1.0 when it stood there as it should, less for every repair.
    """

    day: date
    start: int
    end: int
    sure: float


_STYLES: tuple[re.Pattern[str], ...] = (
    # the 4th day of March, 2025 / this fourth day of March 2025
    re.compile(
        rf"\b(?P<d>{_D}{{1,2}}(?:st|nd|rd|th)|{_DAY_WORD})\s+day\s+of\s+(?P<m>{_MONTH_WORD})\s*[,.]?\s*"
        rf"(?:A\.?D\.?,?\s*)?(?P<y>{_D}{{4}})(?!\w)",
        re.IGNORECASE,
    ),
    # March 4, 2025 / MAR 04 2025 / Mar. 4th, '25 / MAR042025
    re.compile(
        rf"(?<![A-Za-z])(?P<m>{_MONTH_WORD})\s*[.,:;~_-]?\s*(?P<d>{_D}{{1,2}})(?:st|nd|rd|th)?\s*[.,:;~'\u2019_-]*\s*"
        rf"(?P<y>{_D}{{4}}|(?<=['\u2019]){_D}{{2}})(?!\w)"
    ),
    # RUG 04 2025, EB 04 2025: capitals of a stamp, one misread or cut off; O04: a nought with a stroke, read as two
    re.compile(
        rf"(?<![\w.])(?P<m>[A-Z]{{2,3}})[ .-]{{1,2}}(?P<d>[OQ][0OQ]{_D}|{_D}{{2}})[ .,-]{{1,2}}"
        rf"(?P<y>[12]{_D}{{3}})(?![\w:])"
    ),
    # MAR 04 25, as some date stamps have it
    re.compile(
        rf"(?<![A-Za-z])(?P<m>[A-Z015826]{{3,9}})[ .-]+(?P<d>{_D}{{1,2}})[ .,-]+['\u2019]?(?P<y>{_D}{{2}})(?![\w:])",
    ),
    # 4 MAR 2025 / 04-Mar-25 / 4th March, 2025
    re.compile(
        rf"(?<!\w)(?P<d>{_D}{{1,2}})(?:st|nd|rd|th)?[ .,-]*(?P<m>{_MONTH_WORD})[ .,'\u2019-]*"
        rf"(?P<y>{_D}{{4}}|\d\d(?![ .,-]*\w))(?!\w)",
    ),
    # 25 MAR 04, the year first, as some time clocks have it
    re.compile(r"(?<![\w/.-])(?P<y>[12]\d) (?P<m>[A-Z]{3}) (?P<d>[0-3]\d)(?![\w/:-])"),
    # 25 MAR 04 / 25 MAR -4 before a time of day
    re.compile(
        rf"(?<![\w/.-])(?P<y>[12]\d) ?(?P<m>[A-Z]{{3}}) ?(?P<clock>)-?(?P<d>{_D}{{1,2}}),? {{1,3}}"
        rf"(?=(?:[AP]\.?M\b|\d{{1,2}}[:.]?\d{{2}}))"
    ),
    # 2025 MAR 04 / 2025 MAR -4, as time clocks have it
    re.compile(
        rf"(?<![\w/-])(?P<y>[12]\d{{3}})\s?[ .,-]\s?(?P<m>[A-Z]{{3,9}})\s?[ .,-]{{0,2}}\s?(?P<d>{_D}{{1,2}})"
        rf"(?![\w/:]|-\d)"
    ),
    # 2025-03-04
    re.compile(
        rf"(?<![\w/-])(?P<y>[12]{_D}{{3}})\s?[-/.]\s?(?P<m>{_D}{{1,2}})\s?[-/.]\s?(?P<d>{_D}{{1,2}})(?:(?=T\d\d:)|(?![\w/-]))"
    ),
    # 03%0472025: slashes of a stamp misread, one of them as a digit
    re.compile(
        r"(?<![\w/.-])(?P<m>[01]\d)(?P<slash>[%\u201c\"'\u2018:;*])(?P<d>[0-3]\d)[1471|l](?P<y>[12]\d{3})(?!\w)"
    ),
    re.compile(
        r"(?<![\w/.-])(?P<m>[01]\d)[1471|l](?P<d>[0-3]\d)(?P<slash>[%\u201c\"'\u2018:;*])(?P<y>[12]\d{3})(?!\w)"
    ),
    re.compile(
        r"(?<![\w/.-])(?P<m>[01]\d)(?P<slash>[%\u201c\"'\u2018:;*])(?P<d>[0-3]\d)[%\u201c\"'\u2018;*](?P<y>[12]\d{3})(?!\w)"
    ),
    # 0370472025: slashes of pinholes that look like digits; hardly any other number of ten digits reads so
    re.compile(r"(?<![\w/.-])(?P<m>[01]\d)(?P<slash>[147])(?P<d>[0-3]\d)[147](?P<y>(?:199|20[0-4])\d)(?!\w)"),
    # 03 04 2025, as some stamps have it
    re.compile(r"(?<![\w/.-])(?<!\d )(?P<m>0\d|1[0-2]) (?P<spaced>)(?P<d>[0-3]\d) (?P<y>20[0-4]\d)(?! ?\d|[\w/-])"),
    # 3/4/2025, 03-04-25, 03.04.2025
    re.compile(
        rf"(?<![\w/.-])(?P<m>{_D}{{1,2}})\s?(?P<sep>[-/.])\s?(?P<d>{_D}{{1,2}})\s?(?P=sep)\s?(?P<y>{_D}{{4}}|{_D}{{2}})(?![\w/-])"
    ),
)


_SPAN = re.compile(r"(?<=[/\d]\d\d)[-\u2014\u2013](?=\d{1,2}/\d{1,2}/\d)")  # the dash between two dates, not within one


def find_dates(text: str) -> list[Found]:
    """Every date in `text`, in order, none overlapping another; where two styles fit, the surer one stays."""
    text = _SPAN.sub("~", text).replace("_", " ")
    found = [hit for style in _STYLES for match in style.finditer(text) for hit in _dates_of(match)]
    found.sort(key=lambda hit: (-hit.sure, hit.start - hit.end))
    kept: list[Found] = []
    for hit in found:
        if all(hit.end <= other.start or hit.start >= other.end for other in kept):
            kept.append(hit)
    return sorted(kept, key=lambda hit: hit.start)


def _dates_of(match: re.Match[str]) -> Iterator[Found]:
    month, slips = _month(match["m"])
    day, more = _day(match["d"])
    year, most = _year(match["y"])
    if not (month and day and year):
        return
    try:
        value = date(year, month, day)
    except ValueError:
        return
    slips += 2 if "slash" in match.groupdict() else 1 if "spaced" in match.groupdict() else 0
    slips += 3 if match["y"] in {"19", "20"} and not _GOES_ON.match(match.string, match.end()) else 0
    sure = _REPAIR ** (slips + more + most) * (_TWO_DIGIT_YEAR if len(match["y"]) == 2 else 1.0)
    sure *= _TURNED if _either_way(match, year) else 1.0
    yield Found(value, match.start(), match.end(), sure)


def _either_way(match: re.Match[str], year: int) -> bool:
    """True for `14 MAR 22`, day first or year first, when both years could be; not for a clock that tells the time."""
    if not _TWO_AND_TWO.fullmatch(match[0].strip(" .,")) or "clock" in match.groupdict():
        return False
    return year < _RECENT or int(match["d"]) >= _RECENT % 100


def _number(text: str) -> tuple[int, int]:
    """The number that digits, some of them misread, stand for, and how many were repaired."""
    digits = text.translate(_TO_DIGIT)
    if not digits.isdigit():
        return 0, 9
    slips = sum(1 for old, new in zip(text, digits, strict=True) if old != new)
    return (int(digits), slips) if slips < len(text) else (0, 9)


def _day(text: str) -> tuple[int, int]:
    word = text.lower().replace(" ", "-")
    if word in _DAY_WORDS:
        return _DAY_WORDS[word], 0
    bare = re.sub(r"(st|nd|rd|th)$", "", text, flags=re.IGNORECASE)
    if bare != text and len(bare) == 1:  # `Sth`: its ending vouches for a lone misread digit
        bare = "0" + bare
    return _number(bare)


def _year(text: str) -> tuple[int, int]:
    year, slips = _number(text)
    if len(text) == 2 and slips < 9:
        year += 2000 if year < 70 else 1900
    return (year, slips) if _EARLIEST <= year <= _LATEST else (0, 9)


def _month(text: str) -> tuple[int, int]:
    """The month that a word or number stands for, and how many signs were repaired; 0 when it is none."""
    if len(text) < 3:  # `012` in an amount of money is no month
        number, slips = _number(text)
        if 1 <= number <= 12:
            return number, slips
    word = text.lower()
    if word in _SHORT:
        return _SHORT[word], 0
    if word in _MONTHS:
        return _MONTHS.index(word) + 1, 0
    return _misread_month(word)


def _misread_month(word: str) -> tuple[int, int]:
    """A short name after exchanging lookalikes, or a long one that is one letter off; never a guess between two."""
    swapped = word.replace("rn", "m").translate(_TO_LETTER)
    forms = {swapped, swapped.replace("i", "l"), swapped.replace("l", "i"), swapped.replace("0", "o")}
    if swapped[0] in "il":  # a J without its hook
        forms.add("j" + swapped[1:])
    exact = {_SHORT.get(form, 0) for form in forms} | {_long_month(form) for form in forms}
    exact.discard(0)
    if len(exact) == 1:
        return exact.pop(), 1
    near = {number for number, name in enumerate(_MONTHS, 1) if len(name) >= 5 and _one_off(swapped, name)}
    return (near.pop(), 1) if len(near) == 1 else _blurred_month(swapped) if len(word) > 3 else _short_month(word)


def _short_month(word: str) -> tuple[int, int]:
    """A short name that lacks its first letter, or has one misread, when no other is as near: two repairs."""
    if len(word) == 3:
        near = {number for name, number in _SHORT.items() if len(name) == 3 and Levenshtein.distance(word, name) == 1}
        return (near.pop(), 2) if len(near) == 1 else (0, 9)
    return (_BEHEADED[word], 2) if word in _BEHEADED else (0, 9)


def _blurred_month(word: str) -> tuple[int, int]:
    """A long name with two or three letters misread, when no other month is anywhere near; counted as two repairs."""
    if len(word) < 6:
        return 0, 9
    alike = sorted(
        ((Levenshtein.normalized_similarity(word, name), n) for n, name in enumerate(_MONTHS, 1)), reverse=True
    )
    return (alike[0][1], 2) if alike[0][0] >= 0.6 and alike[1][0] < 0.45 else (0, 9)


def _long_month(word: str) -> int:
    return _MONTHS.index(word) + 1 if word in _MONTHS else 0


def _one_off(left: str, right: str) -> bool:
    """True when one letter changed, added or left out makes the two alike."""
    if abs(len(left) - len(right)) > 1:
        return False
    same = 0
    while same < min(len(left), len(right)) and left[same] == right[same]:
        same += 1
    tails = {(left[same + 1 :], right[same + 1 :]), (left[same + 1 :], right[same:]), (left[same:], right[same + 1 :])}
    return any(a == b for a, b in tails)
