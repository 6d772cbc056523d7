"""The desk as a process: it listens on this machine only, prints its address once, and ends cleanly."""

import http.client
import signal
import socket
import sys
import time
from pathlib import Path

import pytest

from quietus.closing.office import Office
from quietus.desk.serving import serve
from quietus.model.errors import MachineFault
from tests.desk.make import COMPANY, dissolution, file, read
from tests.desk.running import Running, running


def get(desk: Running, path: str, cookie: str = "") -> tuple[int, str, str]:
    """Status, new cookie and text of an answer."""
    connection = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=30)
    connection.request("GET", path, headers={"Cookie": cookie} if cookie else {})
    answer = connection.getresponse()
    told = (
        answer.status,
        (answer.headers["set-cookie"] or "").partition(";")[0],
        answer.read().decode("utf-8", "replace"),
    )
    connection.close()
    return told


def alive(process: str) -> bool:
    """Whether a process still runs; one that only waits to be counted out does not."""
    try:
        return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def test_the_desk_listens_on_this_machine_only_and_ends_cleanly(office: Office) -> None:
    paper = file(office, read(dissolution(), doubts=("filing_date",)), name="kettlemoor.png")
    with running(office.config.home) as desk:
        status, cookie, _ = get(desk, f"/?{desk.address.partition('?')[2]}")
        assert status == 303
        assert COMPANY.name.partition(" ")[0] in get(desk, "/", cookie)[2]
        assert get(desk, f"/papers/{paper.id}", cookie)[0] == 200
        assert get(desk, "/")[0] == 403
        with pytest.raises(OSError), socket.create_connection(("127.0.0.2", desk.port), timeout=5):
            pass
        desk.process.send_signal(signal.SIGINT)
        out, err = desk.process.communicate(timeout=20)
        assert desk.process.returncode == 0
    assert err == ""
    assert "kettlemoor" not in out.lower()
    assert "http" not in out


@pytest.mark.skipif(sys.platform != "linux", reason="looks for child processes where Linux lists them")
def test_a_polite_kill_lets_go_of_vault_and_child_processes(office: Office) -> None:
    paper = file(office, read(dissolution()))
    with running(office.config.home) as desk:
        _, cookie, _ = get(desk, f"/?{desk.address.partition('?')[2]}")
        assert get(desk, f"/papers/{paper.id}/pages/1.png", cookie)[0] == 200
        threads = Path(f"/proc/{desk.process.pid}/task").glob("*/children")
        own = [child for thread in threads for child in thread.read_text(encoding="utf-8").split()]
        assert own
        desk.process.terminate()
        desk.process.communicate(timeout=30)
        assert desk.process.returncode == 0
    deadline = time.monotonic() + 10
    while any(alive(child) for child in own) and time.monotonic() < deadline:
        time.sleep(0.1)
    assert not [child for child in own if alive(child)]


def test_a_port_that_is_taken_is_told_so(office: Office) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken, pytest.raises(MachineFault) as told:
        serve(office, port=taken.getsockname()[1], open_browser=False)
    assert "--port" in told.value.remedy


def test_a_desk_that_nobody_uses_closes_itself(office: Office) -> None:
    with running(office.config.home, "--idle", "0.05") as desk:
        status, cookie, _ = get(desk, f"/?{desk.address.partition('?')[2]}")
        assert status == 303
        assert get(desk, "/", cookie)[0] == 200
        out, err = desk.process.communicate(timeout=30)
        assert desk.process.returncode == 0
    assert "closed itself" in out
    assert err == ""
