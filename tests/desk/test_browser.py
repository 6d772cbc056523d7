"""A real browser on the real desk: what waits is settled, and the verdict changes."""

from collections.abc import Iterator
from datetime import date

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from quietus.closing.office import Office
from quietus.model.paper import Standing
from quietus.rules import expected_papers
from tests.desk.browsing import RELATIVE, check_looks, faults, leaving, one, press, resize, show, visit
from tests.desk.make import COMPANY, PLACES, Values, dissolution, file, read
from tests.desk.running import running

pytestmark = pytest.mark.browser

WRONG_EIN = "09-1234576"
FOCUS_SHOWS = """
const focused = document.activeElement, box = focused.querySelector(":scope > rect");
return box ? getComputedStyle(box).strokeWidth === "4px" : getComputedStyle(focused).outlineStyle !== "none";
"""


def answers() -> list[tuple[str, Values]]:
    """For each paper that COMPANY's closing requires, its key and values that prove it."""
    return [
        ("company/consent", {"kind": "consent", "signed_date": "2026-06-01"}),
        ("US/final_return", {"kind": "final_return", "jurisdiction": "US", "form": "1065", "final_box": True}),
        ("US/ein_closure_letter", {"kind": "ein_closure_letter", "jurisdiction": "US", "signed_date": "2026-10-09"}),
        ("OR/final_return", {"kind": "final_return", "jurisdiction": "OR", "form": "OR-65", "final_box": True}),
    ]


@pytest.fixture
def papers(office: Office) -> dict[str, str]:
    """Ids of the papers of a closing that would be proven, were it not for four papers that wait."""
    common: Values = {"entity_name": COMPANY.name, "authority": "plain copy"}
    ids = {}
    for key, values in answers():
        returned: Values = {"period_end": "2026-06-30", "signed_date": "2026-09-10"} if "form" in values else {}
        ein: Values = {"ein": WRONG_EIN if key == "US/final_return" else COMPANY.ein}
        doubts = ("ein",) if key == "US/final_return" else ()
        homeless = key == "company/consent"
        reading = read({**common, **returned, **ein, **values}, doubts=doubts, turn=90 if doubts else 0)
        entity, expected = ("", "") if homeless else (COMPANY.slug, key)
        ids[key] = file(office, reading, name=f"{key.replace('/', '-')}.png", entity=entity, expected=expected).id
    ids["OR/dissolution"] = file(office, read(dissolution(), doubts=("filing_date",)), name="dissolution.png").id
    draft = read({**common, "kind": "withdrawal", "jurisdiction": "WA"}, doubts=("entity_name",))
    ids["draft"] = file(office, draft, name="draft.png", expected="").id
    return ids


@pytest.fixture
def address(office: Office, papers: dict[str, str]) -> Iterator[str]:
    """The address that the real desk printed."""
    assert papers
    with running(office.config.home) as desk:
        yield desk.address


def test_settling_what_waits_proves_the_closing(
    office: Office, papers: dict[str, str], address: str, browser: webdriver.Chrome
) -> None:
    required = {e.key for e in expected_papers(COMPANY, office.packs()) if e.need.value == "required"}
    assert required == {key for key in papers if "/" in key}, "the scenario must answer what the rules require"
    browser.get(address)
    assert "token" not in browser.current_url
    assert "4 papers wait for you" in one(browser, ".lead").text
    closing = next(s for s in browser.find_elements(By.CSS_SELECTOR, ".closing") if COMPANY.name in s.text)
    assert "Not proven: 4 things open" in closing.text

    # a homeless consent: assign it
    visit(browser, f"/papers/{papers['company/consent']}")
    Select(one(browser, "#entity")).select_by_visible_text(COMPANY.name)
    press(browser, ".value.doubt", "File it there")

    # a wrong EIN on a sideways page: correct it; Enter must save what was typed, not confirm what was read
    visit(browser, f"/papers/{papers['US/final_return']}")
    typed = one(browser, "#new-ein")
    typed.clear()
    leaving(browser, lambda: typed.send_keys(COMPANY.ein + Keys.ENTER))
    assert office.vault.paper(papers["US/final_return"]).reading["ein"].value == COMPANY.ein

    # a date that was read right: confirm it
    visit(browser, f"/papers/{papers['OR/dissolution']}")
    assert "Tuesday, 14 July 2026" in one(browser, "#filing_date .reads").text
    press(browser, "#filing_date", "Right as read")

    # a draft of another state's paper: reject it
    visit(browser, f"/papers/{papers['draft']}")
    next(s for s in browser.find_elements(By.TAG_NAME, "summary") if s.text.startswith("Reject it")).click()
    one(browser, "#reason").send_keys("A draft that was never filed.")
    press(browser, ".rest section[aria-labelledby=decide]", "Reject this paper")

    assert "Nothing waits" in one(browser, "main").text
    visit(browser, "/")
    closing = next(s for s in browser.find_elements(By.CSS_SELECTOR, ".closing") if COMPANY.name in s.text)
    assert "Proven closed" in closing.text
    standings = [office.vault.paper(i).standing for i in papers.values()]
    assert standings.count(Standing.REJECTED) == 1
    assert faults(browser) == []


def test_a_date_is_corrected_and_the_first_reading_stays_in_sight(
    office: Office, papers: dict[str, str], address: str, browser: webdriver.Chrome
) -> None:
    browser.get(address)
    visit(browser, f"/papers/{papers['OR/dissolution']}")
    one(browser, "#new-filing_date").send_keys("07192026")
    press(browser, "#filing_date", "Save what I see")
    assert office.vault.paper(papers["OR/dissolution"]).reading.day("filing_date") == date(2026, 7, 19)
    visit(browser, f"/papers/{papers['OR/dissolution']}")
    assert "2026-07-14 → 2026-07-19" in one(browser, ".history").text


@pytest.mark.parametrize("key", ["OR/dissolution", "US/final_return"])
def test_the_box_lies_over_the_place_on_the_upright_page(
    papers: dict[str, str], address: str, browser: webdriver.Chrome, key: str
) -> None:
    browser.get(address)
    for width in (400, 1024):
        resize(browser, width)
        check_boxes(papers, browser, key)


def check_boxes(papers: dict[str, str], browser: webdriver.Chrome, key: str) -> None:
    visit(browser, f"/papers/{papers[key]}")
    field = {"OR/dissolution": "filing_date", "US/final_return": "ein"}[key]
    page, spot = one(browser, ".sheet img"), one(browser, f"#{field} .spot img")
    for picture in (page, spot):
        show(browser, picture)
    left, top, wide, high = browser.execute_script(RELATIVE, page, one(browser, f'.sheet a[href="#{field}"] > rect'))
    box = PLACES[field][0]
    assert page.size["height"] / page.size["width"] == pytest.approx(11 / 8.5, rel=0.02)
    assert (left, top) == pytest.approx((box.left, box.top), abs=0.01)
    assert (wide, high) == pytest.approx((box.right - box.left, box.bottom - box.top), abs=0.01)


def test_pages_fit_and_can_be_read(papers: dict[str, str], address: str, browser: webdriver.Chrome) -> None:
    browser.get(address)
    closing = one(browser, f"#closing-{1 + ('Fennimoor' in one(browser, '#closing-1').text)} a").get_attribute("href")
    paths = ("/", "/review", f"/{str(closing).split('/', 3)[3]}", f"/papers/{papers['OR/dissolution']}", "/nowhere")
    check_looks(browser, (400, 1024), paths)


def test_the_keyboard_reaches_everything(papers: dict[str, str], address: str, browser: webdriver.Chrome) -> None:
    browser.get(address)
    visit(browser, f"/papers/{papers['OR/dissolution']}")
    reached = []
    for _ in range(60):
        browser.switch_to.active_element.send_keys(Keys.TAB)
        element = browser.switch_to.active_element
        reached.append(element.accessible_name)
        assert browser.execute_script(FOCUS_SHOWS), element.get_attribute("outerHTML")
        if "Reject" in reached[-1]:
            break
    assert reached[0] == "Skip to the page"
    for words in ("Right as read", "Save what I see", "It is not on this paper", "Pictures of the pages"):
        assert words in reached
