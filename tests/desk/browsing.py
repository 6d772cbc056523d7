"""Driving a real Chromium."""

import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
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


@contextmanager
def chromium(profile: Path) -> Iterator[webdriver.Chrome]:
    """A browser of its own, 1024 pixels wide."""
    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.fail("Chromium and its driver are not on PATH: run scripts/chromium.")
    options = webdriver.ChromeOptions()
    options.binary_location = program
    for flag in (*FLAGS, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    browser = webdriver.Chrome(options=options, service=webdriver.ChromeService(driver))
    try:
        browser.set_page_load_timeout(60)
        resize(browser, 1024)
        yield browser
    finally:
        browser.quit()


def resize(browser: webdriver.Chrome, width: int, height: int = 900) -> None:
    """Show the pages `width` CSS pixels wide, in a window `height` high."""
    size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
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


def show(browser: webdriver.Chrome, picture: WebElement) -> None:
    """Bring a picture into sight and wait until it has come."""
    browser.execute_script("arguments[0].scrollIntoView()", picture)
    WebDriverWait(browser, 60).until(lambda _: loaded(picture, browser))


def faults(browser: webdriver.Chrome) -> list[object]:
    """What the browser complained of, such as something that the page may not load."""
    return [entry for entry in browser.get_log("browser") if entry["level"] == "SEVERE"]  # type: ignore[no-untyped-call]


def check_looks(browser: webdriver.Chrome, widths: Iterable[int], paths: Iterable[str]) -> None:
    """Every page fits into every width, and its texts stand out from what lies behind them, in light and in dark."""
    for width, path in product(widths, paths):
        resize(browser, width)
        visit(browser, path)
        browser.execute_script("document.querySelectorAll('details').forEach((d) => (d.open = true))")
        assert browser.execute_script(STICKING_OUT) == [], path
        for scheme in ("light", "dark"):
            media = {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
            browser.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
            assert browser.execute_script(CONTRASTS) == [], path
