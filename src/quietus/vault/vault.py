"""The vault's face: what the other rooms ask of it. It speaks the model's words and shows nothing unasked."""

import hashlib
import io
import re
import secrets
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, BinaryIO, Self

from quietus.model.entity import Entity
from quietus.model.errors import Damaged, Misuse
from quietus.model.findings import Waiver
from quietus.model.paper import Paper, Standing, Stub
from quietus.model.reading import FIELDS, Reading
from quietus.vault import cards, erasure, facts, journal, moments, rows
from quietus.vault.cards import Card
from quietus.vault.codecs import entity_tree, waiver_tree
from quietus.vault.crypto import KEY_BYTES, unwrap, wrap
from quietus.vault.durable import machine_faults
from quietus.vault.erasure import Erased
from quietus.vault.facts import FactsRow, KeptVerdict
from quietus.vault.filings import filings
from quietus.vault.journal import Entry
from quietus.vault.objects import CHUNK_BYTES, open_paper
from quietus.vault.store import Store

_PREFIX = re.compile(r"[0-9a-f]{1,32}")
_KNOWN = "Use the slug of an entity on the register."


class Vault:
    """An open vault, made by `open_vault`; closes itself at the end of a `with` block.

    Threads may share it, and several processes may have the same vault open: changes take turns.

    Every method may raise Damaged (something is not as it was written) and MachineFault (disk full, permission
    missing, or another process kept the vault longer than this one was willing to wait).

    Attributes:
        store: the parts behind it, for this room only.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self._traces: dict[str, tuple[bytes, ...]] = {}  # of papers whose destruction is not finished

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the vault; it cannot be used afterwards."""
        self.store.close()

    @property
    def notes(self) -> tuple[str, ...]:
        """What this vault repaired by itself since it was opened, one sentence each."""
        return tuple(self.store.notes)

    @property
    def lock_in_use(self) -> str:
        """Id of the lock that the vault was opened with: the nearest thing to knowing which person it is."""
        return self.store.actor.lock

    @property
    def id(self) -> str:
        """The vault's id, 32 hex digits."""
        return self.store.keys.vault

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Let several calls commit together, or not at all; one inside another joins it.

        An exception that leaves the block undoes all of them. Other threads and processes wait meanwhile.
        """
        with self.store.changing():
            yield

    # --- entities -----------------------------------------------------------------------------------------------

    def put_entity(self, entity: Entity) -> None:
        """Insert an entity, or replace the one with its slug; the journal keeps the old one."""
        with self.store.changing() as connection:
            before = rows.put_entity(connection, entity)
            if before != entity:
                self.store.write("entity-put", entity.slug, {"old": entity_tree(before) if before else None})

    def entities(self) -> tuple[Entity, ...]:
        """Every entity, by slug."""
        with self.store.reading() as connection:
            return tuple(rows.all_entities(connection))

    def entity(self, slug: str) -> Entity | None:
        """The entity with this slug, or None."""
        with self.store.reading() as connection:
            return rows.find_entity(connection, slug)

    # --- papers -------------------------------------------------------------------------------------------------

    def file_paper(
        self,
        data: bytes | BinaryIO,
        *,
        name: str,
        media_type: str,
        pages: int,
        standing: Standing,
        entity: str,
        expected: str,
        reading: Reading,
    ) -> Paper:
        """Seal a paper and enter it in the catalog; when this returns it survives a power cut.

        Args:
            data: its bytes as received, or an open file, read twice from its beginning: however long the paper is,
                memory stays at a few MiB.
            name: the file's name in the inbox.
            media_type: such as `application/pdf`.
            pages: page count of the file.
            standing: where it stands.
            entity: slug; empty exactly when unassigned.
            expected: key of the expected paper it was filed under, or empty.
            reading: what was read off it.

        Raises:
            Misuse: the same bytes are on file already, the file changed meanwhile, or standing and entity do not fit
                together.
        """
        source = io.BytesIO(data) if isinstance(data, bytes) else data
        digest, size = _measured(source)
        with self.store.changing():
            self._check_filing(standing, entity)
            if self.paper_by_hash(digest) is not None:
                raise Misuse("A paper with exactly these bytes is on file already.", "Keep the one on file.")
            paper = Paper(
                id=secrets.token_hex(16),
                sha256=digest,
                name=name.encode("utf-8", "backslashreplace").decode("utf-8"),
                media_type=media_type,
                size=size,
                pages=pages,
                received=self.store.actor.clock().astimezone(UTC),
                standing=standing,
                entity=entity,
                expected=expected,
                reading=reading,
            )
            self._seal(paper, source)
        return paper

    def _seal(self, paper: Paper, source: BinaryIO) -> None:
        store = self.store
        key = secrets.token_bytes(KEY_BYTES)
        source.seek(0)
        hashed = _Hashed(source)
        store.seal(paper.id, key, hashed)
        if hashed.digest.hexdigest() != paper.sha256:
            raise Misuse("The file changed while it was being filed.", "Wait until it is written, and file it again.")
        with store.changing() as connection:
            rows.add_paper(connection, paper, wrap(store.keys.subkey("wrapping", paper.id), key), store.actor.who)
            details = {"sha256": paper.sha256, "size": paper.size, **_filing(paper)}
            # Bytes destroyed before are a new paper: what comes back may be needed, and a refusal could lose it.
            before = [stub.id for stub in rows.stubs(connection, sha256=paper.sha256)]
            details |= {"destroyed_before": before} if before else {}
            store.write("paper-filed", paper.id, details, paper.sha256)

    def paper_by_hash(self, sha256: str) -> Paper | None:
        """The paper whose bytes have this SHA-256 (hex), or None."""
        with self.store.reading() as connection:
            return next(iter(rows.papers_with_hash(connection, sha256)), None)

    def note_repeat(self, paper_id: str, name: str) -> None:
        """Enter in the journal that the bytes of a paper on file were received once more, and keep under what name.

        The name itself stays out of the journal: it goes with the paper when that is destroyed.

        Raises:
            Misuse: there is no such paper.
        """
        with self.store.changing() as connection:
            paper = self.paper(paper_id)
            at = self.store.actor.clock()
            rows.note_receipt(connection, paper.id, at, name.encode("utf-8", "backslashreplace").decode("utf-8"))
            self.store.write("paper-repeated", paper.id, {})

    def repeats(self, paper_id: str) -> tuple[tuple[datetime, str], ...]:
        """When and under what name the bytes of a paper came once more, oldest first.

        Raises:
            Misuse: there is no such paper.
        """
        with self.store.reading() as connection:
            return tuple(rows.receipts_of(connection, self.paper(paper_id).id))

    def papers(self, entity: str | None = None) -> tuple[Paper, ...]:
        """Papers of one entity, of nobody when empty, or all when None; in the order received."""
        with self.store.reading() as connection:
            return tuple(rows.some_papers(connection, entity))

    def paper(self, id_or_prefix: str) -> Paper:
        """The paper with this id, or the only one whose id begins so.

        Raises:
            Misuse: there is none, or more than one.
        """
        found: tuple[Paper, ...] = ()
        if _PREFIX.fullmatch(id_or_prefix):
            with self.store.reading() as connection:
                found = rows.papers_with_prefix(connection, id_or_prefix)
        if not found and self.stub(id_or_prefix):
            raise Misuse("That paper was destroyed.", "Nothing opens it again; its certificate tells why and when.")
        if not found:
            raise Misuse("No paper in the vault has that id.", "Use the id, or its first digits, as quietus shows it.")
        if len(found) > 1:
            raise Misuse("More than one paper has an id that begins so.", "Give more digits of the id.")
        return found[0]

    def stubs(self, sha256: str | None = None) -> tuple[Stub, ...]:
        """What is left of papers that were destroyed, oldest destruction first; of those with these bytes, if given."""
        with self.store.reading() as connection:
            return tuple(rows.stubs(connection, sha256=sha256))

    def stub(self, id_or_prefix: str) -> Stub | None:
        """What is left of the only destroyed paper whose id begins so; None when there is none, or more than one."""
        if not _PREFIX.fullmatch(id_or_prefix):
            return None
        with self.store.reading() as connection:
            found = list(rows.stubs(connection, prefix=id_or_prefix))
        return found[0] if len(found) == 1 else None

    def paper_bytes(self, paper_id: str, why: str) -> bytes:
        """The paper's bytes as received, every tag and the hash verified; the journal tells who opened it and why.

        Raises:
            Misuse: there is no such paper, or it was destroyed.
            Damaged: the sealed paper is gone or not as it was written. The journal tells that too.
        """
        whole = io.BytesIO()  # grows in place, and hands out what it holds without another copy
        for piece in self.paper_stream(paper_id, why):
            whole.write(piece)
        return whole.getvalue()

    def paper_stream(self, paper_id: str, why: str) -> Iterator[bytes]:
        """The paper's bytes as received, in pieces of 1 MiB; the journal tells who opened it and why.

        Each piece is verified, but only when all of them came is the paper proven whole: use nothing before that.

        Raises:
            Misuse: there is no such paper, or it was destroyed.
            Damaged: the sealed paper is gone or not as it was written. The journal tells that too.
        """
        try:
            paper = self.paper(paper_id)
        except Misuse:
            if stub := self.stub(paper_id):
                self.record("paper-refused", stub.id, {"why": why})
            raise
        try:
            yield from self.opened(paper.id, paper.sha256)
        except Damaged:
            self.record("paper-damaged", paper.id, {"why": why})
            raise
        self.record("paper-opened", paper.id, {"why": why})

    def opened(self, paper_id: str, sha256: str) -> Iterator[bytes]:
        """A paper's bytes in pieces; for this room only, because the journal is left alone.

        Args:
            paper_id: 32 hex digits.
            sha256: what the bytes must hash to, hex.

        Raises:
            Damaged: at the first piece that is not as it was written, or at the end when the whole is not.
        """
        with self.store.reading() as connection:
            wrapped = rows.wrapped_key(connection, paper_id)
        if wrapped is None:
            raise Damaged(f"The key of paper {paper_id} is gone.", "Take the vault from a backup.")
        key = unwrap(self.store.keys.subkey("wrapping", paper_id), wrapped)
        digest = hashlib.sha256()
        with machine_faults(), self.store.objects.open(paper_id) as sealed:
            for piece in open_paper(sealed, key, paper_id):
                digest.update(piece)
                yield piece
        if digest.hexdigest() != sha256:
            raise Damaged(f"Paper {paper_id} is not the one that was filed.", "Take the paper from a backup.")

    def destroy_paper(self, paper_id: str, why: str, more: dict[str, Any] | None = None) -> None:
        """Destroy a paper for good: key, sealed bytes, readings, facts and names. A stub stays.

        Whoever calls this has made sure that the paper may go. Inside a transaction only the rows go, with its commit;
        the rest is done by `finish_destruction`. Only copies of the vault made before can still open the paper:
        docs/threat-model.md says what to do about those.

        Args:
            paper_id: id, or its first digits.
            why: for the journal; no client data.
            more: more for the journal, plain JSON data.

        Raises:
            Misuse: there is no such paper, or it was destroyed before.
            MachineFault: the machine would not do all of it. What is left is finished later.
        """
        with self.store.changing() as connection:
            paper = self.paper(paper_id)
            self._traces[paper.id] = erasure.begin(connection, paper, self.store.actor.clock())
            self.store.write("destruction-begun", paper.id, {"sha256": paper.sha256, "why": why, **(more or {})})
            self.store.afterwards(lambda: self.store.objects.remove(paper.id))
        if not self.store.in_change:
            self.finish_destruction()

    def finish_destruction(self) -> Erased | None:
        """Finish what was begun: remove sealed bytes, cut the catalog's log, search every page for what is left.

        Returns:
            What was done; None when nothing was to do.

        Raises:
            MachineFault: the machine would not do it, or another process reads the catalog all the time.
        """
        return erasure.finish(self.store, self._traces)

    def unfinished(self) -> tuple[str, ...]:
        """Ids of papers whose destruction has begun and is not proven finished."""
        with self.store.reading() as connection:
            return erasure.pending(connection)

    # --- readings -----------------------------------------------------------------------------------------------

    def add_reading(
        self, paper_id: str, reading: Reading, *, standing: Standing, entity: str, expected: str, why: str
    ) -> Paper:
        """Give a paper a new reading and say where it stands now; every former reading is kept.

        Raises:
            Misuse: there is no such paper or entity, or standing and entity do not fit together.
        """
        with self.store.changing() as connection:
            self._check_filing(standing, entity)
            before = self.paper(paper_id)
            after = replace(before, reading=reading, standing=standing, entity=entity, expected=expected)
            number = rows.refile(connection, after, self.store.actor.clock(), self.store.actor.who)
            # The values themselves stay out of the journal: they go with the paper when it is disposed of.
            changed = [name for name in FIELDS if before.reading[name] != reading[name]]
            details = {"reading": number, "fields": changed, "old": _filing(before), "new": _filing(after), "why": why}
            self.store.write("paper-reread", after.id, details)
        return after

    def readings(self, paper_id: str) -> tuple[tuple[datetime, str, Reading], ...]:
        """Every reading of a paper, oldest first, with when and by whom.

        Raises:
            Misuse: there is no such paper.
        """
        with self.store.reading() as connection:
            return tuple(rows.readings_of(connection, self.paper(paper_id).id))

    # --- waivers ------------------------------------------------------------------------------------------------

    def put_waiver(self, waiver: Waiver) -> None:
        """Insert a waiver, or replace the one for the same expected paper; the journal keeps the old one.

        Raises:
            Misuse: the entity is not on the register.
        """
        with self.store.changing() as connection:
            self._check_entity(waiver.entity)
            before = rows.put_waiver(connection, waiver)
            details = {"expected": waiver.expected, "old": waiver_tree(before) if before else None}
            self.store.write("waiver-put", waiver.entity, details)

    def drop_waiver(self, entity: str, expected: str, why: str) -> None:
        """Take a waiver back; the journal keeps it.

        Raises:
            Misuse: there is none.
        """
        with self.store.changing() as connection:
            before = rows.take_waiver(connection, entity, expected)
            if before is None:
                raise Misuse("There is no such waiver.", "List the waivers of the entity first.")
            details = {"expected": expected, "old": waiver_tree(before), "why": why}
            self.store.write("waiver-dropped", entity, details)

    def waivers(self, entity: str | None = None) -> tuple[Waiver, ...]:
        """Waivers of one entity, or all when None, by entity and expected paper."""
        with self.store.reading() as connection:
            return tuple(rows.some_waivers(connection, entity))

    # --- cards ------------------------------------------------------------------------------------------------------

    def put_card(self, card: Card, action: str, details: dict[str, Any] | None = None, *, secret: bool = False) -> None:
        """Insert a card, or replace the one with its sort and id; the journal keeps the old one, unless it is secret.

        Args:
            card: what to keep.
            action: the journal's word for what was done, such as `hold-set`.
            details: more for the journal, plain JSON data.
            secret: whether the card holds a key, which shall be gone when another takes its place.

        Raises:
            Misuse: the entity is not on the register.
        """
        with self.store.changing() as connection:
            if card.entity:
                self._check_entity(card.entity)
            before = cards.put(connection, card)
            if card.entity:
                facts.touch(connection, card.entity)
            old = before.body if before and not secret else None
            self.store.write(action, card.id, {"sort": card.sort, "entity": card.entity, "old": old, **(details or {})})

    def card(self, sort: str, card_id: str) -> Card | None:
        """The card of this sort with this id, or None."""
        with self.store.reading() as connection:
            return cards.find(connection, sort, card_id)

    def cards(self, sort: str, entity: str | None = None) -> tuple[Card, ...]:
        """Cards of one sort: of one entity, of no single one when empty, or all when None; by id."""
        with self.store.reading() as connection:
            return tuple(cards.some(connection, sort, entity))

    # --- verdicts -----------------------------------------------------------------------------------------------

    def facts(self, slugs: Sequence[str] | None = None) -> Iterator[FactsRow]:
        """The facts of the papers of some entities, or of all when None; those of one entity side by side.

        Read them to the end: the catalog stays open meanwhile.
        """
        with self.store.reading() as connection:
            yield from facts.all_facts(connection) if slugs is None else facts.facts_of_entities(connection, slugs)

    def homeless(self) -> tuple[str, ...]:
        """Ids of the papers that belong to nobody, in the order received."""
        with self.store.reading() as connection:
            return facts.homeless(connection)

    def entity_texts(self, slugs: Sequence[str] | None = None) -> dict[str, str]:
        """Some entities, or all when None, as the text that `entity_from_text` reads, by slug."""
        with self.store.reading() as connection:
            return facts.bodies(connection, slugs)

    def revisions(self) -> dict[str, int]:
        """A number for each entity, by slug in order: every change of it, its papers and its waivers raises it."""
        with self.store.reading() as connection:
            return facts.revisions_of(connection)

    def kept_verdicts(self) -> dict[str, KeptVerdict]:
        """The verdicts that were kept, by slug. Whether they still hold is for the caller to tell."""
        with self.store.reading() as connection:
            return {one.entity: one for one in facts.kept(connection)}

    def keep_verdicts(self, fresh: Iterable[KeptVerdict]) -> None:
        """Keep verdicts, each in place of the one kept before. They are derived: the journal does not tell of them."""
        with self.store.changing() as connection:
            facts.keep(connection, fresh)

    # --- journal ------------------------------------------------------------------------------------------------

    def record(self, action: str, about: str, details: dict[str, object]) -> None:
        """Enter something in the journal: `details` is plain JSON data and is sealed like everything else."""
        with self.store.changing():
            self.store.write(action, about, details)

    def journal(self) -> tuple[Entry, ...]:
        """Every entry, oldest first, opened, with the chain verified.

        Raises:
            Damaged: the chain is broken.
        """
        with self.store.reading() as connection:
            return tuple(journal.entries(connection, self.store.keys))

    def filings(self, papers: Iterable[str]) -> dict[str, int]:
        """Numbers of the journal entries that filed these papers (ids).

        Raises:
            Misuse: there is no such paper.
        """
        received = {id_: self.paper(id_).received for id_ in papers}
        with self.store.reading() as connection:
            return filings(connection, self.store.keys, received)

    def moments(self, after: int = 0) -> Iterator[tuple[int, datetime]]:
        """Number and time of every journal entry after number `after`, in order; their seals are left alone."""
        with self.store.reading() as connection:
            yield from moments.moments(connection, after)

    # --- guards -------------------------------------------------------------------------------------------------

    def _check_entity(self, slug: str) -> None:
        if self.entity(slug) is None:
            raise Misuse("That entity is not on the register.", _KNOWN)

    def _check_filing(self, standing: Standing, entity: str) -> None:
        if standing is Standing.FILED and not entity:
            raise Misuse("A paper that is filed belongs to an entity.", _KNOWN)
        if standing is Standing.UNASSIGNED and entity:
            raise Misuse("A paper that is unassigned belongs to nobody.", "File it, or leave the entity out.")
        if entity:
            self._check_entity(entity)


class _Hashed:
    """Reads from a file and hashes what it hands out."""

    def __init__(self, source: BinaryIO) -> None:
        self._source = source
        self.digest = hashlib.sha256()

    def read(self, size: int = -1, /) -> bytes:
        piece = self._source.read(size)
        self.digest.update(piece)
        return piece


def _measured(source: BinaryIO) -> tuple[str, int]:
    """SHA-256, hex, and bytes of an open file, from its beginning."""
    source.seek(0)
    digest = hashlib.sha256()
    while piece := source.read(CHUNK_BYTES):
        digest.update(piece)
    return digest.hexdigest(), source.tell()


def _filing(paper: Paper) -> dict[str, Any]:
    return {"standing": paper.standing.value, "entity": paper.entity, "expected": paper.expected}
