"""The invented companies of the scenario. Nobody real: the EIN prefixes 07 and 08 are not assigned by the IRS."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Company:
    """A company as its papers name it.

    Attributes:
        name: legal name.
        ein: employer identification number.
        registry: its number in Oregon, where it was formed.
        formed: the day its articles of organization were filed, in words.
        closed: last day of its last tax year, as a return writes it.
        members: the two members.
        street: street and number.
        city: city, state, ZIP.
    """

    name: str
    ein: str
    registry: str
    formed: str
    closed: str
    members: tuple[str, str]
    street: str
    city: str


BRINDLEWICK = Company(
    "Brindlewick Oven & Proofer Works LLC",
    "07-4418230",
    "1482207-93",
    "April 11, 2016",
    "06/30/2026",
    ("Odalys Pemberwick", "Tobias Quernstone"),
    "418 Tannery Lane, Unit 6",
    "Millrace Bend, Oregon 97009",
)
SALTMARSH = Company(
    "Saltmarsh Sheeter Supply LLC",
    "08-3307915",
    "1611940-90",
    "February 5, 2018",
    "03/31/2026",
    ("Ines Hollowbrook", "Rufus Tattersley"),
    "77 Cannery Slip",
    "Heron Landing, Oregon 97109",
)
THISTLEDOWN = Company(
    "Thistledown Pan Glazing LLC",
    "09-1120463",
    "1559013-98",
    "June 20, 2017",
    "07/31/2026",
    ("Corwin Haverstraw", "Petra Lindqvale"),
    "9 Fuller's Court",
    "Alder Crossing, Oregon 97209",
)
