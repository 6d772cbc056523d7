"""A real browser on the real desk: what waits is settled, and the verdict changes."""

import shutil
from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select, WebDriverWait

from quietus.closing.office import Office
from quietus.model.paper import Standing
from quietus.rules import expected_papers
from tests.desk.make import COMPANY, PLACES, Values, dissolution, file, read
from tests.desk.running import running

pytestmark = pytest.mark.browser

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
WRONG_EIN = "09-1234576"
CONTRASTS = Path(__file__).with_name("contrast.js").read_text(encoding="utf-8")
RELATIVE = """
const [outer, inner] = [arguments[0], arguments[1]].map((e) => e.getBoundingClientRect());
return [(inner.x - outer.x) / outer.width, (inner.y - outer.y) / outer.height,
        inner.width / outer.width, inner.height / outer.height];
"""
STICKING_OUT = """
const wide = document.documentElement.clientWidth + 0.5;
return [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > wide)
  .map((e) => `${e.tagName}.${e.className} ${e.getBoundingClientRect().right} > ${wide}`);
"""
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
def browser(tmp_path: Path) -> Iterator[webdriver.Chrome]:
    """Chromium without scripts: the pages must do without."""
    chromium, chromedriver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or chromedriver is None:
        pytest.fail("Chromium and its driver are not on PATH: run scripts/chromium.")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for flag in (*FLAGS, f"--user-data-dir={tmp_path / 'profile'}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(chromedriver))
    driver.set_page_load_timeout(60)
    resize(driver, 1024)
    yield driver
    driver.quit()


@pytest.fixture
def address(office: Office, papers: dict[str, str]) -> Iterator[str]:
    """The address that the real desk printed."""
    assert papers
    with running(office.config.home) as desk:
        yield desk.address


def resize(browser: webdriver.Chrome, width: int) -> None:
    """Show the pages `width` CSS pixels wide."""
    size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)


def one(browser: webdriver.Chrome, selector: str) -> WebElement:
    """The one element that a CSS selector names."""
    (found,) = browser.find_elements(By.CSS_SELECTOR, selector)
    return found


def press(browser: webdriver.Chrome, selector: str, words: str) -> None:
    """Press the button inside `selector` that says `words`, and wait for the next page."""
    button = next(b for b in one(browser, selector).find_elements(By.TAG_NAME, "button") if b.text == words)
    leaving(browser, button.click)


def leaving(browser: webdriver.Chrome, act: Callable[[], object]) -> None:
    """Do something that leads to another page, and wait until it is there."""
    old = one(browser, "html")
    act()
    WebDriverWait(browser, 30).until(lambda _: gone(old))
    WebDriverWait(browser, 30).until(complete)


def complete(browser: webdriver.Chrome) -> bool:
    """Whether the page has come whole: the driver sometimes says so before the style sheet is there."""
    return bool(browser.execute_script("return document.readyState === 'complete'"))


def gone(element: WebElement) -> bool:
    """Whether the element's page was left."""
    try:
        return not element.is_enabled()
    except Exception as error:  # noqa: BLE001 - whatever the driver raises for a page that is gone
        return "stale" in type(error).__name__.lower() or "stale" in str(error).lower()


def loaded(picture: WebElement, browser: webdriver.Chrome) -> bool:
    """Whether a picture has come."""
    return bool(browser.execute_script("return arguments[0].naturalWidth > 0", picture))


def visit(browser: webdriver.Chrome, path: str) -> None:
    """Go to another page of the desk."""
    browser.get("/".join(browser.current_url.split("/")[:3]) + path)
    WebDriverWait(browser, 30).until(complete)


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
    log = browser.get_log("browser")  # type: ignore[no-untyped-call]
    assert [entry for entry in log if entry["level"] == "SEVERE"] == []


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


@pytest.mark.parametrize("width", [400, 1024])
@pytest.mark.parametrize("key", ["OR/dissolution", "US/final_return"])
def test_the_box_lies_over_the_place_on_the_upright_page(
    papers: dict[str, str], address: str, browser: webdriver.Chrome, key: str, width: int
) -> None:
    browser.get(address)
    resize(browser, width)
    visit(browser, f"/papers/{papers[key]}")
    field = {"OR/dissolution": "filing_date", "US/final_return": "ein"}[key]
    page, spot = one(browser, ".sheet img"), one(browser, f"#{field} .spot img")
    for picture in (page, spot):
        browser.execute_script("arguments[0].scrollIntoView()", picture)
        WebDriverWait(browser, 60).until(partial(loaded, picture))
    left, top, wide, high = browser.execute_script(RELATIVE, page, one(browser, f'.sheet a[href="#{field}"] > rect'))
    box = PLACES[field][0]
    assert page.size["height"] / page.size["width"] == pytest.approx(11 / 8.5, rel=0.02)
    assert (left, top) == pytest.approx((box.left, box.top), abs=0.01)
    assert (wide, high) == pytest.approx((box.right - box.left, box.bottom - box.top), abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [400, 1024])
def test_pages_fit_and_can_be_read(
    papers: dict[str, str], address: str, browser: webdriver.Chrome, width: int, scheme: str
) -> None:
    media = {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
    browser.get(address)
    resize(browser, width)
    closing = one(browser, f"#closing-{1 + ('Fennimoor' in one(browser, '#closing-1').text)} a").get_attribute("href")
    for path in (
        "/",
        "/review",
        f"/{str(closing).split('/', 3)[3]}",
        f"/papers/{papers['OR/dissolution']}",
        "/nowhere",
    ):
        visit(browser, path)
        assert browser.execute_script(STICKING_OUT) == [], path
        assert browser.execute_script(CONTRASTS) == []


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
