"""From due to destroyed: what a person must do, what stops it, and what is left to show."""

import hashlib
import json
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from quietus.closing import holds, parts
from quietus.closing.approval import approve, approve_too, due, withdraw
from quietus.closing.certificate import export_certificate
from quietus.closing.closings import verify
from quietus.closing.consents import Signed, record_consent, withdraw_consent
from quietus.closing.disposal import certificate_named, certificates, destroy_again, dispose, resume
from quietus.closing.events import record_event
from quietus.closing.firm import overview
from quietus.closing.keeping import retention
from quietus.closing.office import Office, open_office
from quietus.closing.policy import accept
from quietus.closing.policy_diff import policy_diff, unaccepted
from quietus.closing.retention_report import retention_report
from quietus.closing.safekeeping import back_up_office, restore_office
from quietus.model.errors import BadData, Misuse, Refused
from quietus.model.findings import Code
from quietus.model.hold import Hold
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing
from quietus.vault import Card, LockKind, add_lock, check_vault, copies, place_at, signed_by
from tests.closing.make import ENTITY, reading
from tests.closing.quick import clock, office, office_pattern, quick_locks, tmp_path
from tests.closing.retained import PASSPHRASE, Clock, file, later, write_policy
from tests.conftest import ROOT
from tests.vault.make import CHEAP
from tests.vault.test_destruction import remains, wrapped_key

__all__ = ["clock", "office", "office_pattern", "quick_locks", "tmp_path"]

TODAY = date(2026, 11, 20)
WHY = "the time is over"


def hold(**more: object) -> Hold:
    return replace(Hold(id="", reason="a matter", by="", on=TODAY), **more)  # type: ignore[arg-type]


def gone(office: Office) -> set[str]:
    return {stub.id for stub in office.vault.stubs()}


def ids(office: Office) -> set[str]:
    return {one.kept.paper.id for one in due(office, office.today)}


def test_from_due_to_certified(office: Office) -> None:
    paper = file(office)
    young = file(office, b"young", signed="2026-03-01")
    assert ids(office) == {paper.id}
    given = approve(office, [paper.id[:8]], WHY)
    assert gone(office) == set()
    made = dispose(office)
    assert [one.refused for one in made.outcomes] == [""]
    assert gone(office) == {paper.id}
    assert [one.id for one in office.vault.papers()] == [young.id]
    (certificate,) = made.certificates
    assert certificate == certificate_named(office.vault, paper.id[:6])
    tree = certificate.tree
    assert tree["paper"]["sha256"] == hashlib.sha256(b"a paper").hexdigest()
    assert (tree["rule"]["id"], tree["rule"]["until"]) == ("consents", "2026-03-01")
    assert (tree["approved"]["approval"], tree["approved"]["reason"]) == (given.id, WHY)
    assert tree["rule"]["sources"] == ["Closings manual, page 20 (common practice, no source, checked 2026-11-25)"]
    assert ids(office) == set()
    assert dispose(office).outcomes == ()
    assert check_vault(office.vault).sound
    actions = [entry.action for entry in office.vault.journal() if entry.about == paper.id]
    assert actions == ["paper-filed", "destruction-begun", "disposal-begun", "paper-destroyed", "destruction-certified"]


def test_a_stranger_verifies_the_certificate_with_openssl_alone(office: Office, tmp_path: Path) -> None:
    paper = file(office)
    approve(office, [paper.id], WHY)
    (certificate,) = dispose(office).certificates
    folder = tmp_path / "certificate"
    export_certificate(certificate, folder)
    assert b"quillfeather" not in certificate.json_file + certificate.text_file
    assert ENTITY.name.encode() not in certificate.json_file + certificate.text_file
    assert ENTITY.slug.encode() not in certificate.json_file + certificate.text_file
    assert json.loads((folder / "certificate.json").read_text())["paper"]["id"] == paper.id

    def verified(name: str) -> bool:
        asked = ["openssl", "pkeyutl", "-verify", "-pubin", "-inkey", "vault-key.pem", "-rawin", "-in", name]
        done = subprocess.run([*asked, "-sigfile", f"{name}.sig"], cwd=folder, capture_output=True, check=False)
        return done.returncode == 0

    assert verified("certificate.json")
    assert verified("certificate.txt")
    (folder / "certificate.txt").write_bytes(certificate.text_file.replace(b"2026", b"2025", 1))
    assert not verified("certificate.txt")


# --- holds ------------------------------------------------------------------------------------------------------


SCOPES: dict[str, Callable[[str], Hold]] = {
    "entity": lambda _: hold(entity=ENTITY.slug),
    "paper": lambda paper: hold(paper=paper[:9]),
    "jurisdiction": lambda _: hold(jurisdiction="OR"),
    "kind": lambda _: hold(kinds=frozenset({"consent", "clearance"})),
    "days": lambda _: hold(since=date(2025, 1, 1), until=date(2025, 12, 31)),
    "all of it": lambda _: hold(entity=ENTITY.slug, jurisdiction="OR", kinds=frozenset({"consent"})),
}


@pytest.mark.parametrize("scope", SCOPES)
def test_a_hold_set_after_the_approval_stops_the_disposal(office: Office, scope: str) -> None:
    paper = file(office)
    approve(office, [paper.id], WHY)
    set_ = holds.set_hold(office, SCOPES[scope](paper.id))
    (outcome,) = dispose(office).outcomes
    assert set_.id in outcome.refused
    assert office.vault.paper_bytes(paper.id, "test") == b"a paper"
    with pytest.raises(Refused, match="held"):
        approve(office, [paper.id], WHY)
    refused = [e.details["why"] for e in office.vault.journal() if e.action == "disposal-refused"]
    assert refused == [outcome.refused]


def test_holds_overlap_and_releasing_one_leaves_the_others(office: Office) -> None:
    paper = file(office)
    first, second = (holds.set_hold(office, hold(entity=ENTITY.slug)) for _ in range(2))
    holds.release_hold(office, first.id, "settled")
    assert ids(office) == set()
    with pytest.raises(Misuse):
        holds.release_hold(office, first.id, "again")
    with pytest.raises(Misuse):
        holds.release_hold(office, second.id, " ")
    holds.release_hold(office, second.id, "settled too")
    assert ids(office) == {paper.id}, "released is back in the ordinary course"
    assert gone(office) == set(), "and nothing is destroyed by it"
    assert [entry.action for entry in office.vault.journal()].count("hold-released") == 2


@pytest.mark.parametrize("scope", sorted(set(SCOPES) - {"paper"}))
def test_a_hold_catches_papers_that_come_later(office: Office, scope: str) -> None:
    holds.set_hold(office, SCOPES[scope](""))
    file(office, b"comes later")
    assert ids(office) == set()


def test_a_hold_follows_a_paper_that_is_moved_or_corrected_out_of_its_reach(office: Office) -> None:
    office.vault.put_entity(replace(ENTITY, slug="elsewhere"))
    moved, corrected = file(office), file(office, b"corrected")
    holds.set_hold(office, hold(entity=ENTITY.slug, kinds=frozenset({"consent"})))
    for paper, slug, kind in ((moved, "elsewhere", "consent"), (corrected, ENTITY.slug, "tax_notice")):
        again = reading(kind=kind, jurisdiction="OR", signed_date="2025-03-01")
        office.vault.add_reading(paper.id, again, standing=Standing.FILED, entity=slug, expected="", why="a person")
    write_policy(office, more=POLICY_OTHER.replace('"other"', '"tax_notice"'))
    accept(office, "new rule", 0)
    assert ids(office) == {moved.id, corrected.id}
    for paper in (moved, corrected):
        with pytest.raises(Refused, match="held"):
            approve(office, [paper.id], WHY)


def test_what_is_in_doubt_counts_as_meant_by_a_hold(office: Office) -> None:
    holds.set_hold(office, hold(jurisdiction="WA", kinds=frozenset({"tax_notice"})))
    paper = file(office, kind="consent", doubts=("kind", "jurisdiction"))
    sure = file(office, b"sure")
    found = {one.kept.paper.id: one.holds for one in retention_report(office, TODAY, 1).held}
    assert set(found) == {paper.id}
    assert sure.id not in found


@pytest.mark.parametrize(
    "wrong",
    [
        hold(), hold(reason=" "), hold(entity="nobody"), hold(jurisdiction="ZZ"), hold(paper="ffff"),
        hold(kinds=frozenset({"poem"})), hold(entity=ENTITY.slug, review=date(2020, 1, 1)),
        hold(since=date(2026, 1, 2), until=date(2026, 1, 1)),
    ],
)  # fmt: skip
def test_a_hold_that_makes_no_sense_is_refused(office: Office, wrong: Hold) -> None:
    with pytest.raises(Misuse):
        holds.set_hold(office, wrong)
    assert holds.holds(office.vault) == ()


def test_a_file_that_was_taken_apart_goes_only_when_all_papers_in_it_may(office: Office) -> None:
    whole, first, second = (file(office, data) for data in (b"whole", b"first", b"second"))
    pages = [{"paper": first.id, "pages": [1]}, {"paper": second.id, "pages": [2]}]
    office.vault.put_card(Card(parts.SORT, whole.id, ENTITY.slug, {"into": pages}), "pages-filed")
    assert parts.same_pages(office, first.id) == (whole.id,)
    assert ids(office) == {whole.id, first.id, second.id}
    approve(office, [first.id], WHY)
    set_ = holds.set_hold(office, hold(paper=whole.id))
    assert ids(office) == set()
    (outcome,) = dispose(office).outcomes
    assert set_.id in outcome.refused
    assert outcome.refused.startswith("Its pages also stand in paper")
    holds.release_hold(office, set_.id, "settled")
    assert [one.refused for one in dispose(office).outcomes] == [""]
    assert ids(office) == {whole.id, second.id}


# --- approval ---------------------------------------------------------------------------------------------------


def test_what_is_not_due_cannot_be_approved(office: Office) -> None:
    for paper in (
        file(office, b"young", signed="2026-03-01"),
        file(office, b"undated", signed=""),
        file(office, b"doubtful", doubts=("signed_date",)),
        file(office, b"waits", doubts=("ein",)),
        file(office, b"for ever", kind="clearance", filing_date="2020-01-01"),
        file(office, b"unruled", kind="other"),
    ):
        with pytest.raises(Refused):
            approve(office, [paper.id], WHY)
    with pytest.raises(Misuse):
        approve(office, [], WHY)
    assert "disposal-approved" not in {entry.action for entry in office.vault.journal()}


def test_the_last_day_of_the_period_still_keeps(office: Office, clock: Clock) -> None:
    paper = file(office, signed="2025-11-20")
    assert ids(office) == set()
    clock.set_to(date(2026, 11, 21))
    assert ids(office) == {paper.id}


def test_a_second_person_opens_with_a_lock_of_their_own(office: Office, clock: Clock) -> None:
    paper = file(office)
    add_lock(office.vault, LockKind.PASSPHRASE, b"ines's own words", "ines", cost=CHEAP)
    given = approve(office, [paper.id], WHY, two=True)
    with pytest.raises(Refused, match="second"):
        dispose(office, [given.id])
    assert dispose(office).outcomes == ()
    with pytest.raises(Refused, match="same lock"):
        approve_too(office, given.id, WHY)
    with open_office(office.config.home, b"ines's own words", clock=clock) as second:
        approve_too(second, given.id, "I looked too")
    dispose(office, [given.id])
    assert gone(office) == {paper.id}
    assert certificate_named(office.vault, paper.id).tree["approved"]["second"]["reason"] == "I looked too"


def test_the_schedules_can_ask_for_a_second_person(office: Office) -> None:
    file_ = office.config.retention / "office.toml"
    file_.write_text('title = "Office"\nsecond_person = true\n', encoding="utf-8")
    assert approve(office, [file(office).id], WHY).two


def test_a_paper_that_two_approvals_name_goes_once(office: Office) -> None:
    paper = file(office)
    for _ in range(2):
        approve(office, [paper.id], WHY)
    assert [one.refused for one in dispose(office).outcomes] == [""]
    assert [one.paper for one in certificates(office.vault)] == [paper.id]


def test_an_approval_lapses_and_can_be_withdrawn(office: Office, clock: Clock) -> None:
    paper = file(office)
    old, taken_back = approve(office, [paper.id], WHY), approve(office, [paper.id], WHY)
    withdraw(office, taken_back.id, "a second thought")
    later(office, clock, TODAY + timedelta(days=91))
    assert dispose(office).outcomes == ()
    for approval, why in ((old, "lapsed"), (taken_back, "withdrawn")):
        with pytest.raises(Refused, match=why):
            dispose(office, [approval.id])
    assert gone(office) == set()


def test_a_rule_that_changed_after_the_approval_needs_a_new_one(office: Office) -> None:
    paper = file(office, signed="2020-03-01")
    approve(office, [paper.id], WHY)
    write_policy(office, "2 years")
    (outcome,) = dispose(office).outcomes
    assert "changed" in outcome.refused
    assert gone(office) == set()


# --- policy -----------------------------------------------------------------------------------------------------


def test_longer_counts_at_once_and_shorter_only_once_accepted(office: Office, tmp_path: Path) -> None:
    paper = file(office, signed="2025-03-01")
    write_policy(office, "7 years")
    assert retention(office)[0].keep.until == date(2032, 3, 1)
    assert ids(office) == set()
    accept(office, "the new manual", 0)
    write_policy(office, "1 year")
    (kept,) = retention(office)
    assert (kept.keep.until, kept.now.until, kept.promised_longer) == (date(2032, 3, 1), date(2026, 3, 1), True)
    assert ids(office) == set()
    made = unaccepted(office, TODAY)
    assert (made.papers, made.shortened, [change.due for change in made.changes]) == (1, 1, [True])
    accept(office, "back to the old manual", made.shortened)
    assert ids(office) == {paper.id}
    told = [e.details for e in office.vault.journal() if e.action == "policy-accepted"]
    assert [one.get("shortened") for one in told] == [None, 0, 1]
    with pytest.raises(Misuse):
        accept(office, "again", 0)
    folder = tmp_path / "changed"
    folder.mkdir()
    (folder / "tests.toml").write_text(
        (office.config.retention / "tests.toml").read_text().replace("1 year", "9 years")
    )
    diff = policy_diff(office, folder, TODAY)
    assert [(c.before.until, c.after.until, c.shorter) for c in diff.changes] == [
        (date(2026, 3, 1), date(2034, 3, 1), False)
    ]
    assert ids(office) == {paper.id}, "a diff changes nothing"


def test_a_first_rule_for_papers_that_had_none_is_a_shortening(office: Office) -> None:
    file(office, kind="other")
    more = POLICY_OTHER
    write_policy(office, more=more)
    (kept,) = retention(office)
    assert kept.promised_longer
    assert ids(office) == set()


POLICY_OTHER = """
[rules.others]
title = "Others"
kinds = ["other"]
trigger = "signed"
period = "1 month"
past_ceiling = "why"
sources = ["manual"]
"""


def test_an_event_that_a_person_records_starts_the_clock(office: Office, clock: Clock) -> None:
    write_policy(office, more=POLICY_OTHER.replace('"signed"', '"engagement-end"').replace('"other"', '"tax_notice"'))
    accept(office, "new rule", 0)
    paper = file(office, kind="tax_notice")
    assert retention(office)[0].keep.until is None
    with pytest.raises(Misuse):
        record_event(office, ENTITY.slug, "engagement-end", date(2027, 1, 1), "still to come")
    record_event(office, ENTITY.slug, "engagement-end", date(2026, 9, 1), "closing letter")
    assert ids(office) == {paper.id}
    record_event(office, paper.id, "engagement-end", date(2026, 11, 1), "a later letter")
    assert ids(office) == set()


# --- the clock --------------------------------------------------------------------------------------------------


def test_a_clock_that_leaps_ahead_or_goes_back_makes_nothing_due(office: Office, clock: Clock) -> None:
    file(office, signed="2026-03-01")
    clock.set_to(date(2031, 1, 1))
    for work in (lambda: due(office, office.today), lambda: approve(office, [office.vault.papers()[0].id], WHY)):
        with pytest.raises(Refused, match="leapt ahead"):
            work()
    office.vault.record("noted", "", {})  # whatever is done under the wrong clock does not make it right
    with pytest.raises(Refused, match="leapt ahead"):
        due(office, office.today)
    clock.set_to(TODAY)
    with pytest.raises(Refused, match=r"went back|leapt"):
        due(office, office.today)
    later(office, clock, TODAY)
    assert ids(office) == set()
    later(office, clock, date(2027, 6, 1))
    assert len(ids(office)) == 1


def test_an_approval_under_a_right_clock_is_not_carried_out_under_a_wrong_one(office: Office, clock: Clock) -> None:
    paper = file(office)
    approve(office, [paper.id], WHY)
    clock.now += timedelta(days=50)
    with pytest.raises(Refused, match="leapt ahead"):
        dispose(office)
    assert gone(office) == set()


# --- cut short --------------------------------------------------------------------------------------------------


def test_a_destruction_cut_short_is_finished_and_certified_by_the_next_run(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    paper = file(office)
    approve(office, [paper.id], WHY)
    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr(type(office.vault), "finish_destruction", _interrupted)
        dispose(office)
    assert office.vault.unfinished() == (paper.id,)
    assert certificates(office.vault) == ()
    assert "paper-destroyed" not in {entry.action for entry in office.vault.journal()}
    (certificate,) = resume(office)
    assert certificate.paper == paper.id
    assert resume(office) == ()
    assert check_vault(office.vault).sound


def _interrupted(_: object) -> None:
    raise KeyboardInterrupt


# --- backups ----------------------------------------------------------------------------------------------------


def test_a_backup_forgets_the_copies_and_the_certificate_says_which_were_not_reached(
    office: Office, tmp_path: Path
) -> None:
    paper = file(office)
    near, far = str(tmp_path / "near"), str(tmp_path / "far")
    in_reach, out_of_reach = back_up_office(office, near).copy.name, back_up_office(office, far).copy.name
    approve(office, [paper.id], WHY)
    made = dispose(office, backups=[near, "ftp://nowhere"])
    assert made.copies == (in_reach,)
    assert in_reach not in copies(place_at(near))
    assert [where for where, _ in made.unreached] == ["ftp://nowhere"]
    words = " ".join(made.certificates[0].tree["copies"])
    assert f"removed: {in_reach}." in words
    assert f"not reached: {out_of_reach}." in words
    assert "could not be reached" in words


def test_an_old_backup_put_back_is_destroyed_again_by_its_certificate(
    office: Office, tmp_path: Path, clock: Clock
) -> None:
    paper, second = file(office), file(office, b"the second")
    place = str(tmp_path / "backup")
    back_up_office(office, place)
    approve(office, [paper.id, second.id], WHY)
    folders = []
    for certificate in dispose(office).certificates:
        folders.append(tmp_path / certificate.paper)
        export_certificate(certificate, folders[-1])
    home = tmp_path / "again"
    restore_office(place, home, PASSPHRASE, clock=clock)
    with open_office(home, PASSPHRASE, clock=clock) as back:
        assert back.vault.paper_bytes(paper.id, "test") == b"a paper", "the copy brings the key back"
        holds.set_hold(back, hold(paper=second.id))
        told: list[str] = []
        assert destroy_again(back, folders, told.append) == (paper.id,)
        assert len(told) == 1
        assert gone(back) == {paper.id}
        assert certificate_named(back.vault, paper.id).paper == paper.id
        assert check_vault(back.vault).sound
        slipped = tmp_path / second.id
        data = (slipped / "certificate.json").read_bytes()
        (slipped / "certificate.json").write_bytes(data.replace(second.id.encode(), paper.id.encode()))
        with pytest.raises(BadData):
            destroy_again(back, folders)


def test_nothing_is_left_in_vault_log_temporary_files_or_backups_while_the_certificate_holds(
    office: Office, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setenv("TMPDIR", str(temporary))
    data = b"Zephyrine Marrowbone " * 50
    paper = file(office, data, entity_name="Zephyrine Marrowbone")
    file(office, b"stays", signed="2026-03-01")
    place = str(tmp_path / "backup")
    back_up_office(office, place)
    needles = (wrapped_key(office.vault, paper), b"Zephyrine", b"quillfeather.pdf", b"Marrowbone")
    assert set(remains(office.vault, *needles)) == set(needles)
    approve(office, [paper.id], WHY)
    (certificate,) = dispose(office, backups=[place]).certificates
    gone_ = tuple(needle for needle in needles if needle != b"quillfeather.pdf")  # the other paper's name too
    assert remains(office.vault, *gone_) == []
    assert signed_by(office.vault, certificate.json_file, certificate.json_signature)
    assert list(temporary.iterdir()) == []
    for name in copies(place_at(place)):
        restore_office(place, tmp_path / name, PASSPHRASE, copy=name, clock=clock)
        with open_office(tmp_path / name, PASSPHRASE, clock=clock) as back:
            assert remains(back.vault, *gone_) == []
    assert len(copies(place_at(place))) == 1


def test_only_disposal_and_a_restore_destroy_papers() -> None:
    source = ROOT / "src" / "quietus"
    callers = {
        path.relative_to(source).as_posix() for path in source.rglob("*.py") if "destroy_paper(" in path.read_text()
    }
    assert callers == {"closing/disposal.py", "vault/backup.py", "vault/vault.py"}


# --- what others say --------------------------------------------------------------------------------------------


def test_verify_says_that_an_expected_paper_was_destroyed(office: Office) -> None:
    paper = file(office)
    before = verify(office, ENTITY.slug, TODAY)
    assert Code.DESTROYED not in {finding.code for finding in before.findings}
    overview(office, TODAY)
    approve(office, [paper.id], WHY)
    dispose(office)
    (finding,) = (f for f in verify(office, ENTITY.slug, TODAY).findings if f.code is Code.DESTROYED)
    assert finding.expected == "company/consent"
    assert "was destroyed on 2026-11-20" in finding.says
    assert office.vault.kept_verdicts() == {}
    (line,) = overview(office, TODAY)
    assert line.blocking == len(verify(office, ENTITY.slug, TODAY).blocking)


def test_a_verdict_kept_between_destruction_and_certificate_does_not_stay(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    approve(office, [file(office).id], WHY)
    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr(type(office.vault), "finish_destruction", _interrupted)
        dispose(office)
    overview(office, TODAY)
    kept = office.vault.kept_verdicts()[ENTITY.slug].revision
    resume(office)
    assert office.vault.revisions()[ENTITY.slug] > kept, "the certificate changes what is to be said"
    assert Code.DESTROYED in {finding.code for finding in verify(office, ENTITY.slug, TODAY).findings}


def test_the_report_counts_every_paper_once(office: Office) -> None:
    due_ = file(office)
    file(office, b"young", signed="2026-03-01")
    file(office, b"undated", signed="")
    file(office, b"waits", doubts=("ein",))
    file(office, b"for ever", kind="clearance", filing_date="2020-01-01")
    file(office, b"unruled", kind="other")
    held = file(office, b"held")
    office.vault.file_paper(
        b"nobody's", name="n.pdf", media_type="application/pdf", pages=1, standing=Standing.UNASSIGNED, entity="",
        expected="", reading=reading(kind="consent", signed_date="2020-01-01"),
    )  # fmt: skip
    holds.set_hold(office, hold(paper=held.id))
    gone_ = file(office, b"gone")
    approve(office, [gone_.id], WHY)
    dispose(office)
    made = retention_report(office, TODAY, 12)
    coming = sum(map(len, made.coming.values()))
    still = {one.kept.paper.id for some in made.still.values() for one in some}
    parts = (len(made.held), len(made.due), coming, made.later, made.waiting, len(still), len(made.no_rule))
    assert parts == (1, 1, 1, 0, 2, 1, 1)
    assert sum(parts) + made.permanent + made.destroyed == made.filed == 9
    assert [one.kept.paper.id for one in made.due] == [due_.id]
    assert list(made.coming) == ["2027-03"]


def test_a_copy_of_the_bytes_in_the_inbox_is_told_of(office: Office) -> None:
    paper = file(office)
    folder = office.config.inbox / "quarantine"
    folder.mkdir()
    (folder / "same.pdf").write_bytes(b"a paper")
    (folder / "other.pdf").write_bytes(b"a qaper")
    approve(office, [paper.id], WHY)
    (certificate,) = dispose(office).certificates
    assert any(words.startswith("1 files with the same bytes") for words in certificate.tree["stays"])


def refiled(office: Office, paper: Paper) -> Paper:
    """The same paper, filed under no expected paper."""
    where: dict[str, Any] = {"standing": Standing.FILED, "entity": paper.entity, "expected": ""}
    return office.vault.add_reading(paper.id, paper.reading, why="it answers for nothing expected", **where)


def test_a_paper_that_a_live_consent_rests_on_stays(office: Office, clock: Clock) -> None:
    others = '[rules.others]\ntitle = "Others"\nkinds = ["other"]\ntrigger = "signed"\nperiod = "1 year"\n'
    write_policy(office, more=others + 'past_ceiling = "a letter"\nsources = ["manual"]\n')
    accept(office, "a new schedule", 0)
    paper = refiled(office, file(office, kind="other"))
    assert ids(office) == {paper.id}
    given = approve(office, [paper.id], WHY)
    signed = Signed(
        entity=ENTITY.slug,
        paper=paper.id,
        recipient="Copperkettle Bank",
        purpose="lender",
        kinds=frozenset({Kind.FINAL_RETURN}),
        signer="Ada A",
        signed=date(2025, 3, 1),
        until=TODAY + timedelta(days=60),
    )
    consent = record_consent(office, signed, TODAY)
    assert ids(office) == set()
    assert "consent" in dispose(office, [given.id]).outcomes[0].refused
    assert gone(office) == set()
    withdraw_consent(office, consent.id, "not needed any more", TODAY)
    assert ids(office) == {paper.id}
    assert [one.refused for one in dispose(office, [given.id]).outcomes] == [""]
