"""A real browser draws places to cover."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from quietus.closing.covering import mark
from quietus.closing.holds import set_hold
from quietus.closing.office import Office
from quietus.desk.overview import FEW
from quietus.model.hold import Hold
from quietus.model.reading import Box, PrivateSort
from tests.desk.browsing import RELATIVE, check_looks, faults, leaving, one, press, resize, show, visit
from tests.desk.make import COMPANY, OTHER, PLACES, as_received, dissolution, file, read
from tests.desk.running import running

pytestmark = pytest.mark.browser

FORM = "#mark"
EIN = PLACES["ein"][0]


@pytest.fixture
def sideways(office: Office) -> str:
    """Id of a paper that was scanned lying on its side."""
    return file(office, read(dissolution(), turn=90)).id


@pytest.fixture
def address(office: Office, sideways: str) -> Iterator[str]:
    """The address that the real desk printed."""
    with running(office.config.home) as desk:
        yield desk.address


def draw(browser: webdriver.Chrome, box: Box) -> None:
    """Draw around `box` on the picture of the page with the mouse."""
    picture = one(browser, "[data-draw] img")
    show(browser, picture)
    browser.execute_script("window.scrollTo(0, 0)")
    wide, high = picture.size["width"], picture.size["height"]
    (left, top), (right, bottom) = (
        (round(x * wide - wide / 2), round(y * high - high / 2))
        for x, y in ((box.left, box.top), (box.right, box.bottom))
    )
    drag = ActionChains(browser).move_to_element_with_offset(picture, left, top).click_and_hold()
    drag.move_by_offset((right - left) // 2, 1).move_to_element_with_offset(picture, right, bottom).release().perform()


def test_a_box_drawn_with_the_mouse_is_kept_in_its_place_whatever_the_size(
    office: Office, sideways: str, address: str, browser: webdriver.Chrome
) -> None:
    browser.get(address)
    for number, (width, size) in enumerate(((1280, "fit"), (800, "fit"), (1280, "large")), start=1):
        resize(browser, width, 2400)
        visit(browser, f"/papers/{sideways}/cover?page=1&size={size}")
        draw(browser, EIN)
        drawn = browser.execute_script(RELATIVE, one(browser, "[data-draw] img"), one(browser, "#drawn"))
        assert drawn == pytest.approx([EIN.left, EIN.top, EIN.right - EIN.left, EIN.bottom - EIN.top], abs=0.005)
        assert browser.switch_to.active_element.get_attribute("name") == "sort"
        Select(one(browser, "#sort")).select_by_visible_text("EIN")
        press(browser, FORM, "Keep this place")
        assert "The place is kept;" in one(browser, ".done").text
        spot = office.vault.paper(sideways).reading.private[-1]
        assert spot.sort is PrivateSort.EIN
        assert spot.box == pytest.approx(as_received(EIN, 90), abs=0.005)
        assert spot.box.left <= as_received(EIN, 90).left + 0.002
        kept = browser.find_elements(By.CSS_SELECTOR, "a.hand > rect")
        assert len(kept) == number
        shown = browser.execute_script(RELATIVE, one(browser, "[data-draw] img"), kept[-1])
        assert shown == pytest.approx(drawn, abs=0.005)
    assert faults(browser) == []


def test_a_place_is_typed_seen_kept_and_taken_back_without_script_or_mouse(
    office: Office, sideways: str, address: str, browser: webdriver.Chrome
) -> None:
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    browser.get(address)
    visit(browser, f"/papers/{sideways}/cover")
    assert browser.find_elements(By.CSS_SELECTOR, "[data-with-script][hidden]"), "the script must not have run"
    for name, edge in zip(("left", "top", "right", "bottom"), EIN, strict=True):
        one(browser, f"#{name}").send_keys(f"{100 * edge:.1f}")
    look = one(browser, "button[value=look]")
    leaving(browser, lambda: look.send_keys(Keys.ENTER))
    assert one(browser, "#drawn").get_attribute("width") == f"{100 * (EIN.right - EIN.left):.2f}%"
    assert office.vault.paper(sideways).reading.private == ()
    Select(one(browser, "#sort")).select_by_value("ein")
    keep = one(browser, "#bottom")
    leaving(browser, lambda: keep.send_keys(Keys.ENTER))
    (spot,) = office.vault.paper(sideways).reading.private
    assert spot.box == pytest.approx(as_received(EIN, 90), abs=0.001)
    summary = one(browser, ".spots summary")
    summary.send_keys(Keys.ENTER)
    reason = one(browser, "#reason-1")
    reason.clear()
    leaving(browser, lambda: reason.send_keys("It is the file number." + Keys.ENTER))
    assert office.vault.paper(sideways).reading.private == ()


def test_numbers_move_the_box_and_escape_takes_it_back(sideways: str, address: str, browser: webdriver.Chrome) -> None:
    browser.get(address)
    resize(browser, 1024, 2000)
    visit(browser, f"/papers/{sideways}/cover")
    draw(browser, EIN)
    right = one(browser, "#right")
    before = float(right.get_attribute("value") or 0)
    right.send_keys(Keys.ARROW_UP)
    assert before < float(right.get_attribute("value") or 0) <= before + 1
    picture, drawn = one(browser, "[data-draw] img"), one(browser, "#drawn")
    assert browser.execute_script(RELATIVE, picture, drawn)[2] > EIN.right - EIN.left
    right.send_keys(Keys.ESCAPE)
    assert browser.execute_script(RELATIVE, picture, drawn)[2] == 0
    assert right.get_attribute("value") == ""


def test_the_pages_fit_and_can_be_read(office: Office, sideways: str, address: str, browser: webdriver.Chrome) -> None:
    mark(office, sideways, 1, as_received(EIN, 90), PrivateSort.EIN)
    other = file(office, read(dissolution()), name="other.png")
    hold = Hold(id="", reason="A letter of the bank's counsel.", by="", on=office.today, entity=COMPANY.slug)
    set_hold(office, hold)
    browser.get(address)
    links = {link.text: link.get_attribute("href") for link in browser.find_elements(By.CSS_SELECTOR, ".closing h2 a")}
    closing = str(links[COMPANY.name]).split("/", 3)[3]
    paths = ("cover", "cover?size=large", f"pages?with={other.id}")
    check_looks(browser, (400, 800, 1280), (f"/{closing}", *(f"/papers/{sideways}/{path}" for path in paths)))


def test_many_closings_fit_in_lines(office: Office, address: str, browser: webdriver.Chrome) -> None:
    for number in range(FEW):
        name = f"Company Number {number:03} of Very Many Closings LLC"
        office.vault.put_entity(replace(OTHER, slug=f"company-{number}", name=name))
    browser.get(address)
    assert len(browser.find_elements(By.CSS_SELECTOR, ".lines tbody tr")) == FEW + 2
    check_looks(browser, (400, 800, 1280), ("/",))
    leaving(browser, lambda: one(browser, "#name").send_keys("number 007" + Keys.ENTER))
    assert [row.text for row in browser.find_elements(By.CSS_SELECTOR, ".lines tbody th")] == [
        "Company Number 007 of Very Many Closings LLC"
    ]
    assert "007" not in browser.current_url
