"""Letters and forms for the preparer to check and sign, filled in from the register, the papers and the rules.

What is not known is left as a line to fill in: nothing is made up.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from quietus.bundle import wording
from quietus.bundle.drafts.consent_draft import Asked, consent_draft
from quietus.bundle.drafts.draft import Draft, Rule, letter, template
from quietus.bundle.drafts.render import draft_pdf, draft_text
from quietus.bundle.drafts.rule_file import rule_file
from quietus.closing.closings import closings, entity_named
from quietus.closing.consents import declined, filer_of, taxpayer_of
from quietus.closing.office import Office
from quietus.closing.outfile import write_out
from quietus.model.consent import Filer
from quietus.model.entity import COMPANY, FEDERAL, Entity
from quietus.model.errors import Misuse, Refused
from quietus.model.expected import Claims, ExpectedPaper
from quietus.model.findings import Line, Mark, Verdict
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.rules import Packs, claims_against, next_business_day


@dataclass(frozen=True, slots=True)
class Wish:
    """What the person says about a letter; whatever is empty is left to fill in.

    Attributes:
        to: name of whom it goes to.
        to_address: that one's address.
        company_address: the company's own address, for its letterhead, and where replies and claims go.
        more: values for further names in the letter, such as `bill`.
    """

    to: str = ""
    to_address: str = ""
    company_address: str = ""
    more: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Desk:
    """What a letter about one company is filled in from."""

    entity: Entity
    verdict: Verdict
    papers: Mapping[str, Paper]
    packs: Packs
    wish: Wish
    today: date

    def line(self, scope: str, kind: Kind) -> Line | None:
        """The first expected paper of this kind there."""
        return next((e for e in self.verdict.lines if e.expected.scope == scope and e.expected.kind is kind), None)

    def ending(self, scope: str) -> Line | None:
        """The filing that ends the registration in `scope`."""
        return self.line(scope, Kind.DISSOLUTION if scope == self.entity.home else Kind.WITHDRAWAL)

    def filed(self, line: Line | None) -> str:
        """The day of the filing, in words, when a paper on file proves it and nothing about it is in doubt."""
        for paper in (self.papers[id_] for id_ in (line.papers if line else ()) if id_ in self.papers):
            day = paper.reading.day("filing_date")
            if line and line.mark is Mark.PROVEN and paper.standing is Standing.FILED and day:
                return wording.long_date(day)
        return ""

    def number(self, scope: str) -> str:
        """The filing office's number for the company."""
        registration = self.entity.registration(scope)
        return registration.file_number if registration else ""


def draft_letter(office: Office, slug: str, name: str, wish: Wish, today: date, *, jurisdiction: str = "") -> Draft:
    """One of the letters about a company.

    Args:
        office: the opened office.
        slug: the company.
        name: one of `quietus.bundle.drafts.draft.LETTERS`.
        wish: what the person says about it.
        today: its date.
        jurisdiction: USPS code, for a letter about one registration; empty for the home one.

    Raises:
        Misuse: no such entity or letter, or the company has no registration there.
    """
    template(name)
    desk = _desk(office, slug, wish, today)
    scope = jurisdiction or desk.entity.home
    if desk.entity.registration(scope) is None:
        raise Misuse("The company has no registration there.", "Name one of its own with --jurisdiction.")
    values, rules, cautions = _FILLED[name](desk, scope)
    given = {"office": wish.to, "office_address": wish.to_address, "reply_address": wish.company_address}
    known = {"entity": desk.entity.name, "ein": desk.entity.ein, "home": _place(desk, desk.entity.home)}
    return letter(
        name,
        {**known, **values, **{key: value for key, value in given.items() if value}, **wish.more},
        sender=[desk.entity.name, *([wish.company_address] if wish.company_address else [])],
        on=today,
        rules=rules,
        cautions=cautions,
    )


def draft_consent(
    office: Office,
    slug: str,
    recipient: str,
    purpose_id: str,
    kinds: frozenset[Kind],
    *,
    scopes: frozenset[str] = frozenset(),
    years: frozenset[int] = frozenset(),
    until: date | None = None,
    members: tuple[str, ...] = (),
    taxpayer: str = "",
    filer: Filer | None = None,
) -> Draft:
    """A consent to sign: that `kinds` may be shown to `recipient` for a purpose.

    Without kinds it is about every kind that the purpose sends with a consent only.

    Raises:
        Misuse: no such entity, purpose or member; or the purpose sends nothing that needs a consent.
        Refused: the taxpayer declined one for this purpose before.
    """
    entity, purpose = entity_named(office, slug), office.purposes().get(purpose_id)
    if purpose is None:
        raise Misuse("There is no such purpose.", f"Choose one of {', '.join(sorted(office.purposes()))}.")
    wanted = kinds or purpose.needs_consent
    if purpose.to_taxpayer or not wanted:
        raise Misuse("That purpose sends nothing that needs a consent.", "Answer it without one.")
    if declined(office, slug, purpose_id):
        raise Refused(
            "The taxpayer declined a consent for this purpose, and may not be asked again for a like one.",
            "See Treas. Reg. 301.7216-3(b)(3). Give the client its own copy: `quietus bundle ENTITY --for own-copy`.",
        )
    if not set(members) <= set(entity.members):
        raise Misuse("A member named is not on the register.", "Give the names as `quietus entity show` prints them.")
    where = f" from {wording.listed([_named(office, scope) for scope in sorted(scopes)])}" if scopes else ""
    when = f" for {wording.listed([str(year) for year in sorted(years)])}" if years else ""
    asked = Asked(
        preparer=office.config.office_name,
        taxpayer=taxpayer_of(entity, taxpayer),
        filer=filer or filer_of(entity),
        company=entity.name,
        recipient=recipient.strip(),
        purpose=purpose.title,
        information=tuple(f"{kind.words}{where}{when}" for kind in Kind if kind in wanted),
        until=until,
        members=members,
    )
    return consent_draft(asked)


def write_draft(office: Office, slug: str, draft: Draft, file: Path, *, replace: bool = False) -> tuple[Path, Path]:
    """Write a draft as PDF and as plain text beside it, readable by their owner alone; the journal tells of it.

    Raises:
        Misuse: a file is there already, and may not be replaced.
        MachineFault: the machine would not do it.
    """
    pdf, text = file.with_suffix(".pdf"), file.with_suffix(".txt")
    if not replace and (pdf.exists() or text.exists()):
        raise Misuse("A file of that name exists already.", "Give another name, or --force to replace it.")
    write_out(pdf, draft_pdf(draft, office.config.office_name), replace=replace)
    write_out(text, draft_text(draft).encode(), replace=replace)
    office.vault.record("draft-made", slug, {"title": draft.title, "subject": draft.subject, "to": list(draft.to)})
    return pdf, text


def claims_deadline(claims: Claims, today: date) -> date:
    """The last day for claims on a notice of `today`: the days of the home state's law, and some for the mail.

    The days added make it late enough wherever they are counted from receipt; a weekend or legal holiday moves it on.
    """
    mail = rule_file("letters.toml").table("creditor").number("mail_days", most=60)
    return next_business_day(today + timedelta(days=claims.days + mail))


_ABOVE = {FEDERAL: "the federal government", COMPANY: "the company itself"}

_Filled = tuple[dict[str, str], Sequence[Rule], Sequence[str]]


def _desk(office: Office, slug: str, wish: Wish, today: date) -> _Desk:
    (closing,) = closings(office, [slug], today)
    return _Desk(
        entity=closing.entity,
        verdict=closing.verdict,
        papers=closing.papers,
        packs=office.packs(),
        wish=wish,
        today=today,
    )


def _place(desk: _Desk, scope: str) -> str:
    pack = desk.packs.get(scope)
    return wording.place(scope, {scope: pack.name} if pack else {})


def _named(office: Office, scope: str) -> str:
    if scope in _ABOVE:
        return _ABOVE[scope]
    pack = office.packs().get(scope)
    return pack.name if pack else scope


def _of_paper(expected: ExpectedPaper | None) -> tuple[Rule, ...]:
    """The sources of the rule that expects a paper."""
    if expected is None:
        return ()
    return tuple(Rule(f"{expected.title}: {expected.issuer}.", (), source) for source in expected.sources)


def _copy(desk: _Desk, scope: str) -> _Filled:
    line = desk.ending(scope)
    values = {
        "office": line.expected.issuer if line else "",
        "paper_title": line.expected.title if line else "",
        "file_number": desk.number(scope),
        "filed": desk.filed(line),
    }
    return values, _of_paper(line.expected if line else None), ()


def _clearance(desk: _Desk, scope: str) -> _Filled:
    line, ending = desk.line(scope, Kind.CLEARANCE), desk.ending(scope)
    registration, pack = desk.entity.registration(scope), desk.packs.get(scope)
    values = {
        "office": line.expected.issuer if line else pack.tax_agency if pack else "",
        "paper_title": line.expected.title if line else "a letter that all tax accounts are settled and closed",
        "supports": ending.expected.title if ending else "",
        "file_number": desk.number(scope),
        "accounts": "; ".join(registration.tax_accounts) if registration else "",
        "closed": wording.long_date(desk.entity.closed) if desk.entity.closed else "",
    }
    note = (
        () if line else ("The rules know of no clearance there: ask whether the agency gives one to such a company.",)
    )
    return values, _of_paper(line.expected if line else None), note


def _ein(desk: _Desk, _scope: str) -> _Filled:
    line, closed = desk.line(FEDERAL, Kind.FINAL_RETURN), desk.entity.closed
    rules = rule_file("letters.toml").table("ein")
    values = {
        "business_address": desk.wish.company_address,
        "irs_address": desk.wish.to_address,
        "reason": f"The company ended its business on {wording.long_date(closed)} and has been dissolved."
        if closed and desk.filed(desk.ending(desk.entity.home))
        else "",
        "returns": _last_return(desk, line),
    }
    cautions = [f"{' or '.join(rules.texts('addresses'))} ({rules.text('addresses_basis')})"]
    if line and line.mark is not Mark.PROVEN:
        cautions.append(f"{line.expected.title} is not proven: the account can't be closed before the last return.")
    return values, _of_paper(line.expected if line else None), cautions


def _last_return(desk: _Desk, line: Line | None) -> str:
    """A sentence on the last federal return; empty when no paper on file proves it."""
    if line is None or line.mark is not Mark.PROVEN or not line.papers:
        return ""
    end = desk.papers[line.papers[0]].reading.day("period_end")
    period = f", for the period to {wording.long_date(end)}," if end else ""
    return f"The last return, {line.expected.title}{period} was marked final."


def _creditor(desk: _Desk, _scope: str) -> _Filled:
    claims = claims_against(desk.entity, desk.packs)
    values = {
        "creditor": desk.wish.to,
        "creditor_address": desk.wish.to_address,
        "claims_address": desk.wish.company_address,
        "deadline": wording.long_date(claims_deadline(claims, desk.today)) if claims else "",
    }
    return values, _window_rules(claims), _not_dissolved(desk)


def _window_rules(claims: Claims | None) -> tuple[Rule, ...]:
    if claims is None:
        return ()
    mail = rule_file("letters.toml").table("creditor")
    added = f"{mail.number('mail_days')} days are added for the mail"
    says = f"At least {claims.days} days from {claims.counted_from}; {added}."
    return tuple(Rule(says, (), source) for source in claims.sources)


def _newspaper(desk: _Desk, _scope: str) -> _Filled:
    claims = claims_against(desk.entity, desk.packs)
    years = claims.years if claims else None
    values = {
        "newspaper": desk.wish.to,
        "newspaper_address": desk.wish.to_address,
        "claims_address": desk.wish.company_address,
        "years": wording.count(years, "year") if years else "",
    }
    said = f"Other claims are barred {years} years after publication." if years else ""
    rules = tuple(Rule(said, (), source) for source in (claims.sources if claims and years else ()))
    missing = () if years else ("The rules of the home state name no time for such claims: look up its statute.",)
    return values, rules, (*missing, *_not_dissolved(desk))


def _bill(desk: _Desk, _scope: str) -> _Filled:
    line = desk.ending(desk.entity.home)
    values = {"creditor": desk.wish.to, "creditor_address": desk.wish.to_address, "filed": desk.filed(line)}
    if line and values["filed"]:
        values |= {"paper_title": line.expected.title, "office": line.expected.issuer}
    return values, _of_paper(line.expected if line else None), _not_dissolved(desk)


def _notice(desk: _Desk, scope: str) -> _Filled:
    line = desk.ending(scope)
    values = {"file_number": desk.number(scope), "filed": desk.filed(line)}
    if line and values["filed"]:
        values["paper_title"] = line.expected.title
    note = () if values["filed"] else ("Nothing on file proves that the registration ended: end it before you answer.",)
    return values, _of_paper(line.expected if line else None), note


def _not_dissolved(desk: _Desk) -> tuple[str, ...]:
    """A caution while nothing on file proves the end at home, which the letter speaks of."""
    if desk.filed(desk.ending(desk.entity.home)):
        return ()
    return ("Nothing on file proves that the company was dissolved at home, and the letter says that it was.",)


_FILLED: Mapping[str, Callable[[_Desk, str], _Filled]] = {
    "copy": _copy,
    "clearance": _clearance,
    "ein": _ein,
    "creditor": _creditor,
    "newspaper": _newspaper,
    "bill": _bill,
    "notice": _notice,
}
"""What fills in each letter: its values, further rules behind it, further cautions."""
