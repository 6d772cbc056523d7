"""What is wrong with one paper that is on file. Pure; each check looks at one thing and says it in plain words."""

import re
from collections.abc import Iterator
from datetime import date
from functools import lru_cache

from quietus.closing.date_faults import DATE_CHECKS
from quietus.closing.exam import Asks, Check, Exam, Said, always, asks_of
from quietus.closing.signs import is_of_later_year
from quietus.model.entity import COMPANY, FEDERAL, Entity
from quietus.model.expected import ExpectedPaper
from quietus.model.findings import Code, Finding, Severity
from quietus.model.kinds import Kind
from quietus.model.names import same_name
from quietus.model.paper import Paper


def checks_of(expected: ExpectedPaper) -> tuple[Check, ...]:
    """The checks that can have something to say of papers filed under an expected one."""
    return _checks(asks_of(expected))


@lru_cache(maxsize=1024)  # expected papers ask for few combinations of things
def _checks(asks: Asks) -> tuple[Check, ...]:
    return tuple(check for check in _CHECKS if check.concerns(asks))


def faults_of(exam: Exam, checks: tuple[Check, ...]) -> list[Finding]:
    """Everything that the checks find wrong with the exam's paper."""
    expected = exam.expected
    return [
        Finding(
            code=said.code,
            severity=said.severity,
            scope=expected.scope,
            expected=expected.key,
            papers=(exam.paper.id,),
            says=said.says,
            why=said.why,
            sources=expected.sources,
            next_step=said.next_step,
            who=said.who,
        )
        for check in checks
        for said in check.look(exam)
    ]


def settle_hint(paper_id: str) -> str:
    """How a person settles the doubts of a paper."""
    return f"Run `quietus review confirm {paper_id[:8]}`, or `quietus review correct {paper_id[:8]} FIELD=VALUE`."


def day_of(paper: Paper) -> date | None:
    """The day a paper counts from: the office's date, else the date it was signed or given."""
    return paper.reading.day("filing_date") or paper.reading.day("signed_date")


def _waiting(exam: Exam) -> Iterator[Said]:
    expected, paper = exam.expected, exam.paper
    doubts = paper.doubts
    if doubts:
        yield Said(
            Code.WAITING,
            Severity.BLOCKS,
            f"{expected.title} waits for review: {', '.join(doubts)} not read surely.",
            "A value below its confidence bar does not count until a person has looked.",
            settle_hint(paper.id),
        )


def _office_mark(exam: Exam) -> Iterator[Said]:
    expected, paper = exam.expected, exam.paper
    if expected.office_mark and paper.flag("stamped") is not True and "stamped" not in paper.doubts:
        mark = "printed file mark or acknowledgment" if expected.electronic else "stamp or file mark"
        yield Said(
            Code.NO_OFFICE_MARK,
            Severity.BLOCKS,
            f"{expected.title} is on file without the {mark} of {expected.issuer}.",
            "A copy without the office's mark shows what was written, not that it was filed.",
            f"Get the filed copy from {expected.issuer} and put it into the inbox.",
            "filing office",
        )


def _final_box(exam: Exam) -> Iterator[Said]:
    expected, paper = exam.expected, exam.paper
    if expected.final_box and paper.flag("final_box") is not True and "final_box" not in paper.doubts:
        yield Said(
            Code.FINAL_BOX_EMPTY,
            Severity.BLOCKS,
            f"{expected.title} is not marked final.",
            expected.note or "Without the final box ticked the agency expects another return the next year.",
            f"File an amended return with the final box ticked{_at(expected)}, and put its copy into the inbox.",
        )


def _at(expected: ExpectedPaper) -> str:
    return f" ({expected.final_box_at})" if expected.final_box_at else ""


def _period(exam: Exam) -> Iterator[Said]:
    expected, paper, closed = exam.expected, exam.paper, exam.entity.closed
    end = paper.day("period_end")
    if closed and end and end != closed and not is_of_later_year(exam.file, paper):
        yield Said(
            Code.PERIOD_MISMATCH,
            Severity.WARNS,
            f"{expected.title} covers the time to {end}; by the register the company closed on {closed}.",
            "A final return has to reach the day the company ended.",
            "Check the closing date on the register; if it is right, file an amended return.",
        )


def _only_begins(exam: Exam) -> Iterator[Said]:
    """A paper filed as the end of the company that is titled like the notice which only begins the winding up."""
    expected = exam.expected
    if not exam.paper.title:
        return
    notice = exam.file.wanted.get(f"{expected.scope}/{Kind.WINDING_UP_NOTICE.value}")
    title = _plain(exam.paper.title)
    if notice and _titled(title, notice) and not _titled(title, expected):
        yield Said(
            Code.WINDING_UP_ONLY,
            Severity.BLOCKS,
            f"The paper on file as {expected.title} is titled like {notice.title}, which only begins the winding up.",
            f"What ends the company there is: {expected.title}.",
            f"Look at it; if it is the notice, run `quietus review assign {exam.paper.id[:8]} {exam.entity.slug} --as "
            f"{notice.key}`. {expected.next_step}",
        )


def _titled(title: str, expected: ExpectedPaper) -> bool:
    return any(_plain(one) in title for one in (expected.title, *expected.titles))


def _plain(text: str) -> str:
    """Letters and digits in lower case with single blanks, so that titles can be compared."""
    return " ".join(re.findall(r"[a-z0-9]+", text.lower()))


def _ein(exam: Exam) -> Iterator[Said]:
    ein = exam.paper.text("ein")
    if ein and ein != exam.entity.ein and "ein" not in exam.paper.doubts:
        yield Said(
            Code.EIN_MISMATCH,
            Severity.BLOCKS,
            f"{exam.expected.title} carries another EIN than the register.",
            "What is filed under another number is not credited to this company.",
            "Check the EIN on the paper; if it is wrong there, have the agency correct its account.",
        )


def _name(exam: Exam) -> Iterator[Said]:
    entity, expected, name = exam.entity, exam.expected, exam.paper.text("entity_name")
    if not name or "entity_name" in exam.paper.doubts:
        return
    if not (same_name(name, entity.name) or any(same_name(name, known) for known in _other_names(entity, expected))):
        yield Said(
            Code.NAME_MISMATCH,
            Severity.BLOCKS,
            f"{expected.title} names the company otherwise than the register does.",
            "A paper in another name proves nothing about this company.",
            "Compare it with the register: add a former or local name there, or get a corrected paper.",
        )
    elif expected.kind.ends_registration and not same_name(name, _name_there(entity, expected.scope)):
        yield Said(
            Code.NAME_MISMATCH,
            Severity.WARNS,
            f"{expected.title} is in a name of the company that is not the one it is registered under there.",
            f"{expected.issuer} ends the registration that stands in the name on the filing.",
            f"Compare it with the record of {expected.issuer}; correct the register, or have the filing corrected.",
            "filing office",
        )


def _name_there(entity: Entity, scope: str) -> str:
    """The name that the company is registered under in a jurisdiction."""
    registration = entity.registration(scope)
    return registration.name if registration and registration.name else entity.name


def _other_names(entity: Entity, expected: ExpectedPaper) -> tuple[str, ...]:
    """What a paper may name the company beside its legal name: anywhere a former name, there the one used there."""
    local = entity.registration(expected.scope) if expected.scope not in {COMPANY, FEDERAL} else None
    return (*entity.former_names, *((local.name,) if local and local.name else ()))


def _file_number(exam: Exam) -> Iterator[Said]:
    number = exam.paper.text("file_number")
    registration = exam.entity.registration(exam.expected.scope) if number else None
    if not (number and registration and registration.file_number):
        return
    if re.sub(r"\D", "", number) != re.sub(r"\D", "", registration.file_number):
        yield Said(
            Code.FILE_NUMBER_MISMATCH,
            Severity.WARNS,
            f"{exam.expected.title} carries another file number than the register.",
            "The filing office finds a company by this number.",
            "Compare the number on the paper with the register.",
        )


_CHECKS = (
    Check(_waiting, always),
    Check(_office_mark, lambda asks: asks.office_mark),
    Check(_final_box, lambda asks: asks.final_box),
    Check(_period, lambda asks: asks.kind is Kind.FINAL_RETURN),
    *DATE_CHECKS,
    Check(_only_begins, lambda asks: asks.kind is Kind.DISSOLUTION),
    Check(_name, always),
    Check(_ein, always),
    Check(_file_number, lambda asks: asks.kind.ends_registration),
)
