"""The client company, its registrations and its members."""

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from quietus.model.errors import Misuse

FEDERAL = "US"
"""Scope code of the federal level, beside the USPS codes of the jurisdictions."""
COMPANY = "company"
"""Scope code of what the entity itself must yield, wherever it is registered."""

_CODES = (
    "AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR"
    " PA PR RI SC SD TN TX UT VT VA WA WV WI WY"
)
JURISDICTIONS = frozenset(_CODES.split())
"""Codes of the fifty states, the District of Columbia and Puerto Rico (USPS Publication 28, appendix B)."""

EIN_PATTERN = re.compile(r"\d{2}-\d{7}")


class TaxClass(StrEnum):
    """How the company is taxed federally (Treas. Reg. 301.7701-2 and -3)."""

    DISREGARDED = "disregarded"
    PARTNERSHIP = "partnership"
    S_CORPORATION = "s-corporation"
    C_CORPORATION = "c-corporation"


@dataclass(frozen=True, slots=True)
class Registration:
    """The entity's standing in one jurisdiction.

    Attributes:
        jurisdiction: USPS code.
        file_number: the filing office's number for the company; empty when not known.
        since: date formed or registered there.
        name: the name it is registered under there, when it is not the legal name.
        tax_accounts: what it pays there, as `type: number`, such as `sales: 600-123-456`.
    """

    jurisdiction: str
    file_number: str = ""
    since: date | None = None
    name: str = ""
    tax_accounts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entity:
    """The client company being closed.

    Attributes:
        slug: short name used at the terminal; lower case letters, digits and dashes.
        name: legal name.
        ein: nine digits as `NN-NNNNNNN`.
        tax_class: federal classification.
        home: USPS code of the jurisdiction it was formed in.
        registrations: the home one and every foreign one, home first.
        formed: formation date.
        closed: the day business stopped and the last tax year ends; None while not known.
        year_end: month and day of the ordinary tax-year end, (12, 31) when calendar.
        members: names.
        employees: whether wages were paid in the last year.
        former_names: names the company had before.
        has_assets: whether there was anything to sell, distribute or hand over.
        has_creditors: whether creditors are known; None when the register does not say.
        contractors_paid: whether anybody was paid for services in the last year without being an employee.
        sold_business: whether assets that make up a business were sold as one.
        last_wages: the day the last wages were paid; None while not known.
        plan_adopted: the day the members adopted the resolution or plan to dissolve; None while not known.
    """

    slug: str
    name: str
    ein: str
    tax_class: TaxClass
    home: str
    registrations: tuple[Registration, ...]
    formed: date | None = None
    closed: date | None = None
    year_end: tuple[int, int] = (12, 31)
    members: tuple[str, ...] = ()
    employees: bool = False
    former_names: tuple[str, ...] = ()
    has_assets: bool = True
    has_creditors: bool | None = None
    contractors_paid: bool = False
    sold_business: bool = False
    last_wages: date | None = None
    plan_adopted: date | None = None

    def registration(self, jurisdiction: str) -> Registration | None:
        """The registration in `jurisdiction`, or None."""
        return next((r for r in self.registrations if r.jurisdiction == jurisdiction), None)

    @property
    def foreign(self) -> tuple[Registration, ...]:
        """Every registration but the home one."""
        return tuple(r for r in self.registrations if r.jurisdiction != self.home)

    @property
    def names(self) -> tuple[str, ...]:
        """Every name the register knows the company by, legal name first."""
        local = tuple(r.name for r in self.registrations if r.name)
        return tuple(dict.fromkeys((self.name, *local, *self.former_names)))


def slug_of(name: str) -> str:
    """A short name for the terminal: the first two words of the legal name, lower case, joined by a dash.

    Raises:
        Misuse: the name has no letter or digit at all.
    """
    words = re.findall(r"[a-z0-9]+", name.lower())
    if not words:
        raise Misuse("An entity needs a legal name with at least one letter or digit.", "Give its legal name.")
    return "-".join(words[:2])
