"""The taxpayer's consent to show tax-return information to somebody, and what it covers. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from quietus.model.kinds import Kind


class Filer(StrEnum):
    """What kind of return the taxpayer files; more is prescribed for a consent to the first."""

    INDIVIDUAL = "individual"  # in the Form 1040 series: Treas. Reg. 301.7216-3(a)(3)(ii), Rev. Proc. 2013-14
    BUSINESS = "business"  # any other: Treas. Reg. 301.7216-3(a)(3)(iii)


@dataclass(frozen=True, slots=True)
class Consent:
    """One consent as signed, recorded on the word of the signed paper (Treas. Reg. 301.7216-3(a)(3)).

    Attributes:
        id: its own, hex digits.
        entity: slug of the company whose papers it is about.
        taxpayer: name of the taxpayer.
        filer: what kind of return the taxpayer files.
        recipient: to whom may be shown, as the paper names it.
        purpose: id of the purpose that it was given for.
        kinds: kinds of paper that may be shown.
        scopes: USPS codes, FEDERAL or COMPANY that they may be from; empty for all.
        years: years in which the periods of the papers may end; empty for all.
        members: members who signed for what is their own, such as a Schedule K-1.
        signer: who signed for the taxpayer.
        signed: the day it was signed.
        until: the last day on which it holds.
        paper: id of the signed paper in the vault.
        withdrawn: the day it was taken back; None while it was not.
        withdrawn_why: what was said then.
    """

    id: str
    entity: str
    taxpayer: str
    filer: Filer
    recipient: str
    purpose: str
    kinds: frozenset[Kind]
    scopes: frozenset[str]
    years: frozenset[int]
    members: frozenset[str]
    signer: str
    signed: date
    until: date
    paper: str
    withdrawn: date | None = None
    withdrawn_why: str = ""

    def stands(self, today: date) -> str:
        """Why it does not hold on `today`; empty when it does."""
        if self.withdrawn is not None and self.withdrawn <= today:
            return f"it was withdrawn on {self.withdrawn}"
        if self.signed > today:
            return f"it is not signed before {self.signed}, and a consent comes before the disclosure"
        if self.until < today:
            return f"it ran out on {self.until}"
        return ""

    def answers(self, recipient: str, purpose: str) -> str:
        """Why it is not for this recipient and purpose; empty when it is."""
        if _same(self.recipient) != _same(recipient):
            return "it names another recipient"
        if self.purpose != purpose:
            return f"it was given for another purpose ({self.purpose})"
        return ""

    def limits(self, scope: str, kind: Kind, year: int | None) -> str:
        """Why it does not reach a paper; empty when it does.

        Args:
            scope: USPS code, FEDERAL or COMPANY.
            kind: the kind of paper.
            year: the year in which the paper's period ends; None when it has none or it was not read.
        """
        if kind not in self.kinds:
            return f"it does not name {kind.words}"
        if self.scopes and scope not in self.scopes:
            return f"it does not name {scope}"
        if self.years and year not in self.years:
            return "it does not name the paper's year" if year else "it names years, and the paper's is not known"
        return ""


def _same(name: str) -> str:
    return " ".join(name.split()).casefold()


@dataclass(frozen=True, slots=True)
class Declined:
    """A taxpayer's no to a request for consent: the same may not be asked again (Treas. Reg. 301.7216-3(b)(3)).

    Attributes:
        id: its own, digits.
        entity: slug of the company whose papers it is about.
        recipient: to whom would have been shown.
        purpose: id of the purpose.
        on: the day it was said.
        by: who wrote it down.
    """

    id: str
    entity: str
    recipient: str
    purpose: str
    on: date
    by: str


@dataclass(frozen=True, slots=True)
class Permission:
    """What may be shown of tax-return information in one answer.

    Attributes:
        taxpayer: True when the answer goes to the taxpayer, to whom nothing is disclosed that is another's.
        good: the consents that hold for this recipient, purpose and day.
        refused: every other consent of the company, each with the reason.
        own: kinds that are each member's own, so that every one of `members` has to have signed.
        members: the company's members.
    """

    taxpayer: bool = False
    good: tuple[Consent, ...] = ()
    refused: tuple[tuple[Consent, str], ...] = ()
    own: frozenset[Kind] = frozenset()
    members: frozenset[str] = frozenset()

    def for_paper(self, scope: str, kind: Kind, year: int | None) -> tuple[str, str]:
        """The id of the consent under which a paper may be shown, and otherwise the reason why not."""
        if self.taxpayer:
            return "", ""
        reasons = []
        for consent in self.good:
            reason = consent.limits(scope, kind, year) or self._others(consent, kind)
            if not reason:
                return consent.id, ""
            reasons.append(f"consent {consent.id}: {reason}")
        reasons += [f"consent {consent.id}: {reason}" for consent, reason in self.refused]
        return "", _told(reasons)

    def reaches(self, scope: str, kind: Kind) -> bool:
        """True when something of this kind and scope may be shown, of one year at least."""
        return self.taxpayer or any(
            not consent.limits(scope, kind, min(consent.years, default=None)) and not self._others(consent, kind)
            for consent in self.good
        )

    def whole(self, kind: Kind) -> bool:
        """True when everything of this kind may be shown, wherever it is from and of whatever year."""
        return self.taxpayer or any(
            kind in consent.kinds and not consent.scopes and not consent.years and not self._others(consent, kind)
            for consent in self.good
        )

    def _others(self, consent: Consent, kind: Kind) -> str:
        """Why a consent does not speak for those whose own the paper is; empty when it does."""
        if kind in self.own and not (self.members and self.members <= consent.members):
            return f"{kind.words} is each member's own, and not every member signed"
        return ""


def _told(reasons: Iterable[str]) -> str:
    found = "; ".join(reasons)
    base = "It is tax-return information, and leaves only with the taxpayer's consent (26 U.S.C. 7216)"
    return f"{base}: {found}." if found else f"{base}: none is on file."


NO_CONSENT = Permission()
"""What may be shown when nobody consented: nothing."""


def consent_to_json(consent: Consent) -> dict[str, Any]:
    """A consent as plain JSON data: dates as ISO 8601 text, sets as sorted lists."""
    return {
        "taxpayer": consent.taxpayer,
        "filer": consent.filer.value,
        "recipient": consent.recipient,
        "purpose": consent.purpose,
        "kinds": sorted(consent.kinds),
        "scopes": sorted(consent.scopes),
        "years": sorted(consent.years),
        "members": sorted(consent.members),
        "signer": consent.signer,
        "signed": consent.signed.isoformat(),
        "until": consent.until.isoformat(),
        "paper": consent.paper,
        "withdrawn": consent.withdrawn.isoformat() if consent.withdrawn else None,
        "withdrawn_why": consent.withdrawn_why,
    }


def consent_from_json(consent_id: str, entity: str, data: Mapping[str, Any]) -> Consent:
    """Inverse of `consent_to_json`."""
    return Consent(
        id=consent_id,
        entity=entity,
        taxpayer=data["taxpayer"],
        filer=Filer(data["filer"]),
        recipient=data["recipient"],
        purpose=data["purpose"],
        kinds=frozenset(map(Kind, data["kinds"])),
        scopes=frozenset(data["scopes"]),
        years=frozenset(data["years"]),
        members=frozenset(data["members"]),
        signer=data["signer"],
        signed=date.fromisoformat(data["signed"]),
        until=date.fromisoformat(data["until"]),
        paper=data["paper"],
        withdrawn=date.fromisoformat(data["withdrawn"]) if data["withdrawn"] else None,
        withdrawn_why=data["withdrawn_why"],
    )
