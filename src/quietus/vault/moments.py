"""When journal entries were made, without opening them: what the clock is compared with."""

import json
from collections.abc import Iterator
from datetime import datetime

from sqlalchemy import Connection, select

from quietus.vault import catalog
from quietus.vault.codecs import parsing


def moments(connection: Connection, after: int) -> Iterator[tuple[int, datetime]]:
    """Number and time of every journal entry after number `after`, in order.

    The lines come from the catalog, whose pages are authenticated; that each is sealed with its time is for `check`.
    """
    table = catalog.journal
    query = select(table.c.number, table.c.line).where(table.c.number > after).order_by(table.c.number)
    for number, line in connection.execute(query.execution_options(yield_per=1000)):
        with parsing(f"journal entry {number}"):
            yield number, datetime.fromisoformat(json.loads(line)["at"])
