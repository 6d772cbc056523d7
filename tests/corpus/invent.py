"""Invented facts: one company, its people, its numbers and its days, all drawn from a source of chance."""

import random
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from tests.corpus import days

_FOLDER = Path(__file__).parent
_PREFIXES = ("00", "07", "08", "09")  # of an EIN: not assigned by the IRS


@dataclass(frozen=True, slots=True)
class Place:
    """A jurisdiction as its papers name it; the fields are explained in places.toml."""

    code: str
    name: str
    office: str
    division: str
    capital: str
    dissolution: tuple[str, ...]
    withdrawal: tuple[str, ...]
    agency: str
    label: str
    number: str
    returns: tuple[tuple[str, str], ...] = ()
    clearance: str = ""
    winding_up: str = ""
    commonwealth: bool = False

    @property
    def whole(self) -> str:
        """`State of Oregon`, `Commonwealth of Virginia`."""
        if self.code == "DC":
            return self.name
        return f"{'Commonwealth' if self.commonwealth else 'State'} of {self.name}"

    @property
    def desk(self) -> str:
        """The filing office with its jurisdiction before it: `Oregon Secretary of State`."""
        if self.office.endswith("Commonwealth"):
            return f"{self.office} of {self.name}"
        return f"{self.name} {self.office}"


@dataclass(frozen=True, slots=True)
class Case:
    """Everything a paper may say. Days: decided <= signed < received <= filed; formed long before.

    Attributes:
        dice: source of chance for what is left open.
        place: the jurisdiction the paper is about.
        home: where the company was formed; `place` itself for a dissolution.
        style: how this paper writes its days.
        reach: a day after `filed`: a deadline, or the end of a certificate's validity.
        ended: last day of the last tax year, the end of a month before `filed`.
    """

    dice: random.Random
    place: Place
    home: Place
    name: str
    ein: str
    number: str
    account: str
    people: tuple[str, str]
    street: str
    town: str
    formed: date
    decided: date
    signed: date
    received: date
    filed: date
    reach: date
    ended: date
    style: days.Style = field(repr=False)

    def day(self, day: date) -> str:
        """The day as this paper writes days."""
        return self.style(day)

    def pick(self, *choices: str) -> str:
        """One of several wordings."""
        return self.dice.choice(choices)

    def money(self, low: int = 100, high: int = 99999) -> str:
        """An amount of dollars."""
        return f"{self.dice.randrange(low, high):,}"

    def chance(self, share: float) -> bool:
        """True in so large a share of cases."""
        return self.dice.random() < share

    @property
    def facts(self) -> dict[str, str]:
        """What the sentences of wording.toml may name."""
        place, home = self.place, self.home
        return {
            "name": self.name,
            "place": place.name,
            "whole": place.whole,
            "office": place.office,
            "desk": place.desk,
            "division": place.division,
            "capital": place.capital,
            "agency": place.agency,
            "home": home.name,
            "ein": self.ein,
            "number": self.number,
            "account": self.account,
            "first": self.people[0],
            "second": self.people[1],
            "street": self.street,
            "town": self.town,
            "formed": self.day(self.formed),
            "decided": self.day(self.decided),
            "signed": self.day(self.signed),
            "received": self.day(self.received),
            "filed": self.day(self.filed),
            "reach": self.day(self.reach),
            "ended": self.day(self.ended),
            "formally": days.formal(self.signed),
        }


@cache
def words() -> dict[str, list[str]]:
    """The word lists."""
    data: dict[str, list[str]] = tomllib.loads((_FOLDER / "words.toml").read_text(encoding="utf-8"))
    return data


@cache
def wording() -> dict[str, dict[str, list[str]]]:
    """The sentences of every layout."""
    data: dict[str, dict[str, list[str]]] = tomllib.loads((_FOLDER / "wording.toml").read_text(encoding="utf-8"))
    return data


@cache
def places() -> tuple[Place, ...]:
    """Every jurisdiction."""
    rows = tomllib.loads((_FOLDER / "places.toml").read_text(encoding="utf-8"))["place"]
    return tuple(Place(**{key: _frozen(value) for key, value in row.items()}) for row in rows)


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value


def digits(pattern: str, dice: random.Random) -> str:
    """`pattern` with a digit for every #."""
    return "".join(str(dice.randrange(10)) if sign == "#" else sign for sign in pattern)


def company(dice: random.Random) -> str:
    """A company's legal name."""
    lists = words()
    suffix = dice.choice(lists["suffixes"])
    return f"{dice.choice(lists['heads'])} {dice.choice(lists['tails'])}{'' if suffix[0] == ',' else ' '}{suffix}"


def person(dice: random.Random) -> str:
    """A person's name, sometimes with a middle initial."""
    lists = words()
    middle = f" {dice.choice('ABCDEFGHJKLMRSTW')}." if dice.random() < 0.3 else ""
    return f"{dice.choice(lists['given'])}{middle} {dice.choice(lists['family'])}"


def _month_end(near: date) -> date:
    return near.replace(day=1) - timedelta(1)


def invented(dice: random.Random, among: Sequence[Place], *, at_home: bool) -> Case:
    """A case in one of the jurisdictions `among`; `at_home` when the company was formed there."""
    place = dice.choice(among)
    home = place if at_home else dice.choice([other for other in places() if other.code != place.code])
    filed = date(2018, 1, 2) + timedelta(dice.randrange(3200))
    received = filed - timedelta(dice.randrange(1, 6))
    signed = received - timedelta(dice.randrange(1, 20))
    lists = words()
    people = (person(dice), person(dice))
    return Case(
        dice=dice,
        place=place,
        home=home,
        name=company(dice),
        ein=f"{dice.choice(_PREFIXES)}-{dice.randrange(1000000, 9999999)}",
        number=digits(place.number, dice),
        account=digits(dice.choice(("###-######", "#######-##", "########")), dice),
        people=people,
        street=f"{dice.randrange(10, 2400)} {dice.choice(lists['streets'])}",
        town=f"{dice.choice(lists['towns'])}, {home.code} {dice.randrange(10000, 99000)}",
        formed=filed - timedelta(dice.randrange(900, 5200)),
        decided=signed - timedelta(dice.randrange(1, 30)),
        signed=signed,
        received=received,
        filed=filed,
        reach=filed + timedelta(dice.randrange(30, 150)),
        ended=_month_end(signed - timedelta(dice.randrange(10, 60))),
        style=dice.choice(days.PRINTED),
    )
