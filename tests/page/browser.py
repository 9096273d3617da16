"""A real browser for tests of pages: started once a module, its console and network looked at."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

BROWSER, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
AXE = Path(__file__).with_name("vendor") / "axe.min.js"
needs_browser = pytest.mark.skipif(
    BROWSER is None or DRIVER is None,
    reason="no chromium with its driver here: apt-get install chromium chromium-driver",
)

_ARGUMENTS = (
    "--headless", "--no-sandbox", "--disable-quic", "--no-first-run", "--hide-scrollbars",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--enable-unsafe-swiftshader", "--use-angle=swiftshader", "--disable-dev-shm-usage",
)  # fmt: skip


class Seen:
    """A browser, and what it said and asked for."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def run(self, script: str, *arguments: Any) -> Any:
        """Value of a script in the page."""
        return self.driver.execute_script(script, *arguments)

    def size(self, width: int, height: int = 1000, *, dark: bool = False) -> None:
        """Set the window [px] and the scheme of colours a person prefers."""
        tell = self.driver.execute_cdp_cmd
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        tell("Emulation.setDeviceMetricsOverride", metrics)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        tell("Emulation.setEmulatedMedia", {"features": [scheme]})

    def console(self) -> list[str]:
        """Errors and warnings of the page since last asked."""
        told = [entry["message"] for entry in self.driver.get_log("browser")]
        # the software renderer of a machine without a graphics card says so
        return [one for one in told if "GPU stall" not in one and "GroupMarkerNotSet" not in one]

    def requests(self) -> list[str]:
        """Addresses asked for since last asked."""
        found = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                found.append(message["params"]["request"]["url"])
        return found

    def barriers(self) -> list[str]:
        """What keeps people from reading the page, by WCAG 2.1 A and AA."""
        if not self.run("return typeof axe !== 'undefined'"):
            self.driver.execute_cdp_cmd("Runtime.evaluate", {"expression": AXE.read_text("utf-8")})
        found = self.driver.execute_async_script(
            "const done = arguments[arguments.length - 1];"
            "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']})"
            ".then((r) => done(r.violations.map((v) => v.id + ': '"
            " + v.nodes.map((n) => n.html.slice(0, 120)).join(' | '))))"
        )
        return list(found)


@contextmanager
def browser() -> Iterator[Seen]:
    """A browser with nothing in its memory."""
    from selenium import webdriver
    from selenium.webdriver.chrome.options import Options
    from selenium.webdriver.chrome.service import Service

    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        options = Options()
        options.binary_location = str(BROWSER)
        for argument in (*_ARGUMENTS, f"--user-data-dir={profile}"):
            options.add_argument(argument)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        driver = webdriver.Chrome(options=options, service=Service(str(DRIVER)))
        driver.set_script_timeout(30)
        try:
            yield Seen(driver)
        finally:
            driver.quit()
