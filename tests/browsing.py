"""A real browser for tests of pages: headless Chromium, driven through WebDriver (W3C)."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

_BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@contextmanager
def chrome(**logged: str) -> "Iterator[Chrome]":
    """Open a browser and close it again, skipping the test where there is none; `logged` are kinds of its logs."""
    selenium = pytest.importorskip("selenium", reason="selenium is not installed: pip install -e '.[dev]'")
    program = next(filter(None, map(shutil.which, _BROWSERS)), None)
    driver = shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.skip("no browser to test in: apt-get install chromium chromium-driver")
    from selenium.webdriver.chrome.service import Service

    options = selenium.webdriver.ChromeOptions()
    options.binary_location = program
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", **logged})
    opened = selenium.webdriver.Chrome(options=options, service=Service(driver))
    try:
        yield opened
    finally:
        opened.quit()
